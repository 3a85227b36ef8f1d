package engine

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/rules/facts"
)

// TestWording prints what a line of work says of items that are written in full, in
// part and not at all.
func TestWording(t *testing.T) {
	for _, c := range []struct {
		kind, say string
		item      known
		want      string
	}{
		{"fasteners", "{size(it)}", known{"thread": "M10x1.5", "class": "10.9"}, "M10x1.5 class 10.9"},
		{"fasteners", "{size(it)}", known{"thread": "M10x1.5"}, "M10x1.5"},
		{"fasteners", "{size(it)}", known{"class": "10.9"}, "class 10.9"},
		{"fasteners", "{size(it)}", nil, "of the size and class drawn"},
		{"stud_nuts", "{size(it)}", known{"thread": "M12x1.25"}, "M12x1.25"},
		{"stud_nuts", "{size(it)}", nil, "for the stud's thread"},
		{"wheels", "{size(it)}", known{"stud": "M12x1.5", "seat": "cone"}, "M12x1.5 with a cone seat"},
		{"wheels", "{size(it)}", nil, "of the wheel maker's kind"},
		{"spacers", "{size(it)}", known{"stack.each": "9.5 mm", "bore.bolt": "10 mm"}, "9.5 mm high for a 10 mm bolt"},
		{"spacers", "{size(it)}", known{"bore.bolt": "10 mm"}, "for a 10 mm bolt"},
		{"spacers", "{size(it)}", nil, "like the ones fitted"},
		{"links", "{size(it)}", known{"rod_ends.thread": "1/2-20 UNF"}, "1/2-20 UNF"},
		{"links", "{size(it)}", nil, "for its rod ends"},
		{"fasteners", "{words(it.torque)}", known{"torque": "60 N·m"}, "60 N·m"},
		{"fasteners", "{words(it.torque)}", nil, "the maker's torque"},
		{"fasteners", "{words(it.thread)} {words(it.needed)} {words(it.found.fitted)} {words(it.found.on)} {words(it.load)}", known{"needed": "2", "found.fitted": "yes"}, "not recorded 2 yes not recorded not recorded"},
		{"fasteners", "{percent(0.432)} {percent(1.0004)} {percent(1.0)} {percent(0.001)} {percent(0.0)}", nil, "43 % >100 % 100 % <1 % 0 %"},
		{"fasteners", "{weight(newton(9806.65))} {weight(newton(0.0))} {weight(newton(1311.6))} {weight(newton(13.2))}", nil, "1000 kg 0 kg 134 kg 1.3 kg"},
		{"fasteners", "{fall(0.06)}", nil, "60 mm/m"},
		{"fasteners", "{nose(degrees(3.34))}, {nose(degrees(-1.0))}, {nose(degrees(0.0))}, {side(degrees(2.0))}, {side(degrees(-2.0))}, {side(degrees(-0.04))}", nil, "3.3° nose up, 1° nose down, level front to back, 2° left side up, 2° right side up, level side to side"},
		{"fasteners", "{lock(it)}", known{"lock": "all-metal nut"}, "new all-metal nut"},
		{"fasteners", "{lock(it)}", known{"lock": "wire"}, "lock wire"},
		{"fasteners", "{lock(it)}", known{"lock": "spring washer"}, "lock nut"},
		{"fasteners", "{lock(it)}, {locks(it)}", known{"lock": "spring washer", "tapped_into": "steel"}, "lock wire, lock wire or a tab washer"},
		{"fasteners", "{lock(it)}", known{"lock": "nylon-insert nut", "tapped_into": "aluminium"}, "lock wire"},
		{"fasteners", "{lock(it)}", known{"lock": "tab washer", "tapped_into": "steel"}, "new tab washer"},
		{"fasteners", "{lock(it)}, {locks(it)}", known{"tapped_into": "nothing"}, "lock nut, a lock nut, split pin or lock wire"},
		{"stud_nuts", "{lock(it)}; {nut(it)} + {pin(it)}; {secure(it)}", nil, "new split pin; castle nut for the stud's thread + new split pin; tighten on until a slot lines up with the pin hole, fit a new split pin and bend its legs"},
		{"stud_nuts", "{nut(it)} + {pin(it)}; {secure(it)}", known{"lock": "nylon-insert nut", "thread": "M12x1.25"}, "nylon-insert nut M12x1.25 + ; fit a new nylon-insert nut"},
		{"stud_nuts", "{nut(it)} + {pin(it)}; {secure(it)}", known{"lock": "tab washer", "thread": "M12x1.25"}, "nut M12x1.25 + new tab washer; fit a new tab washer and bend it"},
		{"stud_nuts", "{nut(it)} + {pin(it)}; {secure(it)}", known{"lock": "wire", "thread": "M12x1.25"}, "nut M12x1.25 + lock wire; fit lock wire"},
		{"fasteners", "{reached(it)}", known{"found.torqued": "20 N·m", "found.tightness": "torqued"}, "20 N·m reached"},
		{"fasteners", "{reached(it)}", known{"found.torqued": "45 N·m", "found.tightness": "loose"}, "loose"},
		{"fasteners", "{reached(it)}", known{"found.tightness": "finger"}, "only finger tight"},
		{"fasteners", "{reached(it)}", known{"found.tightness": "torqued"}, "torqued, but no figure is written down"},
		{"stud_nuts", "{reached(it)}", known{"found.torqued": "20 N·m"}, "20 N·m reached"},
		{"wheels", "{reached(it)}", nil, "tightness not recorded"},
		{"welds", "{made(it)}", known{"found.made": "tack", "waits_for": "ride height"}, "only tacked, waits for ride height"},
		{"welds", "{made(it)}", known{"found.made": "full", "waits_for": "ride height"}, "welded full"},
		{"welds", "{made(it)}", nil, "state not recorded"},
	} {
		e := newEngine(t, "each: "+c.kind+" as it", "must: it.carrying", `say: "`+c.say+`"`)
		require.NoError(t, e.CompileAll(), c.say)
		o := item(t, c.kind, c.kind+".x", c.item)
		o.Derive("carrying", facts.Known(false))
		_, res := outcome(t, e, o)
		assert.Equal(t, c.want, res.Say, "%s of %s %v", c.say, c.kind, c.item)
	}
}

// What a fact is, in words, is found by its path, through lists and names with dots.
func TestFactsInWords(t *testing.T) {
	for path, want := range map[string]string{
		"moves.down.steps[on four stands].people":  "people needed at one time",
		"moves.down.steps[on 3. stand].watch":      "what to look at",
		"moves.down.people_needed":                 "people needed at one time",
		"moves.down.steps[on four stands].parsnip": "",
		"links.fl-strut.can_pull":                  "both ends are bolted, so that it can also pull; no for a prop, cup or wedge",
		"vehicle.frame":                            "how its frame is put together; of a welded one the nodes are listed among the welds",
	} {
		assert.Equal(t, want, MissingAt(path).Doc, path)
	}
}
