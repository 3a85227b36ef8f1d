package walkround

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/reports/text"
	"setdown/rules/ask"
	"setdown/rules/check"
	"setdown/rules/engine"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

const car = `format: setdown/2
vehicle: {name: x, checklist: yes}
axles: {front: other, rear: other}
places: [front, rear]
parts: {car: {mass: 400 kg}}
welds: {mount: {role: bracket, parent: mild steel, place: front}, lug: {role: bracket, parent: mild steel, place: front}, hook: {role: bracket, parent: mild steel, place: rear}}
moves: {stays: {kind: rest, people_needed: 1, steps: [{name: so, supports: [s]}]}}
supports: {s: {kind: stand, under: car, rated: 2 t, rated_per: each, bears_on: frame node, place: front}}
`

func session(t *testing.T) *Session {
	t.Helper()
	all, err := pack.LoadRules(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "car.yaml")
	require.NoError(t, os.WriteFile(file, []byte(car), 0o644))
	return opened(t, file, "TN", e)
}

func opened(t *testing.T, file, by string, e *engine.Engine) *Session {
	now := func() time.Time { return time.Date(2026, 11, 25, 8, 0, 0, 0, time.UTC) }
	s := &Session{Book: &Book{File: file, Now: now}, By: by, Via: "test"}
	s.Judge = func(b *model.Build) (*verdict.Round, error) {
		r, err := check.Run(t.Context(), b, e, check.Options{Moves: []string{"stays"}, Today: quantity.Date{Year: 2026, Month: 11, Day: 25}})
		if err != nil {
			return nil, err
		}
		return ask.Round(b, r, "stays")
	}
	require.NoError(t, s.Start())
	return s
}

func log(t *testing.T, s *Session) string {
	t.Helper()
	text, err := os.ReadFile(model.LogName(s.Book.File))
	if !os.IsNotExist(err) {
		require.NoError(t, err)
	}
	return string(text)
}

func made(of ...string) ask.Answer { return ask.Answer{Of: of, Fact: "made", Say: "full"} }

// An answer is on the disk when Say comes back, and one that cannot be read never is.
func TestAnswersAreWritten(t *testing.T) {
	s := session(t)
	require.NoError(t, s.Say(made("mount", "lug")))
	was := log(t, s)
	assert.Equal(t, "looks:\n- {day: 2026-11-25 08:00:00, by: \"TN\", via: test, of: [mount, lug], fp: {mount: c0bb427b of parent, lug: c0bb427b of parent}, found: {made: full}}\n", was)

	for _, a := range []ask.Answer{
		{Of: []string{"mount"}, Fact: "made", Say: "half"},
		{Of: []string{"mount"}, Fact: "torqued", Say: "45 N·m"},
		{Of: []string{"mount", "s"}, Fact: "crack", Say: "yes"},
		{Of: []string{"mount{2}"}, Fact: "crack", Say: "yes"},
		{Of: []string{"mount"}, Fact: "undercut", Say: "3 N·m"},
		{Of: []string{"mount"}, Fact: "undercut", Say: "9 m"},
		{Of: []string{"mount"}, Say: "fine"},
		{Of: []string{"mount"}, Say: ask.DoesNotApply},
		{Of: []string{"parsnip"}, Say: ask.Good},
		{Say: ask.Good},
	} {
		var refused *RefusedError
		require.ErrorAs(t, s.Say(a), &refused, "%v", a)
	}
	assert.Equal(t, was, log(t, s))
}

