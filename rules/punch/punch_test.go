package punch_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/rules/punch"
	"setdown/rules/verdict"
)

func held(rule, item, place string, w verdict.Work) verdict.Finding {
	return verdict.Finding{Rule: rule, Outcome: verdict.Stop, Blocking: true, Item: item, Kind: "welds", Place: place, Work: &w}
}

func unseen(rule, item, path, doc string) verdict.Finding {
	return verdict.Finding{
		Rule: rule, Outcome: verdict.NotRecorded, Blocking: true, Item: item, Kind: "welds", Place: "rear",
		Missing: []verdict.Missing{{Path: "welds." + item + "." + path, Doc: doc}}, Work: &verdict.Work{Phase: "record", Do: "look"},
	}
}

func set(item string, pairs ...string) []verdict.Value {
	var list []verdict.Value
	for i := 0; i < len(pairs); i += 2 {
		list = append(list, verdict.Value{Name: "welds." + item + "." + pairs[i], Value: pairs[i+1]})
	}
	return list
}

func moves(held ...[]verdict.Finding) []verdict.Move {
	var list []verdict.Move
	for i, f := range held {
		list = append(list, verdict.Move{ID: string(rune('a' + i)), Findings: f})
	}
	return list
}

func lines(p verdict.Punch) []string {
	var list []string
	for _, j := range p.Jobs {
		list = append(list, j.Phase+", "+j.Item+": "+j.Do)
	}
	return list
}

func TestPunch(t *testing.T) {
	weld := verdict.Work{Phase: "weld", Do: "weld it", Part: "plate", Quantity: 2, Set: set("w", "made", "full", "toes", "fine")}
	look := verdict.Work{Phase: "inspect", Do: "look at it", Set: set("w", "toes", "fine")}
	blaming := held("located", "stand", "front", verdict.Work{Phase: "support", Do: "finish w"})
	blaming.Because = []verdict.Because{{Values: []verdict.Value{{Name: "unlocated_by", Value: "w"}}}}
	caution := held("soft", "w", "rear", verdict.Work{Phase: "fit", Do: "nice to have", Part: "paint"})
	caution.Outcome, caution.Blocking = verdict.Caution, false
	for _, c := range []struct {
		name  string
		moves [][]verdict.Finding
		want  []string
	}{
		{"nothing to do", [][]verdict.Finding{{}}, nil},
		{"only what blocks", [][]verdict.Finding{{caution}}, nil},
		{"the same words are one line", [][]verdict.Finding{{held("a", "w", "rear", weld), held("b", "w", "rear", weld)}}, []string{"weld, w: weld it"}},
		{"what another line does too", [][]verdict.Finding{{held("b", "w", "rear", look), held("a", "w", "rear", weld)}}, []string{"weld, w: weld it"}},
		{"not of another item", [][]verdict.Finding{{held("a", "w", "rear", weld), held("b", "v", "rear", verdict.Work{Phase: "inspect", Do: "look at it", Set: set("v", "toes", "fine")})}},
			[]string{"weld, w: weld it", "inspect, v: look at it"}},
		{"not where only one of the moves waits for the larger work", [][]verdict.Finding{{held("a", "w", "rear", weld)}, {held("b", "w", "rear", look)}},
			[]string{"weld, w: weld it", "inspect, w: look at it"}},
		{"what is written down once it is done", [][]verdict.Finding{{held("a", "w", "rear", weld), unseen("u", "w", "toes", "its toes")}}, []string{"weld, w: weld it"}},
		{"what is still to be written down, in one line", [][]verdict.Finding{{held("a", "w", "rear", weld), unseen("u", "w", "leg", "its leg"), unseen("v", "w", "gap", "its gap")}},
			[]string{"weld, w: weld it", "record, w: look or measure, and write down: its leg; its gap"}},
		{"what only names another item", [][]verdict.Finding{{blaming, held("a", "w", "rear", weld)}}, []string{"weld, w: weld it"}},
		{"unless that has no line", [][]verdict.Finding{{blaming}}, []string{"support, stand: finish w"}},
		{"in working order, then round the vehicle", [][]verdict.Finding{{
			held("a", "v", "front", verdict.Work{Phase: "weld", Do: "weld it"}), held("b", "w", "rear", verdict.Work{Phase: "weld", Do: "weld it"}),
			held("c", "w", "rear", verdict.Work{Phase: "fit", Do: "fit it"}), held("d", "v", "front", verdict.Work{Phase: "weld", Do: "dress it"}),
		}}, []string{"fit, w: fit it", "weld, v: weld it", "weld, v: dress it", "weld, w: weld it"}},
		{"the larger of two sizes serves both moves", [][]verdict.Finding{
			{held("a", "d", "", verdict.Work{Phase: "buy", Do: "castors for 240 kg", Part: "castor 240 kg", Set: set("d", "rated", "2400 N")})},
			{held("a", "d", "", verdict.Work{Phase: "buy", Do: "castors for 360 kg", Part: "castor 360 kg", Set: set("d", "rated", "3600 N")})},
		}, []string{"buy, d: castors for 360 kg"}},
		{"sizes in different units are not compared", [][]verdict.Finding{
			{held("a", "d", "", verdict.Work{Phase: "buy", Do: "small", Set: set("d", "rated", "2400 N")})},
			{held("a", "d", "", verdict.Work{Phase: "buy", Do: "large", Set: set("d", "rated", "3 kN")})},
		}, []string{"buy, d: small", "buy, d: large"}},
		{"no work is still a line", [][]verdict.Finding{{{Outcome: verdict.Error, Blocking: true, Item: "w", Fix: "judge it by hand"}}}, []string{"other, w: judge it by hand"}},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, lines(punch.List(moves(c.moves...)))) })
	}
}

