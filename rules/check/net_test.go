package check_test

import (
	"bufio"
	"cmp"
	"context"
	"flag"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/schema"
	"setdown/rules/engine"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/verdict"
)

// net judges changed build files and keeps what must not have come out.
type net struct {
	engine *engine.Engine
	sees   func(document) document // what a planted mistake makes of the file before it is read; nil: the file itself

	mu      sync.Mutex
	states  int                  // that were read
	pairs   int                  // of them those with a second change
	drawn   map[string]draws     // by the kind of change
	caught  map[string]string    // by the kind of escape, how to see it again
	log     func(string, ...any) // tells at once of a kind that is not known; nil: at the end alone
	known   []escape
	excused map[string]map[string]bool // kinds of escape by the reason why they are none
}

// judge is the verdict on one move of a file; nil when the reader refuses the file, which is
// no GO.
func (n *net) judge(d document, move string) *verdict.Move { return n.verdictOn(n.read(d), move, "") }

// verdictOn is the verdict on one move; nil when there is no such file or move. A check that
// fails is caught, and so is a GO beside a strength that is not enough.
func (n *net) verdictOn(b *model.Build, move, how string) (m *verdict.Move) {
	defer n.failed(move)
	if b == nil || b.Item(move) == nil {
		return nil
	}
	report, err := run(n.engine, b, move)
	if err != nil {
		what, at, _ := strings.Cut(err.Error(), "\n")
		n.catch("failed: "+what, how+" in "+move+": "+at)
		return nil
	}
	m = &report.Moves[0]
	if st := notEnough(m); m.Decision == verdict.Go && st != nil {
		kind := st.Kind
		if kind == "welds" && n.pressed(b, move, st.Item) {
			kind += " pressed on by contact"
		}
		n.catch(kind+": "+st.Check+why(st)+" is GO", fmt.Sprintf("%s in %s at %.0f %% %s", st.Item, move, 100*st.Utilisation, st.NotComputed))
	}
	return m
}

// pressed reports whether a weld only places what bears by contact, and what it holds is pulled
// off in no step of a move that does not roll.
func (n *net) pressed(b *model.Build, move, weld string) bool {
	contact, _ := b.Item(weld).Bool("bears_by_contact")
	kind, _ := b.Item(move).Text("kind")
	return contact && kind != "roll" && !n.steps(b, move, 0, func(set *facts.Set) bool {
		return slices.ContainsFunc(set.Items["welds"], func(o *facts.Object) bool {
			pulled, unknown := o.Get("pulled")
			return o.Path == "welds."+weld && (unknown != nil || pulled == true)
		})
	})
}

// read is the build state of a file; nil when the reader refuses it.
func (n *net) read(d document) *model.Build {
	defer n.failed("reading")
	n.mu.Lock()
	n.states++
	n.mu.Unlock()
	if n.sees != nil {
		d = n.sees(d)
	}
	b, err := model.Read("net.yaml", []byte(d.String()), model.Companions{Table: func(string) ([]byte, error) { return []byte(d.table()), nil }})
	if err != nil {
		return nil
	}
	return b
}

func (n *net) failed(in string) {
	if p := recover(); p != nil {
		n.catch(fmt.Sprintf("failed: %v", p), fmt.Sprintf("%s: %s", in, debug.Stack()))
	}
}

// why says that a strength was not computed.
func why(st *verdict.Strength) string {
	if st.NotComputed != "" {
		return " not computed"
	}
	return " over 100 %"
}

// notEnough is the first comparison of a move that an item which passes force does not
// stand, or that could not be made; nil when there is none.
func notEnough(m *verdict.Move) *verdict.Strength {
	for _, s := range m.Steps {
		for i := range s.Strengths {
			if st := &s.Strengths[i]; st.Utilisation > 1+1e-9 || st.NotComputed != "" && st.Load.Value > 0 {
				return st
			}
		}
	}
	return nil
}

func (n *net) catch(kind, how string) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.caught == nil {
		n.caught = map[string]string{}
	}
	if _, known := n.caught[kind]; !known {
		n.caught[kind] = how
		if n.log != nil && !covered(n.known, kind) {
			n.log("after %d pairs: %s   (%s)", n.pairs, kind, how)
		}
	}
}

func (n *net) excuse(why, kind string) {
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.excused == nil {
		n.excused = map[string]map[string]bool{}
	}
	if n.excused[why] == nil {
		n.excused[why] = map[string]bool{}
	}
	n.excused[why][kind] = true
}