// What somebody saw is written though nothing asks for it, and a fault stops the move again,
// of one thing or of several, whichever answer of a sheet comes first.
func TestAnswersThatAreNotAsked(t *testing.T) {
	crack := func(of ...string) ask.Answer { return ask.Answer{Of: of, Fact: "crack", Say: "yes"} }
	good := func(of ...string) ask.Answer { return ask.Answer{Of: of, Say: ask.Good} }
	for name, list := range map[string][]ask.Answer{
		"last":         {made("mount", "lug", "hook"), good("mount", "lug"), good("hook"), crack("mount")},
		"first":        {crack("mount"), good("mount"), good("lug", "hook"), made("mount", "lug", "hook")},
		"of several":   {made("mount", "lug", "hook"), good("mount", "lug", "hook"), crack("mount", "lug")},
		"over places":  {good("hook", "mount", "lug"), crack("mount"), made("hook", "lug", "mount")},
		"figure alone": {made("mount", "lug", "hook"), good("mount", "lug", "hook"), {Of: []string{"mount"}, Fact: "undercut", Say: "3 mm"}},
	} {
		s := session(t)
		clean := session(t)
		refused, err := s.SayAll(list)
		require.NoError(t, err, name)
		assert.Empty(t, refused, name)
		assert.Equal(t, len(list), strings.Count(log(t, s), "via: test"), name)
		_, err = clean.SayAll([]ask.Answer{made("mount", "lug", "hook"), good("mount", "lug", "hook")})
		require.NoError(t, err)
		assert.Greater(t, s.Round.Stops, clean.Round.Stops, name)
	}
}

// Names that try to break out stay names.
func TestNamesAreText(t *testing.T) {
	s := session(t)
	s.By = "TN\", of: [hook], good: yes}\n- {x: \""
	err := s.Say(made("mount"))
	if err == nil {
		assert.Equal(t, 2, strings.Count(log(t, s), "\n"))
	}
	s.By = `TN", of: [hook], good: yes} #`
	require.NoError(t, s.Say(made("lug")))
	b, err := model.Load(s.Book.File)
	require.NoError(t, err)
	for _, look := range b.Log.Looks {
		assert.NotEqual(t, "hook", look.Of[0].ID)
	}
}

