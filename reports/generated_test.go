package reports_test

import (
	"io"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/reports/plain"
	"setdown/reports/text"
	"setdown/rules/verdict"
)

// maker makes documents of any content that a verdict can have: few things and many, short names
// and such as a file may have at most, everything known and nothing.
type maker struct {
	*rand.Rand
	most  int      // entries of a list
	names []string // ids: few of them, so that findings, work and items meet
}

func newMaker(seed uint64) *maker {
	m := &maker{Rand: rand.New(rand.NewPCG(seed, 0))}
	m.most = []int{1, 3, 8, 40}[m.IntN(4)]
	long := []int{6, 20, 60, 100}[m.IntN(4)]
	for range 1 + m.IntN(40) {
		name := []string{"fl", "fr", "rl", "rr", "engine", "α"}[m.IntN(6)] + "-" + m.letters(1+m.IntN(long))
		m.names = append(m.names, name[:min(len(name), long)])
	}
	return m
}

func (m *maker) letters(n int) string {
	var b strings.Builder
	for range n {
		b.WriteByte("abcdefghijklmnopqrstuvwxyz-_"[m.IntN(28)])
	}
	return b.String()
}

// words is a text: mostly a few words, now and then as much as a file may have.
func (m *maker) words() string {
	n := []int{1, 4, 12, 12, 40, 300}[m.IntN(6)]
	var b strings.Builder
	for i := range n {
		if i > 0 {
			b.WriteString([]string{" ", ", ", "; ", ": ", " (", "\n", "\r"}[min(m.IntN(30), 6)])
		}
		b.WriteString(m.letters(1 + m.IntN(12)))
	}
	return b.String()
}

// ids are the fields that hold one or several of them.
var ids = []string{"ID", "Item", "Items", "Move", "Moves", "Supports", "Stands", "Straps", "Off", "With", "Under", "From", "To", "Place", "Rule", "Rules", "Up", "For", "As", "By", "Second", "Orders"}

// enums are the values of a type that has few.
var enums = map[reflect.Type][]string{
	reflect.TypeFor[verdict.Decision](): {"GO", "NO-GO"},
	reflect.TypeFor[verdict.Outcome]():  {"stop", "error", "not recorded", "waived", "caution", "note"},
	reflect.TypeFor[verdict.Solution](): {"yes", "checklist", "not recorded", "not computed", "no equilibrium", "no joints", "no places"},
	reflect.TypeFor[quantity.System]():  {"metric", "inch"},
}

// fill gives a value any content.
func (m *maker) fill(v reflect.Value, name string, depth int) {
	switch v.Kind() {
	case reflect.Pointer:
		if m.IntN(3) > 0 && depth < 7 {
			v.Set(reflect.New(v.Type().Elem()))
			m.fill(v.Elem(), name, depth+1)
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[quantity.Date]() {
			v.Set(reflect.ValueOf(quantity.Date{Year: 2020 + m.IntN(9), Month: 11, Day: 1 + m.IntN(28)}))
			return
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				m.fill(v.Field(i), v.Type().Field(i).Name, depth+1)
			}
		}
	case reflect.Slice:
		if depth > 7 {
			return
		}
		n := m.IntN(m.most + 1)
		if depth > 3 {
			n = min(n, 4)
		}
		list := reflect.MakeSlice(v.Type(), n, n)
		for i := range n {
			m.fill(list.Index(i), name, depth+1)
		}
		v.Set(list)
	case reflect.Array:
		for i := range v.Len() {
			m.fill(v.Index(i), name, depth+1)
		}
	case reflect.String:
		switch few := enums[v.Type()]; {
		case few != nil:
			v.SetString(few[m.IntN(len(few))])
		case name == "Direction":
			v.SetString([]string{"worse", "better", "new", "gone"}[m.IntN(4)])
		case name == "Phase":
			v.SetString(verdict.Phases[m.IntN(len(verdict.Phases))])
		case name == "Kind":
			v.SetString([]string{"moves", "welds", "fasteners", "links", "supports", "link", "joint"}[m.IntN(7)])
		case name == "LetsGo":
			v.SetString([]string{"", "holds", "drops", "rocks", "falls"}[m.IntN(5)])
		case name == "Unit":
			v.SetString([]string{"N", "kg", "mm", "N·m", "°", "MPa"}[m.IntN(6)])
		case name == "When":
			v.SetString("2026-11-25 17:05")
		case name == "Path":
			v.SetString("welds." + m.names[m.IntN(len(m.names))] + ".found." + m.letters(8))
		case slices.Contains(ids, name):
			v.SetString(m.names[m.IntN(len(m.names))])
		default:
			v.SetString(m.words())
		}
	case reflect.Bool:
		v.SetBool(m.IntN(2) == 0)
	case reflect.Int, reflect.Int64:
		v.SetInt(int64(m.IntN(60)))
	case reflect.Float64:
		v.SetFloat(m.ExpFloat64() * []float64{1, 1000, 1e6}[m.IntN(3)])
	}
}