// noGo makes one change, and if the move is then NO-GO forgets one other thing after the
// other, or finds another thing worse: none may make it GO again. It reports whether it was.
func (n *net) noGo(p *proof, c change, others []int, worse []fault) bool {
	spoilt := p.d.apply(c)
	b := n.read(spoilt)
	by := n.stops(b, p.move)
	if len(by.rules) == 0 {
		if m := n.verdictOn(b, p.move, p.d.say(c)); m == nil || m.Decision == verdict.Go {
			return false
		}
	}
	for _, o := range others {
		if spoilt[o].text == "" || p.d.silent(c.line, o) || p.foreign[o] && o == c.line {
			continue // it went with the first, or silence about it is no by the table
		}
		left := spoilt.without(o)
		n.second(n.read(left), &pair{proof: p, first: c, by: by, line: o, whole: left.String() == p.d.without(o).String()})
	}
	for _, f := range worse {
		if p.retakes(c.line, f) && (f.what != notRecorded || p.d[c.line].field.Event != "") {
			continue // the same fact, and no longer as it was made; or silence about it is no
		}
		if state := b.Clone(); f.fits(state) {
			f.spoil(state)
			n.second(state, &pair{proof: p, first: c, by: by, line: -1, fault: f, whole: p.retakes(c.line, f)})
		}
	}
	return true
}

// second judges a state with a second change.
func (n *net) second(b *model.Build, two *pair) {
	n.mu.Lock()
	n.pairs++
	inFull := n.pairs%inFull == 0
	if n.log != nil && n.pairs%progress == 0 {
		n.log("%d pairs", n.pairs) // so that a run that is cut short tells how far it came
	}
	n.mu.Unlock()
	stands := n.stillStops(two.by, b, two.proof.move)
	if stands && !inFull {
		return
	}
	m := n.verdictOn(b, two.proof.move, two.String())
	if m == nil || m.Decision != verdict.Go {
		return
	}
	if stands {
		n.catch("a rule stops and the move is GO: "+two.kind(), two.String())
		return
	}
	if why := n.reason(two, b); why != "" {
		n.excuse(why, two.kind())
		return
	}
	n.catch(two.kind(), two.String())
}

// inFull says that of so many pairs one is judged in full though a rule stops it.
const inFull = 20

// progress is after how many pairs a run says how far it is.
const progress = 2000

// cause is the first step of a move that rules stop, and these rules: where one of them still
// stops, the move is NO-GO whatever the others say.
type cause struct {
	step  int
	rules []*pack.Rule
	last  bool // a rule of last resort stops a step: it speaks where others are silent, and is none of the rules
}

// stops finds what stops a move.
func (n *net) stops(b *model.Build, move string) (by cause) {
	n.steps(b, move, 0, func(set *facts.Set) bool {
		for _, r := range n.engine.Judge(context.Background(), set) {
			switch {
			case !stop(r):
			case slices.Contains(lastResort, r.Rule.ID):
				by.last = true
			case !slices.Contains(by.rules, r.Rule):
				by.rules, by.step = append(by.rules, r.Rule), set.Now.Index
			}
		}
		return by.rules != nil
	})
	return by
}

func stop(r engine.Result) bool {
	return r.Outcome == verdict.Stop || r.Outcome == verdict.Error || r.Outcome == verdict.NotRecorded && r.Rule.Else == string(verdict.Stop)
}

// stillStops reports whether one of the rules that stopped a move does so in another state.
func (n *net) stillStops(by cause, b *model.Build, move string) bool {
	return n.steps(b, move, by.step, func(set *facts.Set) bool {
		return slices.ContainsFunc(by.rules, func(r *pack.Rule) bool { return n.stopsBy(r, set) })
	})
}

// stopsBy reports whether one rule stops a step.
func (n *net) stopsBy(r *pack.Rule, set *facts.Set) bool {
	if len(r.Each) == 0 {
		res, asked := n.engine.JudgeRule(r, "", set)
		return asked && stop(res)
	}
	return slices.ContainsFunc(r.Each, func(kind string) bool {
		return slices.ContainsFunc(set.Items[kind], func(item *facts.Object) bool {
			one := *set
			one.Items = map[string][]*facts.Object{kind: {item}}
			res, asked := n.engine.JudgeRule(r, kind, &one)
			return asked && stop(res)
		})
	})
}