// Two people at one time: both are in the log, and each sees what the other said.
func TestTwoAtOnce(t *testing.T) {
	s := session(t)
	all, err := pack.LoadRules(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	other := opened(t, s.Book.File, "EA", e)
	require.NoError(t, s.Say(made("mount", "lug")))
	require.NoError(t, other.Say(made("hook")))
	for _, screen := range other.Round.Screens {
		for _, q := range screen.Questions {
			assert.NotEqual(t, "made", q.Fact, "%v", q.Of)
		}
	}
	assert.Contains(t, log(t, s), `by: "EA"`)
	assert.Contains(t, log(t, s), `by: "TN"`)
}

// However many answers come in one second, none is ahead of the clock: it would not count
// yet. The later line of a second counts, though it says the same as an earlier one, and what
// was said again after it was taken back stands.
func TestManyAnswersInOneSecond(t *testing.T) {
	s := session(t)
	judge := s.Judge
	s.Judge = func(b *model.Build) (*verdict.Round, error) {
		for _, look := range b.Log.Looks {
			assert.Equal(t, "2026-11-25 08:00:00", look.Moment.String())
		}
		return judge(b)
	}
	crack := func(say string) ask.Answer { return ask.Answer{Of: []string{"mount"}, Fact: "crack", Say: say} }
	var list []ask.Answer
	for range 20 {
		list = append(list, crack("yes"), crack("no"), crack("yes"))
	}
	require.Len(t, list, 60)
	refused, err := s.SayAll(list)
	require.NoError(t, err)
	assert.Empty(t, refused)
	assert.Len(t, s.build.Log.Looks, len(list))
	cracked := func() bool {
		weld := s.build.Of("welds")[0]
		yes, known := weld.Bool("found.crack")
		require.True(t, known)
		return yes
	}
	assert.True(t, cracked())
	require.NoError(t, s.Say(crack("no")))
	assert.False(t, cracked())
	require.NoError(t, s.TakeBack())
	require.NoError(t, s.Say(crack("no")))
	assert.False(t, cracked(), "said again")

	require.NoError(t, s.Say(made("mount")))
	require.NoError(t, s.TakeBack())
	assert.False(t, cracked(), "taken back was the last alone")
}

// What is good and taken back is asked again; a fault that is taken back stays one until
// somebody has looked at the item alone.
func TestTakeBack(t *testing.T) {
	s := session(t)
	require.NoError(t, s.Say(made("mount", "lug")))
	before := s.Round.Facts
	require.NoError(t, s.TakeBack())
	assert.Greater(t, s.Round.Facts, before)

	require.NoError(t, s.Say(made("mount", "lug")))
	require.NoError(t, s.Say(ask.Answer{Of: []string{"mount"}, Fact: "crack", Say: "yes"}))
	require.NoError(t, s.TakeBack())
	q, err := ask.Find(s.Round, ask.Answer{Of: []string{"mount"}})
	require.NoError(t, err)
	assert.Len(t, q.Of, 1, "asked alone")
	require.Len(t, q.Was, 1)
	assert.Equal(t, "crack", q.Was[0].Fact)
	require.NoError(t, s.Say(ask.Answer{Of: []string{"mount"}, Say: ask.Good}))
	_, err = ask.Find(s.Round, ask.Answer{Of: []string{"mount"}})
	assert.Error(t, err, "nothing is left of it")
}

// What was found wrong is a job now and not asked again on this round, a figure below the
// drawn one too; it is asked on the next.
func TestFaultsAreNotAskedTwice(t *testing.T) {
	s := session(t)
	require.NoError(t, s.Say(made("mount", "lug")))
	require.NoError(t, s.Say(ask.Answer{Of: []string{"mount"}, Fact: "undercut", Say: "3"}))
	asked := func(s *Session) bool {
		for {
			_, q := s.Next()
			if q == nil {
				return false
			}
			if q.Of[0].ID == "mount" {
				return true
			}
			s.Later(q)
		}
	}
	assert.False(t, asked(s))
	require.NoError(t, s.Start())
	assert.True(t, asked(s))
}

// A member of a group that was found wrong is asked by itself, by its number; a look at the
// others does not end it, and one at it alone does.
func TestMembers(t *testing.T) {
	s := session(t)
	text := strings.Replace(car, "welds: {", "welds: {lugs: {role: bracket, needed: 3, parent: mild steel, place: front}, ", 1)
	require.NoError(t, os.WriteFile(s.Book.File, []byte(text), 0o644))
	require.NoError(t, s.Start())
	require.NoError(t, s.Say(made("lugs{1}", "lugs{2}", "lugs{3}")))
	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs{2}"}, Fact: "crack", Say: "yes"}))
	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs"}, Say: ask.Good}))
	q, err := ask.Find(s.Round, ask.Answer{Of: []string{"lugs{2}"}})
	require.NoError(t, err)
	require.Len(t, q.Was, 1)
	assert.Equal(t, []verdict.Asked{{ID: "lugs{2}", Members: 1, Print: q.Of[0].Print}}, q.Of)
	_, err = ask.Find(s.Round, ask.Answer{Of: []string{"lugs"}})
	require.Error(t, err, "the others are good")
	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs{2}"}, Say: ask.Good}))
	_, err = ask.Find(s.Round, ask.Answer{Of: []string{"lugs{2}"}, Fact: "made"})
	require.NoError(t, err, "a crack is welded anew, and nobody has said how far")
	require.NoError(t, s.Say(made("lugs{2}")))
	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs"}, Say: ask.Good}), "nor looked at it")
	_, err = ask.Find(s.Round, ask.Answer{Of: []string{"lugs{2}"}})
	assert.Error(t, err, "mended")
}

// What is critical is named of the thing as it is drawn: a nut of another thread, or with another
// lock, is torqued and locked anew, and the mark on its head is looked at again. How it is finished changes nothing of it.
func TestAnswersOfADesign(t *testing.T) {
	s := session(t)
	text := strings.Replace(car, "welds: {", "fasteners: {bolt: {role: pivot, critical: yes, place: front, thread: M10x1.5, class: \"8.8\", torque: 45 N·m, lock: split pin, tapped_into: nothing}}\nwelds: {", 1)
	require.NoError(t, os.WriteFile(s.Book.File, []byte(text), 0o644))
	require.NoError(t, s.Start())
	for _, said := range [][2]string{{"torqued", "45 N·m"}, {"lock_fitted", "yes"}, {"class_mark", "8.8"}} { // who torques takes the lock off: it is seen last
		require.NoError(t, s.Say(ask.Answer{Of: []string{"bolt"}, Fact: said[0], Say: said[1]}))
	}
	for change, ends := range map[string]bool{"M10x1.5": false, "M12x1.75": true, "M10x1.5, surface: plain": false} {
		require.NoError(t, os.WriteFile(s.Book.File, []byte(strings.Replace(text, "M10x1.5", change, 1)), 0o644))
		b, err := s.Book.Build()
		require.NoError(t, err)
		for _, fact := range []string{"torqued", "lock_fitted", "class_mark"} {
			_, stands := b.Standing["bolt"].Group[fact]
			assert.Equal(t, !ends, stands, "%s with %s", fact, change)
		}
	}
}

// What was found wrong of a whole group in one look is asked of it again, and ends by one look at all
// of it, which names the fact. What was found at one of them ends at that one alone, and who
// answers for the group is told what stays open.
func TestFaultOfAGroup(t *testing.T) {
	s := session(t)
	text := strings.Replace(car, "welds: {", "welds: {lugs: {role: bracket, needed: 3, parent: mild steel, place: front}, ", 1)
	require.NoError(t, os.WriteFile(s.Book.File, []byte(text), 0o644))
	require.NoError(t, s.Start())
	all := []string{"lugs"}
	standing := func(fact string) (faults int) {
		b, err := s.Book.Build()
		require.NoError(t, err)
		for _, facts := range b.Standing["lugs"].Members {
			if facts[fact].Fault {
				faults++
			}
		}
		return faults
	}
	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs", "lug"}, Fact: "made", Say: "tack"}))
	q, err := ask.Find(s.Round, ask.Answer{Of: all, Fact: "made"})
	require.NoError(t, err)
	require.Len(t, q.Was, 1)
	assert.Equal(t, "lugs", q.Was[0].Item)
	require.NoError(t, s.Say(made("lugs{1}", "lugs{2}")))
	assert.Equal(t, 3, standing("made"), "two of three are not all of them, nor one alone")
	require.NoError(t, s.Say(made("lugs{1}")))
	assert.Equal(t, 2, standing("made"))
	require.NoError(t, s.Say(made(all...)))
	assert.Zero(t, standing("made"))
	assert.Empty(t, s.StillOpen())

	// By the numbers of all of them it is the same.
	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs{1}", "lugs{2}", "lugs{3}"}, Fact: "made", Say: "tack"}))
	assert.Equal(t, 3, standing("made"))
	require.NoError(t, s.Say(made("lugs{1}", "lugs{2}", "lugs{3}")))
	assert.Zero(t, standing("made"))

	// 'Good' of the card of a group is a round, not an answer to what was found wrong of it.
	require.NoError(t, s.Say(ask.Answer{Of: all, Fact: "crack", Say: "yes"}))
	q, err = ask.Find(s.Round, ask.Answer{Of: all, Fact: "crack"})
	require.NoError(t, err)
	assert.Equal(t, "crack", q.Fact)
	require.NoError(t, s.Say(ask.Answer{Of: all, Say: ask.Good}))
	assert.Equal(t, 3, standing("crack"))
	require.NoError(t, s.Say(ask.Answer{Of: all, Fact: "crack", Say: "no"}))
	assert.Zero(t, standing("crack"))

	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs{2}"}, Fact: "crack", Say: "yes"}))
	s = &Session{Book: s.Book, By: s.By, Via: s.Via, Judge: s.Judge} // another day
	require.NoError(t, s.Start())
	require.NoError(t, s.Say(ask.Answer{Of: all, Fact: "crack", Say: "no"}))
	assert.Equal(t, 1, standing("crack"))
	open := s.StillOpen()
	require.Len(t, open, 1)
	assert.Equal(t, "lugs{2} crack yes", open[0].Item+" "+open[0].Fact+" "+open[0].Value)
	require.NoError(t, s.Say(ask.Answer{Of: []string{"lugs{2}"}, Fact: "crack", Say: "no"}))
	assert.Empty(t, s.StillOpen())
}

// A log that is torn, or cannot be written, stops the round; nothing is said to be
// written.
func TestLogThatCannotBeWritten(t *testing.T) {
	s := session(t)
	require.NoError(t, s.Say(made("mount", "lug")))
	name := model.LogName(s.Book.File)
	whole := log(t, s)
	require.NoError(t, os.WriteFile(name, []byte(whole+"- {day: 2026-11-25, by: TN, of: [mou"), 0o644))
	assert.ErrorContains(t, s.Say(made("hook")), "line feed is missing")
	require.NoError(t, os.WriteFile(name, []byte(whole), 0o644))

	require.NoError(t, os.Remove(name))
	require.NoError(t, os.Mkdir(name, 0o755))
	assert.Error(t, s.Say(made("hook")))
}

// What was put off comes at the end of its place, once.
func TestLater(t *testing.T) {
	s := session(t)
	var out bytes.Buffer
	require.NoError(t, Terminal(s, strings.NewReader(strings.Repeat("l\n", 40)), &out, text.Options{}, nil))
	asked := strings.Count(out.String(), "How far welded?")
	assert.Equal(t, 4, asked, "two places, twice:\n%s", out.String())
	first := strings.Index(out.String(), "Rear · ")
	assert.Equal(t, 2, strings.Count(out.String()[:first], "How far welded?"))
	assert.Empty(t, log(t, s))
}

// At the terminal nothing is wider than 80 columns or longer than 24 lines, and a fault
// of one leaves the other to be asked.
func TestTerminal(t *testing.T) {
	s := session(t)
	var out bytes.Buffer
	keys := "g\nyes\ng\nl\nl\nl\nl\n1 2\nn\n2\n3\ng\nb\nq\n"
	require.NoError(t, Terminal(s, strings.NewReader(keys), &out, text.Options{}, nil))
	for screen := range strings.SplitSeq(out.String(), "> ") {
		assert.LessOrEqual(t, strings.Count(screen, "\n"), 24)
	}
	for line := range strings.Lines(out.String()) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSpace(line))), 80)
	}
	assert.Contains(t, out.String(), "Stopped.")
	assert.Contains(t, log(t, s), "of: [lug], found: {crack: yes}", out.String())
	assert.Contains(t, log(t, s), "of: [mount], good: yes", out.String())
	assert.Contains(t, log(t, s), "withdraw:")
}

