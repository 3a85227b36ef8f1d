package check_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

// oneMove is a demo with one move of its own in place of all that it has.
func oneMove(t *testing.T, name, head, steps string) string {
	t.Helper()
	file := text(t, name)
	return strings.Replace(file, section(t, file, "moves"), `moves:
  m:
    {`+head+`, people_needed: 2, people_under: no, first_time: yes, stop_at: 25 mm, hard_pull: no, loosens: no,
     found: {area_clear: yes, people: 2, in_charge: RT, stop_word: yes, phone: yes, chocked: yes, way_back: yes, catch: yes, order_read: yes,
       strapped_on_frame: no, on: 2026-11-25, by: RT},
     steps: [`+steps+`]}
`, 1)
}

// step is one step of such a move on the special, its wheels off.
func step(name, supports, pitch string) string {
	return "{name: " + name + ", supports: [" + supports + "], off: [fl-wheel, fr-wheel, rl-wheel, rr-wheel], pitch: " + pitch + ", stage: 25 mm, people: 2},"
}

// TestBetweenTheSteps has the states judged that no step describes: what makes a change of
// supports, and on what the vehicle is while it is made.
func TestBetweenTheSteps(t *testing.T) {
	const lower, rest = "kind: lower, by_hand: no", "kind: rest, by_hand: no"
	table := "fl-bearer, fr-bearer, rl-bearer, rr-bearer"
	rear := "fl-bearer, fr-bearer, rl-stand, rr-stand"
	raised := "fl-bearer, fr-bearer, jack-rear"
	short := func(file string) string { // the jack stands too far forward: on it the vehicle all but tips
		return strings.Replace(file, "{kind: jack, under: frame, at: [60, 0, 110]", "{kind: jack, under: frame, at: [550, 0, 110]", 1)
	}
	own := oneMove(t, "special-mended", lower, step("table", table, "0 deg")+step("raised", raised, "-1 deg")+step("rear set", rear, "-1 deg"))
	early := oneMove(t, "special-mended", lower, step("table", table+", jack-rear", "0 deg")+step("rear set", rear, "-1 deg"))
	late := oneMove(t, "special-mended", lower, step("table", table, "0 deg")+step("rear set", rear+", jack-rear", "-1 deg"))

	t.Run("the jack in a step of its own", func(t *testing.T) {
		assert.Empty(t, stopped(t, own))
		assert.Contains(t, stopped(t, short(own)), "tip-floor")
	})
	t.Run("the jack listed a step early", func(t *testing.T) {
		assert.Empty(t, stopped(t, early))
		assert.Contains(t, stopped(t, short(early)), "tip-floor")
	})
	t.Run("the jack listed a step late", func(t *testing.T) {
		assert.NotContains(t, stopped(t, late), "tip-floor")
		assert.Contains(t, stopped(t, short(late)), "tip-floor")
	})
	t.Run("left standing on others, and nothing lifts it over", func(t *testing.T) {
		assert.Contains(t, stopped(t, oneMove(t, "special-mended", rest, step("frame", "fl-stand, fr-stand, rl-stand, rr-stand", "0 deg")+
			step("hubs", "fl-hub-stand, fr-hub-stand, rl-hub-stand, rr-hub-stand", "0 deg"))), "step-between")
		assert.Contains(t, stopped(t, oneMove(t, "special-mended", rest, step("table", table, "0 deg")+step("set", rear, "0 deg"))), "step-between")
	})
	t.Run("lifted by people, reckoned too light", func(t *testing.T) {
		by := func(mass string) []string {
			return stopped(t, oneMove(t, "special-mended", "kind: lower, by_hand: yes, lifted_mass: "+mass, step("table", table, "0 deg")+step("set", rear, "0 deg")))
		}
		assert.Contains(t, by("50 kg"), "lifted-mass")
		assert.NotContains(t, by("300 kg"), "lifted-mass")
	})
}

// TestMeasuredLength: a bar far from its drawn length says that the vehicle on the floor is
// not the one in the file.
func TestMeasuredLength(t *testing.T) {
	file := text(t, "special-mended")
	require.Contains(t, file, "length: 367.5 mm")
	for length, stops := range map[string]bool{"367.5 mm": false, "373 mm": false, "285 mm": true, "380 mm": true} {
		rules := stopped(t, strings.ReplaceAll(file, "length: 367.5 mm", "length: "+length))
		assert.Equal(t, stops, len(rules) > 0 && strings.Contains(strings.Join(rules, " "), "length-as-drawn"), "%s: %v", length, rules)
	}
}

