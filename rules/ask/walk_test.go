package ask_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/ask"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

var day = quantity.Date{Year: 2026, Month: 11, Day: 25}

func rules(t testing.TB) *engine.Engine {
	t.Helper()
	e, err := builtIn()
	require.NoError(t, err)
	return e
}

// builtIn are the built-in rules, compiled once for all tests.
var builtIn = sync.OnceValues(func() (*engine.Engine, error) {
	all, err := pack.LoadRules(packs.FS, ".")
	if err != nil {
		return nil, err
	}
	return engine.New(all)
})

// walker goes round a vehicle with an empty log and finds all as drawn.
type walker struct {
	t      testing.TB
	engine *engine.Engine
	before *check.Judged
	file   string
	move   string
	log    string
	now    time.Time
	round  *verdict.Round

	// answers are questions answered; of a critical fact, pressed for every item, presses
	// counts each.
	answers, presses int
	screens          []string // in front of which somebody stood, in order
}

func newWalker(t testing.TB, file, move string) *walker {
	w := &walker{t: t, engine: rules(t), file: file, move: move, now: time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)}
	w.judge()
	return w
}

func (w *walker) build() *model.Build {
	text, err := os.ReadFile(w.file)
	require.NoError(w.t, err)
	with := model.Companions{Looks: []byte(w.log), Table: func(name string) ([]byte, error) {
		return os.ReadFile(filepath.Join(filepath.Dir(w.file), name))
	}}
	b, err := model.Read("car.yaml", text, with)
	require.NoError(w.t, err)
	return b
}

func (w *walker) judge() *model.Build {
	b := w.build()
	y, m, d := w.now.Date()
	today := quantity.Date{Year: y, Month: m, Day: d}
	o := check.Options{Moves: []string{w.move}, Today: today}
	before, err := check.Judge(w.t.Context(), b, w.engine, check.Options{Moves: o.Moves, Today: o.Today, Before: w.before})
	require.NoError(w.t, err)
	w.before = before
	if w.answers%4 == 0 { // one in four is held to a full judgement: so are others in TestKeptIsJudgedAnew
		alone, err := check.Run(w.t.Context(), b, w.engine, o)
		require.NoError(w.t, err)
		require.Equal(w.t, alone, w.before.Report, "after the last answer")
	}
	w.round, err = ask.Round(b, w.before.Report, w.move)
	require.NoError(w.t, err)
	return b
}

// say answers and judges anew.
func (w *walker) say(a ask.Answer) {
	w.t.Helper()
	q, err := ask.Find(w.round, a)
	require.NoError(w.t, err)
	w.now = w.now.Add(time.Second)
	y, m, d := w.now.Date()
	at := looks.Moment{Day: quantity.Date{Year: y, Month: m, Day: d}, Clock: w.now.Hour()*3600 + w.now.Minute()*60 + w.now.Second(), Timed: true}
	line, err := ask.Look(q, a, at, "TN", "test")
	require.NoError(w.t, err)
	w.log += line + "\n"
	w.answers++
	b := w.judge()
	if a.Fact != "" {
		return
	}
	// 'good' says what stood on the card, and nothing else: an unbroken mark is not a broken one.
	for _, of := range q.Of {
		for _, facts := range b.Standing[of.ID].Members {
			for name, fact := range facts {
				if fact.Moment == at {
					told := schema.KindOf(q.Kind).Found().Field(name).ToldBy
					assert.True(w.t, slices.ContainsFunc(q.Lines, func(l verdict.Line) bool { return l.Fact == name || l.Fact == told }), "%s: %s was not asked", of.ID, name)
				}
			}
		}
	}
}

// lengths of the bars of the four-corner car, centre to centre.
var lengths = map[string]string{"fl-strut": "367.5 mm", "fr-strut": "367.5 mm", "rl-strut": "414.4 mm", "rr-strut": "414.4 mm",
	"fl-toe": "347.2 mm", "fr-toe": "347.2 mm", "rl-toe": "363.1 mm", "rr-toe": "363.1 mm"}