// 'good' and 'all' say of a card what g says; what nobody can read is met with what to type, and
// so is 'yes', for to some of the lines that is the bad answer; and at the end a fault is taken of
// a thing that nothing asks for.
func TestWordsAndFaultsAtTheTerminal(t *testing.T) {
	for _, word := range []string{"g", "good", "All", "all good"} {
		s := session(t)
		require.NoError(t, s.Say(made("mount", "lug", "hook")))
		var out bytes.Buffer
		keys := "yes\ny\n\n" + word + "\nq\n"
		require.NoError(t, Terminal(s, strings.NewReader(keys), &out, text.Options{}, nil))
		assert.Contains(t, log(t, s), "good: yes", word)
		assert.Equal(t, 3, strings.Count(out.String(), "type g if all of it is good"), out.String())
	}

	yesNo := verdict.Line{Words: []string{"yes", "no"}, Bad: []string{"yes"}}
	assert.Equal(t, "no", word(yesNo, "good"))
	assert.Equal(t, "good", word(verdict.Line{Words: []string{"good", "bent"}, Bad: []string{"bent"}}, "good"))
	assert.Equal(t, "good", word(verdict.Line{Words: []string{"none", "drained", "in tank"}, Bad: []string{"in tank"}}, "good"), "either of two")

	s := session(t)
	var out bytes.Buffer
	keys := strings.Repeat("l\n", 60)
	require.NoError(t, Terminal(s, strings.NewReader(keys), &out, text.Options{}, nil))
	asked := strings.Count(out.String(), "l later")
	out.Reset()
	require.NoError(t, s.Start())
	keys = strings.Repeat("l\n", asked) + "lug crack\nlug crack maybe\nlugg crack yes\nlug, crack, yes\n\n"
	require.NoError(t, Terminal(s, strings.NewReader(keys), &out, text.Options{}, nil))
	assert.Contains(t, out.String(), "it takes three: item, fact, value")
	assert.Contains(t, out.String(), `"maybe" is no answer to it; there are yes, no`)
	assert.Contains(t, out.String(), "the file has no lugg to look at")
	assert.Contains(t, log(t, s), "of: [lug], found: {crack: yes}")
	assert.Equal(t, 1, strings.Count(log(t, s), "via: test"))
	for line := range strings.Lines(out.String()) {
		assert.LessOrEqual(t, len([]rune(strings.TrimSpace(line))), 80)
	}
}