func made[T any](m *maker) *T {
	var doc T
	m.fill(reflect.ValueOf(&doc).Elem(), "", 0)
	return &doc
}

// report is one as rules/check makes it: what a list leads to is there.
func (m *maker) report() *verdict.Report {
	r := made[verdict.Report](m)
	r.File, r.Vehicle = "builds/"+m.letters(1+m.IntN(40))+".yaml", m.letters(1+m.IntN(60))
	for i := range r.Moves {
		move := &r.Moves[i]
		if move.Until != nil && len(move.Until.Ends) == 0 {
			move.Until = nil
		}
		move.Awaits = slices.DeleteFunc(move.Awaits, func(a verdict.Awaited) bool { return len(a.Orders) == 0 })
	}
	r.Decide()
	return r
}

// TestAnyTextFitsAScreen: the text of whatever there is to say has at most forty lines, none wider
// than the screen but for a word that is, and says the verdict first, the file, and the six cautions.
func TestAnyTextFitsAScreen(t *testing.T) {
	for seed := range uint64(40) {
		m := newMaker(seed)
		r := m.report()
		lines := func(what string, write func(io.Writer) error) string {
			var out strings.Builder
			require.NoError(t, write(&out), "seed %d", seed)
			assert.LessOrEqual(t, strings.Count(out.String(), "\n"), 40, "seed %d: %s", seed, what)
			for line := range strings.Lines(out.String()) {
				line = strings.TrimSuffix(line, "\n")
				if utf8.RuneCountInString(line) > 80 {
					assert.Less(t, len(strings.Fields(line)), 8, "seed %d, %s: %s", seed, what, line)
				}
			}
			return out.String()
		}
		for i := range min(3, len(r.Moves)) {
			one := *r
			one.Moves = r.Moves[i : i+1]
			sheet := lines("sheet", func(w io.Writer) error { return text.Write(w, []*verdict.Report{&one}, text.Options{}) })
			first, _, _ := strings.Cut(sheet, " ")
			assert.Equal(t, string(r.Moves[i].Decision), first, "seed %d", seed)
			assert.Contains(t, sheet, r.File, "seed %d", seed)
			for _, caution := range plain.UsualShort {
				assert.Contains(t, sheet, caution, "seed %d", seed)
			}
			lines("loads", func(w io.Writer) error { return text.Loads(w, &one, text.Options{}) })
			lines("punch", func(w io.Writer) error { return text.Punch(w, one.Moves[0].Punch, text.Options{}) })
		}
		lines("board", func(w io.Writer) error { return text.Write(w, []*verdict.Report{r}, text.Options{}) })
		lines("several", func(w io.Writer) error {
			return text.Write(w, slices.Repeat([]*verdict.Report{r}, 2+m.IntN(60)), text.Options{})
		})
		lines("loads", func(w io.Writer) error { return text.Loads(w, r, text.Options{}) })
		lines("tacks", func(w io.Writer) error { return text.Tacks(w, r, text.Options{}) })
		lines("punch", func(w io.Writer) error { return text.Punch(w, r.Punch, text.Options{}) })
		lines("compare", func(w io.Writer) error { return text.Compare(w, *made[verdict.Comparison](m), text.Options{}) })
		lines("looks", func(w io.Writer) error { return text.History(w, made[verdict.History](m), text.Options{}) })
	}
}