// steps reports whether something holds for a step of a move; one of them is asked first.
func (n *net) steps(b *model.Build, move string, first int, holds func(*facts.Set) bool) bool {
	defer n.failed(move)
	if b == nil || b.Item(move) == nil {
		return false // refused, or the move itself was forgotten
	}
	state := facts.New(b, n.engine.Policy(), looks.Moment{Day: today})
	state.Vehicle.Cache = cache
	steps := state.Vehicle.Move(b.Item(move))
	for i := range steps.Steps {
		if holds(state.Step(steps, (first+i)%len(steps.Steps))) {
			return true
		}
	}
	return false
}

// silent reports whether forgetting one line takes another with it of which silence may pass:
// an event by the table, or what a look says by name that calls the rest of the card good.
func (d document) silent(said, gone int) bool {
	if said < gone || said >= d.end(gone) || d[said].field == nil {
		return false
	}
	good := d.find("looks", d[said].id, "good")
	return d[said].field.Event != "" || good >= 0 && d[good].value == "yes" && d[gone].path != "" && strings.HasPrefix(d[said].path, "found.")
}

// retold reports whether forgetting one line takes out of the log what was said in another, and
// a look that is left is of the same thing.
func (d document) retold(said, gone int) bool {
	if said < gone || said >= d.end(gone) || d[said].kind != "looks" {
		return false
	}
	of := d.find("looks", d[said].id, "of")
	return of >= 0 && slices.ContainsFunc(d, func(l line) bool {
		return l.kind == "looks" && l.path == "of" && l.id != d[said].id &&
			slices.ContainsFunc(elements(l.value), func(target string) bool { return mentions(d[of], itemOf(target)) })
	})
}

// amid reports whether a step has one before and one behind it.
func (d document) amid(step int) bool {
	isStep := func(l line) bool { return l.path == d[step].path && l.id == d[step].id }
	return slices.ContainsFunc(d[:step], isStep) && slices.ContainsFunc(d[d.end(step):], isStep)
}

// links are which items of a document refer to which, both ways.
func (d document) links() map[string]map[string]bool {
	all := map[string]map[string]bool{}
	link := func(a, b string) {
		if all[a] == nil {
			all[a] = map[string]bool{}
		}
		all[a][b] = true
	}
	for _, l := range d {
		var named []string
		switch point, isPoint := strings.CutPrefix(l.id, "point "); {
		case isPoint:
			named = []string{point}
		case l.field != nil && (l.field.Type == schema.Ref || l.field.Elem != nil && l.field.Elem.Type == schema.Ref):
			named = elements(l.value)
		}
		for _, e := range named {
			link(l.id, itemOf(e))
			link(itemOf(e), l.id)
		}
	}
	return all
}

// others are the lines that can be forgotten beside a change of line i: what its item says,
// what the items say that it refers to and that refer to it, and all the rest.
func (d document) others(i int, links map[string]map[string]bool) (own, near, far []int) {
	for k, l := range d {
		switch {
		case l.id == "" || l.field != nil && l.field.Need:
		case l.id == d[i].id && l.kind == d[i].kind:
			own = append(own, k)
		case links[d[i].id][l.id]:
			near = append(near, k)
		default:
			far = append(far, k)
		}
	}
	return own, near, far
}

// only is the document cut down to one move and the supports that it uses.
func (d document) only(move string) document {
	used := map[string]bool{move: true}
	for _, l := range d {
		if l.id == move && strings.HasSuffix(l.path, ".supports") {
			for _, id := range elements(l.value) {
				used[id] = true
			}
		}
	}
	for _, l := range slices.Backward(d) {
		if l.path == "like" && used[l.id] {
			used[l.value] = true // stands above
		}
	}
	for k := 0; k < len(d); k++ {
		switch l := d[k]; {
		case l.kind == "waivers" && l.path == "":
			d = d.cut(k)
		case l.path == "" && (l.kind == "moves" || l.kind == "supports") && !used[l.id] && !used[d.twin(l.id)]:
			d = d.never(k)
		}
	}
	for k := range d { // a list of waivers without any
		if d[k].text == "waivers:" {
			d = d.cut(k)
		}
	}
	return slices.DeleteFunc(d, func(l line) bool { return l.text == "" })
}

// escape is a kind of escape that is known, and the reason why it is none.
type escape struct{ why, pattern string }