// With a terminal that hands over every key, one is enough where one says it all; a key
// that means nothing there does nothing, and what has to be typed is a line as before.
func TestSingleKeys(t *testing.T) {
	s := session(t)
	raws, backs := 0, 0
	raw := func() (func(), error) {
		raws++
		return sync.OnceFunc(func() { backs++ }), nil
	}
	var out bytes.Buffer
	// The stand's card by a key that means nothing and one that does; its pawl by a word's
	// first letter; the rest put off, by key or by line; then Ctrl-C.
	require.NoError(t, Terminal(s, strings.NewReader("xgood\n"+"yes\n"+strings.Repeat("l\n", 20)+"\x03"), &out, text.Options{}, raw))
	assert.Equal(t, raws, backs, "the terminal is as it was")
	assert.Positive(t, raws)
	assert.Contains(t, log(t, s), "of: [s], good: yes", out.String())
	assert.Regexp(t, `of: \[s\], fp: \{s: "[^"]*"\}, found: \{locked: yes\}`, log(t, s), out.String())
	assert.Equal(t, 2, strings.Count(log(t, s), "via: test"), "the rest of a word says nothing:\n%s", log(t, s))
	assert.Contains(t, out.String(), "Stopped.")

	words := verdict.Line{Words: []string{"concrete", "timber"}}
	assert.Empty(t, singleKeys(&verdict.Question{Fact: "floor", Lines: []verdict.Line{words}}), "c is said when one cannot see it")
	assert.Contains(t, singleKeys(&verdict.Question{Fact: "made", Lines: []verdict.Line{{Words: []string{"tack", "part", "full"}}}}), "tpf")
}

