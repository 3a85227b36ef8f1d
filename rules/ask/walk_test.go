package ask_test

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
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
	all, err := pack.LoadRules(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	return e
}

// walker goes round a vehicle of testdata/short with an empty log and finds all well,
// as the design asks for it.
type walker struct {
	t      testing.TB
	engine *engine.Engine
	file   string
	move   string
	log    string
	now    time.Time
	round  *verdict.Round

	answers, presses int
	screens          []string // in front of which somebody stood, in order
}

func newWalker(t testing.TB, name, move string) *walker {
	w := &walker{t: t, engine: rules(t), file: "../../testdata/short/" + name + ".yaml", move: move, now: time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC)}
	w.judge()
	return w
}

func (w *walker) build() *model.Build {
	text, err := os.ReadFile(w.file)
	require.NoError(w.t, err)
	with := model.Companions{Looks: []byte(w.log), Table: func(name string) ([]byte, error) {
		return os.ReadFile(filepath.Join(filepath.Dir(w.file), name))
	}}
	b, err := model.ReadWith("car.yaml", text, with)
	require.NoError(w.t, err)
	return b
}

func (w *walker) judge() {
	b := w.build()
	y, m, d := w.now.Date()
	today := quantity.Date{Year: y, Month: m, Day: d}
	r, err := check.Run(w.t.Context(), b, w.engine, check.Options{Moves: []string{w.move}, Today: today})
	require.NoError(w.t, err)
	w.round, err = ask.Round(b, r, w.move)
	require.NoError(w.t, err)
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
	w.judge()
}

// fine is the answer of somebody who finds all as drawn.
func fine(l verdict.Line) string {
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
		return "367.5 mm"
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
func (w *walker) walk(least int) {
	for w.round.Questions() > least {
		s := &w.round.Screens[0]
		q := &s.Questions[0]
		if at := s.Place + ": " + s.Spot; len(w.screens) == 0 || w.screens[len(w.screens)-1] != at {
			w.screens = append(w.screens, at)
		}
		a := ask.Answer{Of: ids(q), Fact: q.Fact, Say: ask.Good}
		if q.Fact != "" {
			a.Say = fine(q.Lines[0])
		}
		if testing.Verbose() {
			fmt.Println(w.screens[len(w.screens)-1], a, len(q.Lines))
		}
		w.presses++
		if q.Each && q.Lines[0].Unit == "" {
			w.presses += len(q.Of) - 1
		}
		w.say(a)
		require.Less(w.t, w.answers, 400, "the walk does not come to an end")
	}
}

func TestChecklistByTheWalkAlone(t *testing.T) {
	w := newWalker(t, "checklist-mended", "onto-stands")
	assert.Equal(t, verdict.NoGo, w.round.Decision)
	w.walk(0)
	t.Logf("answers %d, presses %d, screens %d\n%s", w.answers, w.presses, len(w.screens), strings.Join(w.screens, "\n"))
	assert.Equal(t, verdict.Go, w.round.Decision, "%v", w.round)
	assert.LessOrEqual(t, w.presses, 60)
}

func TestFourCornersByTheWalk(t *testing.T) {
	w := newWalker(t, "special-mended", "onto-hub-stands")
	w.walk(0)
	t.Logf("the first time: answers %d, presses %d, screens %d", w.answers, w.presses, len(w.screens))
	assert.Equal(t, verdict.Go, w.round.Decision, "%+v", w.round)

	w.now = w.now.AddDate(0, 0, 15)
	w.answers, w.presses, w.screens = 0, 0, nil
	w.judge()
	assert.Equal(t, verdict.NoGo, w.round.Decision, "every look is too old")
	w.walk(0)
	t.Logf("a fortnight later: answers %d, presses %d, screens %d", w.answers, w.presses, len(w.screens))
	assert.Equal(t, verdict.Go, w.round.Decision, "%+v", w.round)
}