// fine is the answer of somebody who finds all as drawn.
func fine(q *verdict.Question) string {
	l := q.Lines[0]
	if l.Fact == "strapped" {
		return "no" // it is lifted off its table
	}
	for _, word := range l.Words {
		if !slices.Contains(l.Bad, word) {
			return word
		}
	}
	switch {
	case l.Pair:
		return l.Drawn + ", " + l.Drawn
	case l.Drawn != "":
		return l.Drawn
	case l.Text:
		return "TN"
	case l.Fact == "length":
		return lengths[q.Of[0].ID]
	case l.Unit == "mm/m" || l.Fact == "slope":
		return "2 mm/m"
	}
	return "2"
}

func ids(q *verdict.Question) []string {
	var list []string
	for _, of := range q.Of {
		list = append(list, of.ID)
	}
	return list
}

// walk answers until nothing is asked. What is critical is pressed for every item.
func (w *walker) walk() {
	for len(w.round.Screens) > 0 {
		s := &w.round.Screens[0]
		q := &s.Questions[0]
		if at := s.Place + ": " + s.Spot; len(w.screens) == 0 || w.screens[len(w.screens)-1] != at {
			w.screens = append(w.screens, at)
		}
		a := ask.Answer{Of: ids(q), Fact: q.Fact, Say: ask.Good}
		if q.Fact != "" {
			a.Say = fine(q)
		}
		w.presses++
		if q.Each && q.Lines[0].Unit == "" {
			w.presses += len(q.Of) - 1
		}
		w.say(a)
		require.Less(w.t, w.answers, 400, "the walk does not come to an end")
	}
}

// The checklist of the demos goes from an empty log to GO by the walk alone.
func TestChecklistByTheWalkAlone(t *testing.T) {
	w := newWalker(t, "../../testdata/short/checklist-mended.yaml", "onto-stands")
	assert.Equal(t, verdict.NoGo, w.round.Decision)
	w.walk()
	t.Logf("%d answers, %d presses, %d screens", w.answers, w.presses, len(w.screens))
	assert.Equal(t, verdict.Go, w.round.Decision, "%v", w.round)
	assert.Empty(t, w.round.Written)
	assert.LessOrEqual(t, w.presses, 60)
	assert.LessOrEqual(t, len(w.screens), 11)
	w.now = w.now.AddDate(0, 0, 15)
	w.answers, w.presses, w.screens = 0, 0, nil
	w.judge()
	w.walk()
	t.Logf("a fortnight later: %d answers, %d presses, %d screens", w.answers, w.presses, len(w.screens))
	assert.Equal(t, verdict.Go, w.round.Decision, "%v", w.round)
	assert.LessOrEqual(t, w.presses, 30)
}

// Of what 'new' writes the walk answers all but what nobody can have written before it:
// how the axles are laid out and the frame is made, and what was counted at the vehicle.
func TestStarterByTheWalk(t *testing.T) {
	w := newWalker(t, "../../cmd/setdown/internal/app/starter-checklist.yaml", "onto-stands")
	w.walk()
	t.Logf("%d answers, %d presses, %d screens", w.answers, w.presses, len(w.screens))
	assert.Equal(t, 1, w.round.Stops, "the axles")
	assert.LessOrEqual(t, w.presses, 20)
	for _, m := range w.round.Written {
		assert.Regexp(t, `^(listed\.|vehicle\.frame$)`, m.Path)
	}
	assert.Len(t, w.round.Written, 6)
}

// Of a vehicle of which nothing is measured yet a person is asked what is needed first and what
// is sure to matter; what only carries perhaps comes last.
func TestNewVehicleAsksFirst(t *testing.T) {
	layout, err := layouts.Find("double wishbone")
	require.NoError(t, err)
	car, table := layouts.Write(layout, layout, "points.csv")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "car.yaml"), car, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "points.csv"), table, 0o644))
	w := newWalker(t, filepath.Join(dir, "car.yaml"), "frame-tied")
	sure, may := w.round.Questions()
	t.Logf("%d facts first, %d questions sure, %d perhaps, %d facts in all", len(w.round.First), sure, may, w.round.Facts)
	assert.LessOrEqual(t, len(w.round.First), 20)
	assert.LessOrEqual(t, sure, 30)
	assert.Greater(t, may, 50)
	perhaps := false
	for _, s := range w.round.Screens {
		perhaps = perhaps || s.May
		assert.Equal(t, perhaps, s.May, "%s %s comes too late", s.Place, s.Spot)
		for _, q := range s.Questions {
			of := slices.Contains([]string{"supports", "restraints", "site", "vehicle", "moves"}, q.Kind)
			assert.Equal(t, of, !s.May, "%s: %v", q.Kind, ids(&q))
		}
	}
}