// The work of cautions is listed once no move waits for any other, and frees nothing.
func TestPunchOfCautions(t *testing.T) {
	work := verdict.Work{Phase: "fit", Do: "fit a lock nut", Part: "lock nut", Set: set("v", "lock", "all-metal")}
	caution := held("soft", "v", "rear", work)
	caution.Outcome, caution.Blocking = verdict.Caution, false
	bare := caution
	bare.Item, bare.Work = "w", nil
	unknown := unseen("u", "w", "leg", "its leg")
	unknown.Blocking = false
	p := punch.List(moves([]verdict.Finding{caution, bare, unknown}))
	assert.Empty(t, p.Jobs)
	assert.Empty(t, p.Buy, "no move waits for it")
	assert.Equal(t, []string{"fit, v: fit a lock nut"}, lines(verdict.Punch{Jobs: p.Further}))
	p = punch.List(moves([]verdict.Finding{caution, held("a", "u", "rear", verdict.Work{Phase: "weld", Do: "weld it"})}))
	assert.Equal(t, []string{"weld, u: weld it"}, lines(p))
	assert.Empty(t, p.Further)
}

// What keeps loads from being computed is done first, whatever its phase and
// place, and does not change the order of the rest.
func TestPunchBeginsWithWhatMoves(t *testing.T) {
	weld := verdict.Work{Phase: "weld", Do: "weld it"}
	root := held("balance", "down", "", verdict.Work{Phase: "other", Do: "stop this"})
	root.RootRule = true
	r := moves([]verdict.Finding{root, held("a", "v", "front", weld), held("a", "down", "", weld)})
	r[0].Unsolved = true
	p := punch.List(r)
	assert.Equal(t, []string{"other, down: stop this", "weld, v: weld it", "weld, down: weld it"}, lines(p))
	assert.True(t, p.Jobs[0].First && !p.Jobs[1].First)
	assert.Equal(t, []string{"a"}, p.Unsolved)
}

// A line that asks for a word says which there are.
func TestPunchNamesTheWordsAllowed(t *testing.T) {
	f := verdict.Finding{Rule: "a", Outcome: verdict.NotRecorded, Blocking: true, Item: "w", Kind: "welds",
		Missing: []verdict.Missing{{Path: "welds.w.fillet.layout", Doc: "the lines it is made of", Words: "one line or circle"}}}
	assert.Equal(t, []string{"record, w: look or measure, and write down: the lines it is made of: one line or circle"}, lines(punch.List(moves([]verdict.Finding{f}))))
}