// TestHowItCameThere has what a step takes for granted asked for: the state before it, what
// took a part off, the crane that something hangs on.
func TestHowItCameThere(t *testing.T) {
	special, checklist := text(t, "special-mended"), text(t, "checklist-mended")
	table := "fl-bearer, fr-bearer, rl-bearer, rr-bearer"
	for name, c := range map[string]struct{ file, old, new, rule string }{
		"only the last step":           {checklist, "{name: rear on the jack, supports: [stand-front-left, stand-front-right, jack-rear], stage: 25 mm, people: 2},", "", "move-start"},
		"the engine hangs on nothing":  {special, section(t, special, "cranes"), "", "part-hooked"},
		"the crane lifts another part": {special, "lifts: engine", "lifts: radiator", "part-hooked"},
		"a jack that is a crane":       {checklist, "jack-rear: {kind: jack", "jack-rear: {kind: crane", "crane-listed"},
		"the wheels are still on": {oneMove(t, "special-mended", "kind: rest, by_hand: no", step("table", table, "0 deg")),
			"fl-wheel:     {mass: 13 kg ± 0.5 kg,", "fl-wheel:     {found: {fitted: yes, on: 2026-11-25, by: RT}, mass: 13 kg ± 0.5 kg,", "fitted-yet-off"},
	} {
		t.Run(name, func(t *testing.T) {
			require.Contains(t, c.file, c.old)
			assert.NotContains(t, stopped(t, c.file), c.rule)
			assert.Contains(t, stopped(t, strings.Replace(c.file, c.old, c.new, 1)), c.rule)
		})
	}
	t.Run("a vehicle in one lump stands on its arms", func(t *testing.T) {
		file, err := os.ReadFile("../../testdata/accidents/02-bus-on-a-bottle-jack.yaml")
		require.NoError(t, err)
		lump := strings.ReplaceAll(string(file), "supports: [jack-rear, wheel-fl, wheel-fr]", "supports: [stand-rl, stand-rr, wheel-fl, wheel-fr]")
		require.Empty(t, stopped(t, lump))
		assert.Contains(t, stopped(t, strings.ReplaceAll(lump, "bears_on: lifting point", "bears_on: arm")), "joints-listed")
	})
	t.Run("the braked wheels are in the air", func(t *testing.T) {
		b, err := model.Read("b.yaml", []byte(strings.Replace(oneMove(t, "special-mended", "kind: rest, by_hand: no",
			"{name: rear up, supports: [fl-contact, fr-contact, rl-stand, rr-stand], off: [rl-wheel, rr-wheel], pitch: 0 deg, stage: 25 mm, people: 2}"),
			"parking_brake: none", "parking_brake: rear", 1)), model.Companions{})
		require.NoError(t, err)
		var said []string
		for _, f := range judge(t, rules(t), b).Moves[0].Findings {
			said = append(said, f.Rule)
		}
		assert.Contains(t, said, "parking-brake-lifted")
	})
}

// TestOffAtFirst begins moves without an engine that nobody took off: what holds it is found
// in its place.
func TestOffAtFirst(t *testing.T) {
	const rule = "fitted-yet-off"
	out := oneMove(t, "special-mended", "kind: rest, by_hand: no",
		"{name: engine out, supports: [fl-stand, fr-stand, rl-stand, rr-stand], off: [fl-wheel, fr-wheel, rl-wheel, rr-wheel, engine], pitch: 0 deg, stage: 25 mm, people: 2},")
	engine := func(found string) string {
		return strings.Replace(out, "  engine:   {mass", "  engine:   {found: "+found+", mass", 1)
	}
	bolts := section(t, out, "fasteners")
	mounts := bolts[strings.Index(bolts, "  engine-mount-bolts:"):]
	mounts = mounts[:strings.Index(mounts, "}}")+2]
	at := strings.Index(mounts, "found:")
	for name, c := range map[string]struct {
		file  string
		stops bool
	}{
		"its bolts are found tight":                {out, true},
		"seen off after its bolts were seen":       {engine("{fitted: no, on: 2026-11-25, by: RT}"), false},
		"seen off, and its bolts in place since":   {engine("{fitted: no, on: 2026-11-10, by: RT}"), true},
		"nobody looked at its bolts":               {strings.Replace(out, mounts, mounts[:at]+"found: {on: 2026-11-20, by: RT}}", 1), true},
		"its bolts are out":                        {strings.Replace(out, mounts, mounts[:at]+"found: {fitted: no, count: 0, on: 2026-11-20, by: RT}}", 1), false},
		"nobody weighed it, and its bolts tight":   {strings.Replace(out, "  engine:   {mass: 128 kg ± 5 kg, ", "  engine:   {", 1), true},
		"off by its own word, and its bolts in it": {strings.Replace(engine("{fitted: no, on: 2026-11-10, by: RT}"), ", engine]", "]", 1), true},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.stops, slices.Contains(stopped(t, c.file), rule), "%v", stopped(t, c.file))
		})
	}
	t.Run("an earlier move takes it off", func(t *testing.T) {
		buggy := text(t, "buggy-mended")
		require.NotContains(t, stopped(t, buggy), rule)
		first := buggy[strings.Index(buggy, "  # 3A'"):strings.Index(buggy, "  # 3B")]
		assert.Contains(t, stopped(t, strings.Replace(buggy, first, "", 1)), rule)
	})
}