func TestFourCornersByTheWalk(t *testing.T) {
	w := newWalker(t, "../../testdata/short/special-mended.yaml", "onto-hub-stands")
	w.walk()
	t.Logf("the first time: %d answers, %d presses, %d screens", w.answers, w.presses, len(w.screens))
	assert.Equal(t, verdict.Go, w.round.Decision, "%+v", w.round)
	assert.LessOrEqual(t, w.answers, 102)
	assert.LessOrEqual(t, w.presses, 174)
	assert.LessOrEqual(t, len(w.screens), 15)

	w.now = w.now.AddDate(0, 0, 15)
	w.answers, w.presses, w.screens = 0, 0, nil
	w.judge()
	assert.Equal(t, verdict.NoGo, w.round.Decision, "every look is too old")
	w.walk()
	t.Logf("a fortnight later: %d answers, %d presses, %d screens", w.answers, w.presses, len(w.screens))
	assert.Equal(t, verdict.Go, w.round.Decision, "%+v", w.round)
	// How things were made lives on its witness: torque and a lock in the nut on the unbroken
	// mark, a weld on no crack. Pins, pawls and how things are set are named again.
	assert.LessOrEqual(t, w.answers, 50)
	assert.LessOrEqual(t, w.presses, 56)
}

// A later round asks of each thing what hands and time change. How it was made stands, and is
// not said again; but somebody who finds it wrong says so.
func TestLaterRoundIsShort(t *testing.T) {
	w := newWalker(t, "../../testdata/short/checklist-mended.yaml", "onto-stands")
	w.walk()
	require.Equal(t, verdict.Go, w.round.Decision)
	w.now = w.now.AddDate(0, 0, 15)
	w.judge()
	byKind := map[string]*verdict.Question{}
	for i := range w.round.Screens {
		for j := range w.round.Screens[i].Questions {
			if q := &w.round.Screens[i].Questions[j]; q.Fact == "" {
				byKind[q.Kind] = q
			}
		}
	}
	welds := byKind["welds"]
	require.NotNil(t, welds)
	require.Len(t, welds.Lines, 1)
	assert.Equal(t, "crack", welds.Lines[0].Fact)
	require.NotNil(t, welds.Line("leg"))
	weld := welds.Of[0].ID
	w.say(ask.Answer{Of: []string{weld}, Fact: "toes", Say: "rolled over"})
	assert.True(t, w.build().Standing[weld].Group["toes"].Fault)

	// A word of which several are good is said again by who reads it.
	vehicle := byKind["vehicle"]
	require.NotNil(t, vehicle)
	battery := vehicle.Line("battery")
	require.NotNil(t, battery)
	assert.Equal(t, "out", battery.Still)
	at := looks.Moment{Day: day, Clock: 36000, Timed: true}
	for _, c := range []struct {
		why          string
		answer       ask.Answer
		says, leaves string
	}{
		{"as it stands there", ask.Answer{}, "battery: out", ""},
		{"as it stood on a telephone", ask.Answer{Seen: []string{"battery"}, Still: map[string]string{"battery": "out"}}, "battery: out", ""},
		{"it was another word on the telephone", ask.Answer{Seen: []string{"battery"}, Still: map[string]string{"battery": "isolated"}}, "", "battery"},
		{"the telephone did not ask it", ask.Answer{Seen: []string{"hot_work"}}, "", "battery"},
	} {
		c.answer.Of, c.answer.Say = []string{"vehicle"}, ask.Good
		line, err := ask.Look(vehicle, c.answer, at, "TN", "test")
		require.NoError(t, err)
		_, unseen, _ := strings.Cut(line, "unseen: ")
		assert.Equal(t, c.says != "", strings.Contains(line, "found: {battery: out"), "%s: %s", c.why, line)
		assert.Equal(t, c.leaves != "", strings.Contains(unseen, "battery"), "%s: %s", c.why, line)
	}
}

