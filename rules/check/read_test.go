package check_test

import (
	"fmt"
	"io/fs"
	"iter"
	"maps"
	"path"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

// objectsOf are the objects of a set by the kind that rules call them by.
func objectsOf(s *facts.Set) map[string][]*facts.Object {
	all := maps.Clone(s.Items)
	all["moves"], all["steps"], all["vehicle"], all["site"] = []*facts.Object{s.Move}, []*facts.Object{s.Step}, []*facts.Object{s.Vehicle}, []*facts.Object{s.Site}
	return all
}

// meaningless lists the computed facts that are known of no step for some items of the
// generated state, by kind, fact and item, each group with its reason.
var meaningless = []struct {
	why  string
	keys []string
}{
	{"the vehicle's middle parts have no twin", []string{"joints.mirror_offset *-mounts", "joints.mirror_offset seat-face"}},
	{"a bolt with a nut needs no depth of thread", []string{"fasteners.engagement_needed *-bolts", "fasteners.engagement_needed *-bolt"}},
	{"a clevis pin has neither thread nor class", []string{
		"fasteners.engagement_ratio *-toe-outer-bolt", "fasteners.grade *-toe-outer-bolt", "fasteners.preload_share *-toe-outer-bolt", "fasteners.threads_past *-toe-outer-bolt", "fasteners.yield *-toe-outer-bolt",
	}},
	{"forces inside the frame are not computed", []string{"welds.utilisation frame-node", "welds.would_bear frame-node"}},
	{"what the rules of a step passed over or let pass is known once they were all judged, which this test does not do", []string{"*.passed_over *", "*.let_pass *"}},
	{"nobody is asked when an item that is off was seen", []string{"parts.age fl-wheel", "parts.age fr-wheel"}},
	{"what is neither dolly nor table belongs to no dolly", []string{
		"supports.dolly_named *-contact", "supports.dolly_named *-hub-stand", "supports.dolly_named *-pad", "supports.dolly_named *-stand", "supports.dolly_named *-trestle",
		"supports.dolly_named hook", "supports.dolly_named jack-*", "supports.dolly_named *-crib",
	}},
	{"the hook of a crane stands on nothing and has no height", []string{"supports.crib_ratio hook", "supports.height_difference hook", "supports.foot_holds hook"}},
}

// TestEveryFactKnown looks for every declared fact of every item in the generated state:
// where everything is recorded, everything that means something is known in some step.
func TestEveryFactKnown(t *testing.T) {
	e := rules(t)
	b, err := model.Read("everything.yaml", []byte(everything(t).String()), model.Companions{})
	require.NoError(t, err)
	known, why := map[string]bool{}, map[string]*facts.Unknown{}
	for _, m := range b.Of("moves") {
		for _, s := range setsOf(b, e.Policy(), m.ID) {
			for kind, objects := range objectsOf(s) {
				for _, o := range objects {
					for _, f := range o.Fields() {
						if !f.Derived {
							continue
						}
						_, unknown := o.Get(f.Name)
						key := kind + "." + f.Name + " " + path.Ext("." + o.Path)[1:]
						known[key] = known[key] || unknown == nil
						if unknown != nil {
							why[key] = unknown
						}
					}
				}
			}
		}
	}
	used := map[string]bool{}
	for _, key := range slices.Sorted(maps.Keys(known)) {
		if pattern := listed(meaningless, key); !known[key] && pattern == "" {
			t.Errorf("%s is unknown in every step: %v %s", key, why[key].Missing, why[key].Reason)
		} else if !known[key] {
			used[pattern] = true
		}
	}
	assert.Empty(t, idle(meaningless, used), "known after all: take them off the list")
}

func listed(groups []struct {
	why  string
	keys []string
}, key string) string {
	for _, g := range groups {
		for _, pattern := range g.keys {
			if ok, _ := path.Match(pattern, key); ok {
				return pattern
			}
		}
	}
	return ""
}

// idle are the patterns of a reviewed list that were not needed.
func idle(groups []struct {
	why  string
	keys []string
}, used map[string]bool) []string {
	var list []string
	for _, g := range groups {
		for _, pattern := range g.keys {
			if !used[pattern] {
				list = append(list, pattern)
			}
		}
	}
	return list
}

// readings are what the texts of the rules name, by kind and path, such as
// "fasteners.found.torqued", examples apart.
func readings(t testing.TB, without ...string) map[string]bool {
	t.Helper()
	all, err := pack.LoadRules(packs.FS, ".")
	require.NoError(t, err)
	read := map[string]bool{}
	for _, p := range all {
		for _, r := range p.Rules {
			if slices.Contains(without, r.ID) {
				continue
			}
			text, err := fs.ReadFile(packs.FS, path.Join(r.Pack, r.ID+".yaml"))
			require.NoError(t, err)
			body, _, _ := strings.Cut(string(text), "\nexamples:")
			for _, m := range named.FindAllStringSubmatch(body, -1) {
				for _, kind := range kindsNamed(r, m[1]) {
					for at := range strings.SplitSeq(m[2][1:], ".") {
						kind += "." + at
						read[kind] = true
					}
				}
			}
		}
	}
	return read
}

var named = regexp.MustCompile(`\b([a-z][a-z0-9_]*)((?:\.[a-z][a-z0-9_]*)+)`)

func kindsNamed(r *pack.Rule, word string) []string {
	switch word {
	case "move", "step":
		return []string{word + "s"}
	case "vehicle", "site":
		return []string{word}
	case r.Var:
		return r.Each
	}
	return nil
}

// unread are the computed facts that no rule names and that are in no reviewed list, and
// the patterns of that list that were needed.
func unread(read map[string]bool) (list []string, used map[string]bool) {
	used = map[string]bool{}
	for _, kind := range facts.Kinds() {
		for _, f := range kind.Fields {
			key := kind.Name + "." + f.Name
			if !f.Derived || read[key] {
				continue
			}
			if pattern := listed(forOthers, key); pattern != "" {
				used[pattern] = true
			} else {
				list = append(list, key)
			}
		}
	}
	return list, used
}

// forOthers lists the computed facts that no rule names, each group with who reads it.
var forOthers = []struct {
	why  string
	keys []string
}{
	{"findings, rows and the order of the walk are made of them", []string{"*.at_place", "*.carries", "*.lets_go", "*.goes", "*.load", "*.utilisation", "welds.would_bear"}},
	{"one word for every kind, and rules ask it of the kinds where it decides", []string{
		"*.age", "supports.carrying",
	}},
	{"the move says them for both", []string{"site.let_pass", "vehicle.let_pass"}},
	{"the rows of a report show them", []string{
		"supports.reaction", "steps.watch",
	}},
}

// TestEveryFactRead looks for every computed fact in the texts of the rules.
func TestEveryFactRead(t *testing.T) {
	list, used := unread(readings(t))
	assert.Empty(t, list)
	assert.Empty(t, idle(forOthers, used), "rules read these now: take them off the list")
}

// withoutEffect lists the recorded fields that nothing reads, each group with the reason.
var withoutEffect = []struct {
	why  string
	keys []string
}{
	{"a word for people, and who to ask; who looked is asked of what carries", []string{"*.found.note", "*.found.by", "*.found.seen_by", "links.stands_in_for"}},
	{"of a weld that is made in full nobody waits for anything, and its tacks count for nothing", []string{"welds.waits_for", "welds.found.tacks", "welds.found.tack_length"}},
	{"the place of an item is worked out where the file does not say", []string{"*.place"}},
	{"written as a mirror entry or waiver, and used up when the file is read or a finding stops", []string{"mirror.*", "waivers.*"}},
	{"threads counted past the nut say the same", []string{"fasteners.found.protruding"}},
	{"an item has no meaning without it, and any other pair is another vehicle", []string{"joints.between"}},
	{"shown where something of the wheel is to be fitted, and enough in the state", []string{"wheels.seat", "site.found.headroom"}},
	{"of a long bearing or a torsion bar, and the state has none", []string{"joints.swings", "joints.spread", "springs.rated_torque"}},
	{"of a leaf or torsion bar that is tied up with what it springs, and the state ties up none", []string{"parts.found.hangs_free", "springs.found.hangs_free"}},
	{"of the cross tube between two legs, and what the state has of two legs is loaded at its ends alone", []string{"parts.section.cross_*"}},
	{"of a part that a wheel goes on and no wheel of the file is on, and the state has one on each", []string{"parts.hub"}},
	{"of a joint that its maker rates, as here, nobody asks what it was proven at", []string{"joints.proven.*"}},
	{"a bolt of grade 2 alone is weaker where it is long, and of that grade none holds a suspension", []string{"fasteners.length"}},
	{"what a turn of a collar and the rack do is for 'height' and 'travel' alone", []string{"springs.collar_pitch", "vehicle.rack_travel"}},
	{"it decides of a bolt that holds nothing by name, and here each holds something", []string{"fasteners.critical"}},
	{"it only tells when it contradicts its neighbour", []string{"wheels.on", "brakes.on", "stud_nuts.steering"}},
}

// TestEveryFieldRead changes every recorded field of the generated state that no rule
// names. A fact, or what the verdict says, must then be another.
func TestEveryFieldRead(t *testing.T) {
	n := &net{engine: rules(t)}
	list, used := n.noEffect(everything(t), readings(t))
	assert.Empty(t, list)
	assert.Empty(t, idle(withoutEffect, used), "these have an effect now: take them off the list")
}

// noEffect lists the recorded fields that no rule names and that change no fact and no
// verdict, and the patterns of the reviewed list that were needed. The fields of that
// list are tried with -long alone.
func (n *net) noEffect(d document, read map[string]bool) (list []string, used map[string]bool) {
	byField := map[string][]int{}
	for i, l := range d {
		if l.field != nil && l.field.Type != schema.Object && l.field.Type != schema.Map && l.value != "" && !read[l.name()] {
			byField[l.name()] = append(byField[l.name()], i)
		}
	}
	used = map[string]bool{}
	before := n.read(d)
	was := map[string][]string{}
	for _, m := range before.Of("moves") {
		was[m.ID] = slices.Collect(n.facts(before, m.ID))
	}
	report := n.verdict(before)
	var mu sync.Mutex
	var tasks []func()
	for field, lines := range byField {
		pattern := listed(withoutEffect, field)
		if pattern != "" && !*long {
			used[pattern] = true
			continue
		}
		tasks = append(tasks, func() {
			seen := slices.ContainsFunc(lines, func(i int) bool {
				return slices.ContainsFunc(d.changes(i), func(c change) bool {
					b := n.read(d.apply(c))
					return b != nil && (slices.ContainsFunc(b.Of("moves"), func(m *model.Item) bool { return differ(was[m.ID], n.facts(b, m.ID)) }) ||
						!reflect.DeepEqual(report, n.verdict(b)))
				})
			})
			mu.Lock()
			defer mu.Unlock()
			switch {
			case seen:
			case pattern != "":
				used[pattern] = true
			default:
				list = append(list, field)
			}
		})
	}
	parallel(tasks)
	slices.Sort(list)
	return list, used
}

// facts runs over the computed facts of every step of a move, as text.
func (n *net) facts(b *model.Build, move string) iter.Seq[string] {
	return func(yield func(string) bool) {
		for i, s := range setsOf(b, n.engine.Policy(), move) {
			objects := objectsOf(s)
			for _, kind := range slices.Sorted(maps.Keys(objects)) {
				for _, o := range objects[kind] {
					for k, f := range o.Fields() {
						if !f.Derived {
							continue
						}
						if v, unknown := o.At(k); !yield(fmt.Sprintln(i, o.Path, f.Name, v, unknown)) {
							return
						}
					}
				}
			}
		}
	}
}

// differ reports whether facts are others than they were: the first one that is tells.
func differ(was []string, now iter.Seq[string]) bool {
	same := 0
	for text := range now {
		if same == len(was) || text != was[same] {
			return true
		}
		same++
	}
	return same < len(was)
}

// verdict is the report on every move, without the hash of what is recorded.
func (n *net) verdict(b *model.Build) *verdict.Report {
	r, err := run(n.engine, b)
	if err != nil {
		n.catch(fmt.Sprintf("failed: %v", err), "")
		return nil
	}
	r.State = ""
	return r
}