func (e escape) covers(kind string) bool {
	ok, _ := path.Match(e.pattern, kind)
	return ok
}

// escapes reads the reviewed list.
func escapes(t testing.TB) []escape {
	t.Helper()
	f, err := os.Open("../../testdata/proof/escapes.txt")
	require.NoError(t, err)
	defer f.Close()
	var list []escape
	reason := ""
	for s := bufio.NewScanner(f); s.Scan(); {
		switch text := strings.TrimSpace(s.Text()); {
		case text == "" || strings.HasPrefix(text, "#"):
		case strings.HasSuffix(text, ":"):
			reason = strings.TrimSuffix(text, ":")
		default:
			_, err := path.Match(text, "")
			require.NoError(t, err, text)
			list = append(list, escape{reason, text})
		}
	}
	return list
}

func covered(known []escape, kind string) bool {
	return slices.ContainsFunc(known, func(e escape) bool { return e.covers(kind) })
}

// report fails for every kind of escape that stands in no reviewed list.
func (n *net) report(t *testing.T) {
	t.Helper()
	for _, kind := range slices.Sorted(maps.Keys(n.caught)) {
		if !covered(n.known, kind) {
			t.Errorf("new: %s   (%s)", kind, n.caught[kind])
		}
	}
}

// parallel runs tasks on every processor.
func parallel(tasks []func()) {
	next := make(chan func())
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for task := range next {
				task()
			}
		})
	}
	for _, task := range tasks {
		next <- task
	}
	close(next)
	wait.Wait()
}

// proof is a vehicle cut down to one move of it that is GO.
type proof struct {
	move  string
	d     document
	fine  *model.Build        // what the document says
	lines map[string][]change // by their kind
	keys  []string            // of the kinds, sorted
	links map[string]map[string]bool
	sorts map[string]string // of the items, by id
	// foreign are lines of which nobody is asked, and what is written counts: what was found of a
	// thing that has no such part, by the table, and what stands at the item that it is like.
	foreign map[int]bool
	worse   []fault // that make no state better, what is forgotten among them
}

// name says which line of which sort of item it is, the same for all items alike.
func (p *proof) name(i int) string {
	l := p.d[i]
	return cmp.Or(p.sorts[l.id], l.kind) + strings.TrimPrefix(l.name(), l.kind)
}

// key names a kind of change.
func (p *proof) key(c change) string { return p.name(c.line) + " " + c.what }

// proofs are the moves of a vehicle that are GO; without moves all of them are tried.
func (n *net) proofs(whole document, moves ...string) []*proof {
	var list []*proof
	for _, l := range whole {
		if l.kind != "moves" || l.path != "" || len(moves) > 0 && !slices.Contains(moves, l.id) {
			continue
		}
		d := whole.only(l.id)
		if m := n.judge(d, l.id); m == nil || m.Decision != verdict.Go {
			continue
		}
		b := n.read(d)
		p := &proof{move: l.id, d: d, fine: b, lines: map[string][]change{}, links: d.links(), sorts: d.sorts(b, l.id), foreign: d.foreign(b)}
		p.worse = append(monotone(faults(b)), forgetful(b)...)
		for _, c := range d.all() {
			p.lines[p.key(c)] = append(p.lines[p.key(c)], c)
		}
		p.keys = slices.Sorted(maps.Keys(p.lines))
		list = append(list, p)
	}
	return list
}

// fleet are the vehicles of the nets: the generated one, in which every field of the table
// stands, and the mended demos, long and short.
func (n *net) fleet(t testing.TB) [][]*proof {
	t.Helper()
	fleet := [][]*proof{n.proofs(everything(t))}
	for _, name := range mended {
		fleet = append(fleet, n.proofs(documentOf(t, parse(t, file(t, builds, name+".yaml")))))
	}
	for _, name := range shorts {
		fleet = append(fleet, n.proofs(short(t, name)))
	}
	for i, proofs := range fleet {
		require.NotEmpty(t, proofs, "vehicle %d", i)
	}
	return fleet
}

// short is a demo of the second format: the build file with its log in it, and its points.
func short(t testing.TB, name string) document {
	t.Helper()
	root := parse(t, file(t, builds, name+".yaml"))
	root.Content = append(root.Content, scalar("looks"), child(parse(t, file(t, builds, name+".looks.yaml")), "looks"))
	d := documentOf(t, root)
	if table := child(root, "points"); table != nil {
		d = d.withTable(string(file(t, builds, filepath.Dir(name), table.Value)))
	}
	return d
}

