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
	"setdown/rules/verdict"
)

// hushed are the lines of mended short files without which a move that is GO may say nothing more,
// though what they are of is in use in it, each group with the reason that a reviewer gave.
var hushed = []struct {
	why  string
	keys []string
}{
	{"names, titles and notes, of which nothing is judged; a look of one card only is there to be told from one of a later one", []string{
		"*.name", "*.title", "*.note", "moves.steps.any.watch", "*.card",
	}},
	{"units, and what the vehicle is built on: bare places are in millimetres, and the heaviest part of the frame carries the others", []string{
		"vehicle item", "vehicle.coordinates", "vehicle.built_on",
	}},
	{"the place follows from what it is on or holds", []string{"*.place", "places item", "wheels.on", "supports (wheel).wheel"}},
	{"the worst counts where nobody says it", []string{
		"fasteners.shear_planes", "fasteners.thread_in_shear", "fasteners.tab.width", "links.ends.any.shear", "joints (bolted face).axis", "welds.fillet.centre",
	}},
	{"where it matters it is asked: hollow sections, joints that work, locating welds, bars that are pulled or adjusted", []string{
		"fasteners.crush_tube", "fasteners.turns", "welds.bears_by_contact", "welds.locates", "links.can_pull", "links.adjusted_in_place",
	}},
	{"a measure that nobody has to take", []string{"supports (jack).clearance_after", "supports (jack).closed_height", "looks of links.found.length"}},
	{"the card that the look calls good says it", []string{
		"looks of dollies.found", "looks of wheels.found", "looks of spacers.found", "looks of supports (stand)*.found.own_pin", "looks of site.found.plates",
	}},
	{"looks at the vehicle and at moves, each answer of which is of the day, and named", []string{"looks of vehicle.fp*", "looks of moves.fp*"}},
	{"who asks goes by the kind of move", []string{"looks of vehicle.found.*", "moves.first_time", "moves.stop_at"}},
}

// TestLinesDeleted deletes single lines of the short demos, of their log and their table of points. No
// move that is NO-GO becomes GO by it; and one of a mended demo that is GO speaks of what is missing,
// where what the line says is nowhere else in the file. It takes some lines of each, from another
// -seed other ones; with -kinds one of every kind in each, with -long all.
func TestLinesDeleted(t *testing.T) {
	n := &net{engine: rules(t)}
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
		if l.kind != "" && (l.field == nil || l.field.Event == "") {
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
	case thing == nil || l.field == nil || l.kind == "points" || strings.Contains(l.path, "any"):
		return false
	}
	_, known := recordNamed(b, thing.Kind, id).Lookup(l.path)
	return known
}