// What ends when a fault is mended is asked beside the fault: who torques a nut again puts its pin in
// on the same visit. It holds for the one bolt of a group as for a thing by itself.
func TestMendedOnOneVisit(t *testing.T) {
	w := newWalker(t, "../../testdata/short/checklist-mended.yaml", "onto-stands")
	w.walk()
	require.Equal(t, verdict.Go, w.round.Decision)
	for _, low := range []string{"left-taper-nut", "front-pivot-bolts{2}"} {
		w.log += "- {day: 2026-11-25 20:00, by: EA, of: [\"" + low + "\"], found: {torqued: 10 N·m}}\n"
		w.now = time.Date(2026, 11, 25, 21, 0, 0, 0, time.UTC)
		w.judge()
		var asked []string
		for _, s := range w.round.Screens {
			for _, q := range s.Questions {
				assert.Equal(t, []string{low}, ids(&q), "nothing else is wrong")
				for _, l := range q.Lines {
					asked = append(asked, l.Fact)
				}
			}
		}
		assert.Subset(t, asked, []string{"torqued", "lock_fitted", "marked"}, low)
		first := w.answers
		w.walk()
		require.Equal(t, verdict.Go, w.round.Decision)
		assert.LessOrEqual(t, w.answers-first, 3, "torque, the card, the lock: %s", low)
	}
}

// What an earlier 'good' left open, so that only the worst that its card allows stands, is no word that
// 'good' says again: it is asked.
func TestOnlyWhatSomebodySaidIsSaidAgain(t *testing.T) {
	w := newWalker(t, "../../testdata/short/checklist-mended.yaml", "onto-stands")
	w.log = "- {day: 2026-11-10, by: TN, of: [vehicle], good: yes, found: {battery: out}}\n"
	w.judge()
	stands := w.build().Standing["vehicle"].Group
	require.True(t, stands["fuel"].ByCard)
	asked := map[string]bool{}
	for _, s := range w.round.Screens {
		for _, q := range s.Questions {
			if q.Of[0].ID != "vehicle" {
				continue
			}
			asked[q.Fact] = true
			for _, l := range q.Lines {
				assert.True(t, q.Fact != "" || l.Still == "" || !stands[l.Fact].ByCard, "%s: %s", l.Fact, l.Still)
			}
		}
	}
	assert.True(t, asked["fuel"], "%v", asked)
}

// A temporary bar and a track rod at one corner are one question, whose line about the tag
// says of which it is.
func TestLinesOfSomeOfThem(t *testing.T) {
	w := newWalker(t, "../../testdata/short/special-mended.yaml", "onto-hub-stands")
	corners := 0
	for _, s := range w.round.Screens {
		for _, q := range s.Questions {
			if q.Kind != "links" || q.Fact != "" {
				continue
			}
			corners++
			assert.ElementsMatch(t, []string{"strut", "toe"}, []string{q.Of[0].ID[3:], q.Of[len(q.Of)-1].ID[3:]})
			require.NotNil(t, q.Line("tagged"))
			assert.Equal(t, []string{q.Of[0].ID[:3] + "strut"}, q.Line("tagged").Of)
			assert.Empty(t, q.Line("bent").Of)
		}
	}
	assert.Equal(t, 4, corners)
}

// A second pair of eyes is asked what is critical and one has seen, without its answer;
// having looked, it is one, and nothing else changes. (Common practice in aviation
// maintenance: a critical task is looked at by a second person, 145.A.48(b), from memory.)
func TestSecondLook(t *testing.T) {
	w := newWalker(t, "../../testdata/short/checklist-mended.yaml", "onto-stands")
	w.walk()
	require.Equal(t, verdict.Go, w.round.Decision)
	require.NotEmpty(t, w.round.Second)
	by := "EA"
	w.now = w.now.AddDate(0, 0, 1) // comes the day after
	w.judge()
	stops := w.round.Stops // what holds for a day alone
	for range 20 {
		if len(w.round.Second) == 0 {
			break
		}
		q := w.round.Second[0].Questions[0]
		assert.Equal(t, "TN", q.First)
		a := ask.Answer{Of: ids(&q), Fact: q.Fact, Say: fine(&q), Blind: true}
		found, err := ask.Find(w.round, a)
		require.NoError(t, err)
		w.now = w.now.Add(time.Second)
		line, err := ask.Look(found, a, looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: w.now.Day()}, Clock: w.now.Hour()*3600 + w.now.Minute()*60 + w.now.Second(), Timed: true}, by, "test")
		require.NoError(t, err)
		assert.Contains(t, line, "blind: yes")
		w.log += line + "\n"
		w.judge()
		assert.Equal(t, stops, w.round.Stops, "a second look ends nothing: %s", line)
	}
	assert.Empty(t, w.round.Second)
	b := w.build()
	first, _ := b.Item("left-taper-nut").Text("found.by")
	other, _ := b.Item("left-taper-nut").Text("found.seen_by")
	assert.ElementsMatch(t, []string{"TN", "EA"}, []string{first, other})
}