func file(t testing.TB, of ...string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(of...))
	require.NoError(t, err)
	return text
}

var pairCount = flag.Int("pairs", 150, "how many pairs TestNeverFreedByForgetting judges")

// TestNeverFreedByForgetting changes one thing in a vehicle that is GO, and when that stops
// the move forgets another: what is not recorded never makes a NO-GO a GO. It tries as many
// pairs as asked for, half of them on the generated vehicle, from another -seed another lot;
// with -long everything that the item of the change says and every item near it, for every
// kind of change in every move.
func TestNeverFreedByForgetting(t *testing.T) {
	n := &net{engine: rules(t), log: t.Logf, known: escapes(t)}
	fleet := n.fleet(t)
	if *long {
		n.every(slices.Concat(fleet...), func(line) bool { return true })
	} else {
		var wait sync.WaitGroup
		var draw atomic.Uint64
		for range runtime.GOMAXPROCS(0) {
			wait.Go(func() {
				for n.count() < *pairCount {
					r := rand.New(rand.NewPCG(*firstSeed, draw.Add(1)))
					vehicle := fleet[max(0, r.IntN(2*len(fleet))-len(fleet))]
					n.draw(vehicle[r.IntN(len(vehicle))], r)
				}
			})
		}
		wait.Wait()
	}
	t.Logf("%d pairs, %d files read, %d kinds of escape in the list", n.pairs, n.states, len(n.caught))
	for _, why := range slices.Sorted(maps.Keys(n.excused)) {
		t.Logf("%d kinds: %s", len(n.excused[why]), why)
	}
	require.Positive(t, n.pairs, "no change stopped a move: nothing was shown")
	n.report(t)
}

func (n *net) count() int {
	n.mu.Lock()
	defer n.mu.Unlock()
	return n.pairs
}

// draw makes one change of a kind drawn at random, forgets some of what its item says, of
// what is near and of all the rest, and finds some of what is found worse. A kind that
// seldom stops a move is seldom drawn again.
func (n *net) draw(p *proof, r *rand.Rand) {
	key := p.keys[r.IntN(len(p.keys))]
	n.mu.Lock()
	before := n.drawn[key]
	n.mu.Unlock()
	if r.IntN(1+before.idle+2*before.stopped) > 2*before.stopped {
		return
	}
	c := p.lines[key][r.IntN(len(p.lines[key]))]
	own, near, far := p.d.others(c.line, p.links)
	stopped := n.noGo(p, c, slices.Concat(sample(r, own, 3), sample(r, near, 4), sample(r, far, 2)), p.around(c.line, r))
	n.mu.Lock()
	defer n.mu.Unlock()
	if n.drawn == nil {
		n.drawn = map[string]draws{}
	}
	now := n.drawn[key]
	if stopped {
		now.stopped++
	} else {
		now.idle++
	}
	n.drawn[key] = now
}

// draws counts how often a kind of change stopped a move, and how often it did not.
type draws struct{ stopped, idle int }

// around are some of what makes no state better, of the item of a line, of those near it and
// of the rest.
func (p *proof) around(i int, r *rand.Rand) []fault {
	var own, near, far []fault
	for _, f := range p.worse {
		switch {
		case f.item == p.d[i].id:
			own = append(own, f)
		case p.links[p.d[i].id][f.item]:
			near = append(near, f)
		default:
			far = append(far, f)
		}
	}
	return slices.Concat(sample(r, own, 10), sample(r, near, 12), sample(r, far, 6))
}

// every makes one change of every kind that is picked in every move, and forgets everything
// that the item says and every item near it.
func (n *net) every(list []*proof, picked func(line) bool) {
	var tasks []func()
	r := rand.New(rand.NewPCG(*firstSeed, 3))
	for _, p := range list {
		for _, key := range p.keys {
			c := p.lines[key][r.IntN(len(p.lines[key]))] // of items alike one, another with every seed
			if !picked(p.d[c.line]) {
				continue
			}
			own, near, _ := p.d.others(c.line, p.links)
			near = slices.DeleteFunc(near, func(k int) bool { return p.d[k].path != "" })
			tasks = append(tasks, func() { n.noGo(p, c, slices.Concat(own, near), nil) })
		}
	}
	parallel(tasks)
}