// A stand that is looked at, stands elsewhere in between and comes back is a stand that nobody
// has looked at.
func TestStandSetAgain(t *testing.T) {
	e := rules(t)
	for _, c := range []struct{ step, rule string }{
		{"supports: [fl-stand, fr-stand, rl-stand, rr-stand]", ""},
		{"supports: [fl-hub-stand, fr-hub-stand, rl-stand, rr-stand]", "stand-set-again"},
	} {
		b := withMore(t, "special-mended", "  there-and-back: {kind: rest, title: x, people_needed: 2, steps: [{name: a, supports: [fl-stand, fr-stand, rl-stand, rr-stand]}, {name: b, "+c.step+"}, {name: c, supports: [fl-stand, fr-stand, rl-stand, rr-stand]}]}\n", "")
		var found []string
		for _, f := range judge(t, e, b, "there-and-back").Moves[0].Stopping() {
			if f.Rule == "stand-set-again" {
				found = append(found, f.Item)
				assert.Equal(t, []string{"c"}, f.Steps)
			}
		}
		assert.Equal(t, c.rule != "", len(found) > 0, c.step)
	}
}

// TestOffOnAJack takes a wheel, an arm and an engine off, or puts them on, on a jack and on stands.
func TestOffOnAJack(t *testing.T) {
	const frame, raised, wheels = "fl-stand, fr-stand, rl-stand, rr-stand", "fl-stand, fr-stand, jack-rear", "fl-stand, fr-stand, rl-contact, rr-contact"
	const none, wheel = "off: []", "off: [rl-wheel]"
	for name, c := range map[string]struct {
		steps [][2]string
		stops bool
	}{
		"a wheel off on the jack":                      {[][2]string{{frame, none}, {raised, wheel}}, true},
		"a wheel on on the jack":                       {[][2]string{{frame, wheel}, {raised, none}}, true},
		"a wheel put on before it comes down on it":    {[][2]string{{raised, wheel}, {wheels, none}}, true},
		"a wheel off on the stands, then the jack":     {[][2]string{{frame, none}, {frame, wheel}, {raised, wheel}}, false},
		"a wheel off on the stands after the jack":     {[][2]string{{raised, none}, {frame, wheel}}, false},
		"an arm off on the jack":                       {[][2]string{{frame, none}, {raised, "off: [rl-lower-arm]"}}, true},
		"a light part, by somebody all the same":       {[][2]string{{frame, none}, {raised, "off: [radiator]"}}, true},
		"an engine between two steps on the same jack": {[][2]string{{raised, none}, {raised, "off: [engine]"}}, true},
	} {
		t.Run(name, func(t *testing.T) {
			var steps []string
			for i, s := range c.steps {
				steps = append(steps, fmt.Sprintf("{name: %d, supports: [%s], %s, pitch: 0 deg, stage: 25 mm, people: 2}", i, s[0], s[1]))
			}
			rules := stopped(t, oneMove(t, "special-mended", "kind: rest, by_hand: no", strings.Join(steps, ",")))
			assert.Equal(t, c.stops, slices.Contains(rules, "lifted-on-jack"), "%v", rules)
		})
	}
}

// TestLeftOnThreeWheels leaves a checklist on three wheels: a vehicle is a three-wheeler where the file
// says so, and not where it lists no fourth.
func TestLeftOnThreeWheels(t *testing.T) {
	text := strings.Replace(text(t, "checklist-mended"), "[stand-front-left, stand-front-right, stand-rear-left, stand-rear-right]", "[w1, w2, w3]", 1)
	for i := range 4 {
		text = strings.Replace(text, "\nsupports:\n", fmt.Sprintf("\nsupports:\n  w%d: {kind: wheel, under: car, place: %s, rated: 2 t, rated_per: each, bears_on: tyre}\n", i+1, []string{"front", "front", "rear", "rear"}[i]), 1)
	}
	three := text[:strings.Index(text, "  w4:")] + text[strings.Index(text, "  w3:"):]
	wheels := func(file, n string) string {
		return strings.Replace(file, "checklist: yes", "checklist: yes, wheels: "+n, 1)
	}
	for name, c := range map[string]struct {
		file  string
		stops bool
	}{
		"of four":                       {text, true},
		"the fourth forgotten":          {three, true},
		"the file says how many it has": {wheels(three, "4"), true},
		"a three-wheeler":               {wheels(three, "3"), false},
		"one of four on a stand":        {strings.Replace(wheels(three, "3"), "[w1, w2, w3]", "[w1, w2, stand-rear-left]", 1), true},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Equal(t, c.stops, slices.Contains(stopped(t, c.file), "checklist-triangle"), "%v", stopped(t, c.file))
		})
	}
	_, err := model.Read("b.yaml", []byte(wheels(text, "3")), model.Companions{})
	assert.ErrorContains(t, err, "it is wheel 4 of a vehicle with wheels: 3")
}