// What goes with a part is a line of its own, in the same number.
func TestPunchWith(t *testing.T) {
	nut := held("a", "v", "front", verdict.Work{Phase: "fit", Do: "fit them", Part: "castle nut", Quantity: 2, With: "split pin", Thread: "M12x1.25", Class: "8"})
	assert.Equal(t, []verdict.Purchase{
		{Part: "castle nut", Quantity: 2, Thread: "M12x1.25", Class: "8", Items: []string{"v"}, Moves: []string{"a"}},
		{Part: "split pin", Quantity: 2, Items: []string{"v"}, Moves: []string{"a"}},
	}, punch.List(moves([]verdict.Finding{nut})).Buy)
}

func TestPunchCountsParts(t *testing.T) {
	bolt := func(n int) verdict.Work {
		return verdict.Work{Phase: "fit", Do: "fit it", Part: "bolt M8", Quantity: n}
	}
	r := moves([]verdict.Finding{held("a", "v", "front", bolt(2)), held("a", "w", "rear", bolt(1))}, []verdict.Finding{held("a", "v", "front", bolt(2))})
	assert.Equal(t, []verdict.Purchase{{Part: "bolt M8", Quantity: 3, Items: []string{"v", "w"}, Moves: []string{"a", "b"}}}, punch.List(r).Buy)
	assert.Equal(t, []verdict.Purchase{{Part: "bolt M8", Quantity: 2, Items: []string{"v"}, Moves: []string{"b"}}}, punch.List(r[1:]).Buy)
	castors := func(kg string) verdict.Finding {
		return held("a", "d", "", verdict.Work{Phase: "buy", Do: kg, Part: "castor for " + kg, Quantity: 4, Set: set("d", "rated", kg)})
	}
	both := punch.List(moves([]verdict.Finding{castors("240 kg")}, []verdict.Finding{castors("360 kg")}))
	assert.Equal(t, []verdict.Purchase{{Part: "castor for 360 kg", Quantity: 4, Items: []string{"d"}, Moves: []string{"a", "b"}}}, both.Buy)
	assert.Equal(t, []string{"a", "b"}, both.Jobs[0].Moves)
	weld := held("a", "w", "rear", verdict.Work{Phase: "weld", Do: "weld it", Set: set("w", "made", "full", "toes", "fine")})
	dress := held("b", "w", "rear", verdict.Work{Phase: "fit", Do: "dress it", Part: "disc", Set: set("w", "toes", "fine")})
	assert.Equal(t, []verdict.Purchase{{Part: "disc", Quantity: 1, Items: []string{"w"}, Moves: []string{"a"}}}, punch.List(moves([]verdict.Finding{dress, weld})).Buy)
	assert.Equal(t, []string{"a", "b"}, punch.List(r).Moves)
	assert.Equal(t, []string{"a", "b"}, punch.List(r).Jobs[0].Moves)
}

// A fact that several rules miss is one line, at the item whose fact it is; what loads wait for
// comes first, also what no finding names yet.
func TestFactsStandWithTheirOwner(t *testing.T) {
	mass := verdict.Missing{Path: "parts.engine.mass", Doc: "mass"}
	a, b := unseen("r", "a", "found.made", "how far made"), unseen("r", "b", "found.made", "how far made")
	a.Missing, b.Missing = append(a.Missing, mass), append(b.Missing, mass)
	list := moves([]verdict.Finding{a, b})
	list[0].First = []verdict.Missing{mass, {Path: "joints.j.at", Doc: "where it is"}}
	p := punch.List(list)
	assert.Equal(t, []string{
		"record, j: look or measure, and write down: where it is", // at no place of the walk round
		"record, engine: look or measure, and write down: mass",
		"record, a: look or measure, and write down: how far made",
		"record, b: look or measure, and write down: how far made",
	}, func() (got []string) {
		for _, j := range p.Jobs {
			got = append(got, j.Phase+", "+j.Item+": "+j.Do)
		}
		return got
	}())
	assert.True(t, p.Jobs[0].First && p.Jobs[1].First && !p.Jobs[2].First)
}
