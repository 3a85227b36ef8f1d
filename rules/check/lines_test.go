package check_test

import (
	"fmt"
	"maps"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// hushed are the lines of mended short files without which a move that is GO may say nothing more,
// though what they are of is in use in it, each group with the reason that a reviewer gave.
var hushed = []struct {
	why  string
	keys []string
}{
	{"names, titles and notes, of which nothing is judged; a look without a version of its card is one at the first", []string{
		"*.name", "*.title", "*.note", "moves.steps.any.watch", "*.card",
	}},
	{"units, and what the vehicle is built on: bare places are in millimetres, and the heaviest part of the frame carries the others", []string{
		"vehicle item", "vehicle.coordinates", "vehicle.built_on",
	}},
	{"the place follows from what it is on or holds; a checklist has one part to be under, and its jack rolls along it", []string{
		"*.place", "places item", "wheels.on", "supports (wheel).wheel", "supports (jack).under", "supports (jack).along",
	}},
	{"what is worst counts where nobody says it, with the strength that is left", []string{
		"fasteners.shear_planes", "fasteners.thread_in_shear", "fasteners.tab.width", "fasteners.surface", "links.ends.any.shear", "links.tube.material",
		"joints (bolted face).axis", "joints (taper ball joint).axis", "joints (bush).axial_rating",
		"links.bar.material", "links.rod_ends.*", "welds.fillet.centre", "welds.fillet.along", "welds.fillet.normal", "welds.fillet.filler", "welds.base*",
		"supports (*).rated_per", "supports (*).feet", "dollies.castors", "moves.hand_push",
	}},
	{"where it matters it is asked: hollow sections, joints that work, locating welds, bars that are pulled or adjusted, studs that line up, shafts that clamp a bearing, roles that make it critical", []string{
		"fasteners.crush_tube", "fasteners.turns", "fasteners.critical", "fasteners.tapped_into", "welds.bears_by_contact", "welds.locates", "welds (by contact).waits_for",
		"links.can_pull", "links.adjusted_in_place", "stud_nuts.steering", "stud_nuts.torque_max", "wheels.seat", "wheels.shaft_clamps_bearing",
		"joints (*).bush",
	}},
	{"a measure that nobody has to take", []string{
		"supports (hoist pad).height", "supports (dolly).height", "looks of links.found.length",
		"looks of joints (bush)*.found.misalignment", "looks of site.found.flatness", "looks of site.found.headroom",
	}},
	{"the card that the look calls good says it", []string{
		"looks of dollies.found", "looks of wheels.found", "looks of spacers.found", "looks of supports (stand)*.found.own_pin",
	}},
	{"a bar that stands in is judged as any other; turns that are planned are not wound out yet", []string{"links.temporary", "links.stands_in_for", "looks of links.found.turns_planned"}},
	{"another answer says it: how many there are, the mark read on the head, that the weld is full", []string{"looks of fasteners.found.fitted", "fasteners.class", "looks of welds.found.made_length"}},
	{"a step stands level, people_needed says how many, what is not off weighs, and what is not tied up hangs in its joints", []string{
		"moves.steps.any.pitch", "moves.steps.any.people", "moves.steps.any.off", "moves.steps.any.restraints",
	}},
	{"looks at the vehicle and at moves, each answer of which is of the day, and named", []string{"looks of vehicle.fp*", "looks of moves.fp*"}},
	{"who asks goes by the kind of move, and of what kind the thing is: nobody asks (unasked)", []string{
		"looks of vehicle.found.*", "looks of moves.found.*", "looks of site.found.plates", "looks of site.found.extinguisher", "moves.first_time", "moves.stop_at",
		"looks of supports (jack).found.level", "looks of supports (wheel).found.*", "looks of supports (*.found.padded", "looks of dollies.found.*",
		"looks of joints (*face).found.bolt_slides", "looks of joints (*ball joint).found.bolt_slides", "looks of welds (by contact).found.*", "looks of wheels.found.hub_torqued", "looks of wheels.found.shaft_in",
	}},
}

// TestLinesDeleted deletes single lines of the short demos, of their log and their table of points. No
// move that is NO-GO becomes GO by it; and one of a mended demo that is GO speaks of what is missing,
// where what the line says is nowhere else in the file. It takes some lines of each, from another
// -seed other ones; with -kinds one of every kind in each, with -long all.
func TestLinesDeleted(t *testing.T) {
	n := &net{engine: rules(t), known: escapes(t)}
	r := rand.New(rand.NewPCG(*firstSeed, 5))
	used := map[string]bool{}
	ran := 0 // -run may pick one of them
	for _, name := range mended {
		for _, name := range []string{name, strings.Replace(name, "mended", "asfound", 1)} {
			t.Run(name, func(t *testing.T) { n.deleteLines(t, name, r, used); ran++ })
		}
	}
	n.report(t)
	if *long && ran == 2*len(mended) {
		assert.Empty(t, idle(hushed, used), "without these a move asks after all: take them off the list")
	}
}

func (n *net) deleteLines(t *testing.T, name string, r *rand.Rand, used map[string]bool) {
	d := short(t, "../short/"+name)
	b := n.read(d)
	moves := judge(t, n.engine, b).Moves
	p := &proof{d: d, sorts: d.sorts(b, moves[0].ID)}
	things, goes := map[string]bool{}, []*verdict.Move{}
	by := map[string]cause{}
	for i, m := range moves {
		if m.Decision == verdict.NoGo {
			by[m.ID] = n.stops(b, m.ID)
			continue
		}
		if !slices.Contains(mended, name) {
			continue // nothing is said of what is forgotten in files that are not whole yet
		}
		goes = append(goes, &moves[i])
		for thing := range inUse(b, n.engine, m.ID) {
			things[thing.ID] = true
		}
	}
	var lines []int
	for i, l := range d {
		if f := d.says(b, i); l.kind != "" && (f == nil || f.Event == "") {
			lines = append(lines, i)
		}
	}
	require.NotEmpty(t, lines)
	if lines = shuffled(r, lines); *kinds && !*long {
		seen := map[string]bool{}
		lines = slices.DeleteFunc(lines, func(i int) bool {
			key := p.name(i)
			if !slices.ContainsFunc(d.subjects(i), func(id string) bool { return things[id] }) {
				key += " idle"
			}
			defer func() { seen[key] = true }()
			return seen[key]
		})
	} else if !*long {
		lines = lines[:6]
	}
	silent := map[string]string{}
	var tasks []func()
	for _, i := range lines {
		tasks = append(tasks, func() {
			c := n.read(d.without(i))
			if c == nil {
				return // the reader refuses it
			}
			how := fmt.Sprintf("%s: %s: %s", name, d[i].id, d[i].text)
			for move, cause := range by {
				if len(cause.rules) > 0 && n.stillStops(cause, c, move) {
					continue
				}
				if m := n.verdictOn(c, move, how); m != nil && m.Decision == verdict.Go {
					n.catch("lone "+p.name(i)+" frees", how+" in "+move)
				}
			}
			if !slices.ContainsFunc(d.subjects(i), func(id string) bool { return things[id] && !d.stands(c, id, i) }) {
				return
			}
			if len(goes) > 0 && !slices.ContainsFunc(goes, func(before *verdict.Move) bool { return n.speaks(c, before, how) }) {
				n.mu.Lock()
				defer n.mu.Unlock()
				silent[p.name(i)] = how
			}
		})
	}
	parallel(tasks)
	for _, key := range slices.Sorted(maps.Keys(silent)) {
		pattern := listed(hushed, key)
		used[pattern] = true
		if pattern == "" {
			t.Errorf("nobody asks: %s   (%s)", key, silent[key])
		}
	}
	t.Logf("%s: %d of %d lines deleted, %d kinds without a word", name, len(lines), len(d), len(silent))
}

// speaks reports whether a move that was GO is gone, stopped or says what it did not.
func (n *net) speaks(b *model.Build, before *verdict.Move, how string) bool {
	if b.Item(before.ID) == nil || len(n.stops(b, before.ID).rules) > 0 {
		return true
	}
	m := n.verdictOn(b, before.ID, how)
	return m == nil || m.Decision == verdict.NoGo || slices.ContainsFunc(m.Findings, func(f verdict.Finding) bool {
		return !slices.ContainsFunc(before.Findings, func(was verdict.Finding) bool {
			return was.Rule == f.Rule && was.Item == f.Item && was.Outcome == f.Outcome
		})
	})
}

// subjects are the things that a line says something of.
func (d document) subjects(i int) []string {
	id, isPoint := strings.CutPrefix(d[i].id, "point ")
	if isPoint {
		return []string{itemOf(id)}
	}
	if d[i].kind != "looks" {
		return []string{id}
	}
	var of []string
	if at := d.find("looks", id, "of"); at >= 0 {
		for _, target := range elements(d[at].value) {
			of = append(of, itemOf(target))
		}
	}
	return of
}

// stands reports whether what a line said of a thing is still known: by what it is like, by its name or
// by another look.
func (d document) stands(b *model.Build, id string, i int) bool {
	l, thing := d[i], b.Things[id]
	switch {
	case l.kind == "looks" && !strings.HasPrefix(l.path, "found."):
		return d.retold(i, i)
	case d.says(b, i) == nil || thing == nil || l.kind == "points" || strings.Contains(l.path, "any"):
		return false
	}
	_, known := recordNamed(b, thing.Kind, id).Lookup(l.path)
	return known
}

// says is the field of a line, in a look at what only a mirror entry makes as well; nil when it has none.
func (d document) says(b *model.Build, i int) *schema.Field {
	name, found := strings.CutPrefix(d[i].path, "found.")
	if of := d.subjects(i); d[i].field == nil && found && d[i].kind == "looks" && len(of) > 0 && b.Things[of[0]] != nil {
		return b.Things[of[0]].Kind.Found().Field(name)
	}
	return d[i].field
}