// Of a corner that is tied up only what its strap hangs on is asked, alike things together: is it
// in, how tight, how far is it welded. The rest of their cards may wait until they carry.
func TestTiedCornersAreAskedLittle(t *testing.T) {
	w := newWalker(t, "../../testdata/short/special-mended.yaml", "off-table-tied")
	corners := 0
	for _, s := range w.round.Screens {
		if s.Spot != "" || s.Place == "body" {
			continue
		}
		corners++
		assert.LessOrEqual(t, len(s.Questions), 6, s.Place)
		for _, q := range s.Questions {
			assert.NotEmpty(t, q.Fact, "%s: the whole card of %v", s.Place, ids(&q))
			assert.Equal(t, q.Fact == "tightness", strings.HasPrefix(q.Lines[0].Good, "finger tight or more"), "%s: %v", q.Fact, ids(&q))
		}
	}
	assert.Equal(t, 4, corners)
	w.walk()
	t.Logf("%d answers, %d presses, %d screens", w.answers, w.presses, len(w.screens))
	assert.Equal(t, verdict.Go, w.round.Decision, "%+v", w.round)
}

// What mostly proves needless is asked once the answer is in that makes it needed: plates on a soft
// floor, who isolated a drive battery that there is.
func TestNeedlessIsAskedLast(t *testing.T) {
	w := newWalker(t, "../../testdata/short/checklist-mended.yaml", "onto-stands")
	asked := func(of, fact string) bool {
		_, err := ask.Find(w.round, ask.Answer{Of: []string{of}, Fact: fact})
		return err == nil
	}
	for _, c := range []struct{ of, first, needless, needed, last string }{
		{"site", "floor", "concrete", "gravel", "plates"},
		{"vehicle", "high_voltage", "none", "isolated", "isolated_by"},
	} {
		assert.True(t, asked(c.of, c.first), c.first)
		assert.False(t, asked(c.of, c.last), c.last)
		log := w.log
		w.say(ask.Answer{Of: []string{c.of}, Fact: c.first, Say: c.needless})
		assert.False(t, asked(c.of, c.last), "%s: %s", c.last, c.needless)
		w.log = log
		w.judge()
		w.say(ask.Answer{Of: []string{c.of}, Fact: c.first, Say: c.needed})
		assert.True(t, asked(c.of, c.last), "%s: %s", c.last, c.needed)
		w.log = log
		w.judge()
	}
}

// What is rolled has its chocks out: nobody is asked for them, and no 'good' says them. Where it stands
// still the same wheels are.
func TestNobodyChocksWhatRolls(t *testing.T) {
	asked := func(move string) (lines []string) {
		for _, s := range newWalker(t, "../../testdata/short/buggy-mended.yaml", move).round.Screens {
			for _, q := range s.Questions {
				for _, l := range q.Lines {
					lines = append(lines, q.Kind+" "+l.Fact)
				}
			}
		}
		return lines
	}
	rolled, lowered := asked("roll-out"), asked("onto-wheels")
	assert.NotContains(t, rolled, "supports chocked")
	assert.NotContains(t, rolled, "moves chocked")
	assert.Contains(t, rolled, "moves stop_means")
	assert.Contains(t, lowered, "moves chocked")
	for _, fact := range []string{"level", "contact", "padded", "oily"} { // a tyre has no feet and no saddle
		assert.NotContains(t, rolled, "supports "+fact)
	}
}