// What was said to be bad and stops nothing, as a jack on asphalt while nobody said whether plates lie under it, is no line of the card that is asked
// next: a 'good' of the lines beside it leaves it as it was said.
func TestGoodAfterAFault(t *testing.T) {
	all, err := pack.LoadRules(packs.FS, ".")
	require.NoError(t, err)
	e, err := engine.New(all)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "car.yaml")
	jacked := strings.NewReplacer("supports: {", "supports: {j: {kind: jack, under: car, rated: 2 t, rated_per: each, bears_on: frame node, place: rear}, ", "kind: rest", "kind: lower", "[{name: so,", "[{name: up, supports: [j, s]}, {name: so,").Replace(car)
	require.NoError(t, os.WriteFile(file, []byte(jacked), 0o644))
	s := opened(t, file, "TN", e)
	floor := func() (asked bool) {
		for _, screen := range s.Round.Screens {
			for _, q := range screen.Questions {
				asked = asked || q.Fact == "" && q.Line("floor") != nil && len(q.Of) == 1 && q.Of[0].ID == "j"
			}
		}
		return asked
	}
	require.True(t, floor())
	require.NoError(t, s.Say(ask.Answer{Of: []string{"j"}, Fact: "floor", Say: "asphalt"}))
	require.False(t, floor())
	require.NoError(t, s.Say(ask.Answer{Of: []string{"j"}, Say: ask.Good}))
	assert.Contains(t, log(t, s), "unseen: [floor]")
	assert.True(t, s.build.Standing["j"].Members[0]["floor"].Fault)
}
