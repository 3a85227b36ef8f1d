package model_test

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
)

// onePivot is a small vehicle of the second format.
const onePivot = `people: [TN, EA, RT]
parts: {frame: {}, arm: {}, upright: {}}
joints:
  lower: {kind: taper ball joint, between: [upright, arm]}
  inner: {kind: spherical bearing, between: [arm, frame], bush: none}
stud_nuts:
  lower-nut: {thread: M12x1.25, torque: 60 N·m, torque_max: 75 N·m, lock: split pin}
  other-nut: {holds: [inner], thread: M12x1.25, torque: 60 N·m, lock: split pin}
fasteners:
  inner-bolt: {thread: M10x1.5, class: "8.8", torque: 45 N·m, lock: nylon-insert nut, tapped_into: nothing, role: pivot}
  rack-bolts: {holds: [inner], needed: 8, thread: M8x1.25, class: "8.8", torque: 22 N·m, lock: nylon-insert nut, tapped_into: nothing, role: clamp}
welds:
  mount: {holds: [inner], fillet: {leg: 4 mm, length: 160 mm, sides: 2}}
supports:
  stand: {kind: stand, under: frame, rated: 2 t}
moves:
  one: {kind: lower, steps: [{name: a, supports: [stand]}]}
  two: {kind: lower, steps: [{name: a, supports: [stand]}]}
`

// What a look at a whole card says, with what is critical by name.
const (
	wholeNut  = `fp: FP(lower-nut), good: yes, found: {torqued: 60 N·m, lock_fitted: yes}`
	nutByHand = `found: {fitted: yes, tightness: torqued, torqued: 60 N·m, lock_fitted: yes, lined_up: as torqued, stud_turns: no, seated: yes, large_end_right: yes, body_held: yes, marked: yes}`
	wholeBolt = `fp: FP(inner-bolt), good: yes, found: {torqued: 45 N·m, lock_fitted: yes}`
	wholeRack = `fp: FP(rack-bolts), good: yes, found: {torqued: 22 N·m, lock_fitted: yes}`
	wholeWeld = `fp: FP(mount), good: yes, found: {made: full}`
)

var print = regexp.MustCompile(`FP\(([a-z-]+)\)`)

// after reads a vehicle and its log; FP(id) stands for the fingerprint that the
// item has in drawn.
func after(t *testing.T, build, drawn, log string) *model.Build {
	t.Helper()
	plain := with(t, drawn, "")
	log = print.ReplaceAllStringFunc(log, func(m string) string { return plain.Things[print.FindStringSubmatch(m)[1]].Print() })
	return with(t, build, log)
}

// isWhole says whether everything that the card of an item covers is known and
// good, and nothing in the log stops.
func isWhole(b *model.Build, id string) bool {
	if len(b.Troubles) > 0 {
		return false
	}
	item := b.Item(id)
	for _, facts := range b.Standing[id].Members {
		for _, f := range item.Kind.Found().Fields {
			is, known := f.OnlyFor.Holds("", b.Things[id].Lookup)
			if len(f.Good) == 0 || f.Name == "count" || f.Name == "disturbed" || len(f.OnlyFor) > 0 && !(is && known) {
				continue
			}
			fact, recorded := facts[f.Name]
			if recorded && fact.Fault || !recorded && f.Event == "" {
				return false
			}
		}
	}
	count, counted := b.Standing[id].Group["count"]
	return !counted || !count.Fault
}

// The sequences of the second format, section 8: each ended in a wrong GO when an
// earlier draft of the rules was read to the letter.
func TestSequences(t *testing.T) {
	thicker := strings.Replace(onePivot, "lower-nut: {thread: M12x1.25", "lower-nut: {thread: M14x1.5", 1)
	for _, c := range []struct {
		name, item, log string
		whole           bool
		build, drawn    string // onePivot where empty
	}{
		{name: "the whole card", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "nut off, and put back with nothing but 'fitted'", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {fitted: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], found: {fitted: yes}}`},
		{name: "nut off, and put back with the whole card", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {fitted: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "bracket cut off, tacked, full and unseen", item: "mount", log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-21, by: TN, of: [mount], found: {made: tack, tacks: 4, tack_length: 8 mm}}
{day: 2026-11-22, by: TN, of: [mount], found: {made: full}}`},
		{name: "bracket cut off, tacked, full and looked at", item: "mount", whole: true, log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-21, by: TN, of: [mount], found: {made: tack, tacks: 4, tack_length: 8 mm}}
{day: 2026-11-22, by: TN, of: [mount], found: {made: full}}
{day: 2026-11-23, by: TN, of: [mount], ` + wholeWeld + `}`},
		{name: "tacks counted on a bracket that was made full", item: "mount", log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-23, by: TN, of: [mount], found: {tacks: 2, tack_length: 8 mm}}`},
		{name: "tacks counted, and then made full", item: "mount", whole: true, log: `
{day: 2026-11-20, by: TN, of: [mount], found: {tacks: 2, tack_length: 8 mm}}
{day: 2026-11-23, by: TN, of: [mount], ` + wholeWeld + `}`},
		{name: "a sweep after a pin was seen missing", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: EA, of: [lower-nut], found: {lock_fitted: no}}
{day: 2026-11-22, by: TN, of: [lower-nut, other-nut], ` + wholeNut + `}`},
		{name: "the nut looked at alone", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: EA, of: [lower-nut], found: {lock_fitted: no}}
{day: 2026-11-22, by: TN, of: [lower-nut, other-nut], ` + wholeNut + `}
{day: 2026-11-23, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "an older good below a newer fault", item: "lower-nut", log: `
{day: 2026-11-21 18:01, by: EA, of: [lower-nut], found: {lock_fitted: no}}
{day: 2026-11-21 17:20, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "an older good of one person below their newer fault", item: "lower-nut", log: `
{day: 2026-11-21 18:01, by: TN, of: [lower-nut], found: {lock_fitted: no}}
{day: 2026-11-21 17:20, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "bolt 3 of a group is loose, then the others are good", item: "rack-bolts", log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-21, by: EA, of: ["rack-bolts{3}"], found: {tightness: finger}}
{day: 2026-11-22, by: TN, of: [rack-bolts], ` + wholeRack + `}`},
		{name: "bolt 3 mended by name", item: "rack-bolts", whole: true, log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-21, by: EA, of: ["rack-bolts{3}"], found: {tightness: finger}}
{day: 2026-11-23, by: TN, of: ["rack-bolts{3}"], ` + wholeRack + `}`},
		{name: "bolt 3 tightened without mark and lock", item: "rack-bolts", log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-21, by: EA, of: ["rack-bolts{3}"], found: {tightness: finger}}
{day: 2026-11-23, by: TN, of: ["rack-bolts{3}"], found: {torqued: 22 N·m}}`},
		{name: "count 7, then 8", item: "rack-bolts", log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-21, by: EA, of: [rack-bolts], found: {count: 7}}
{day: 2026-11-22, by: EA, of: [rack-bolts], found: {count: 8}}`},
		{name: "count 7, then 8 and all of them looked at", item: "rack-bolts", whole: true, log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-21, by: EA, of: [rack-bolts], found: {count: 7}}
{day: 2026-11-22, by: EA, of: [rack-bolts], found: {count: 8}}
{day: 2026-11-23, by: TN, of: [rack-bolts], ` + wholeRack + `}`},
		{name: "the missing one named", item: "rack-bolts", whole: true, log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-21, by: EA, of: ["rack-bolts{3}"], found: {fitted: no}}
{day: 2026-11-22, by: TN, of: ["rack-bolts{3}"], ` + wholeRack + `}`},
		{name: "another size written under a look", item: "lower-nut", build: thicker, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "and back to the old size", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{ended: {look: DIGEST, of: lower-nut}, day: 2026-11-21, by: setdown}`},
		{name: "written by hand beside a look at the old size", item: "lower-nut", build: thicker, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], ` + nutByHand + `}`},
		{name: "written by hand, and nobody drew another size", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], ` + nutByHand + `}`},
		{name: "disturbed and a look on one day without times", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-20, by: EA, of: [lower-nut], found: {disturbed: yes}}`},
		{name: "the same in the other order", item: "lower-nut", log: `
{day: 2026-11-20, by: EA, of: [lower-nut], found: {disturbed: yes}}
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "disturbed, then a look the day after", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: EA, of: [lower-nut], found: {disturbed: yes}}
{day: 2026-11-21, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "what holds the same joint was disturbed", item: "inner-bolt", log: `
{day: 2026-11-20, by: TN, of: [inner-bolt], ` + wholeBolt + `}
{day: 2026-11-21, by: TN, of: [rack-bolts], found: {disturbed: yes}}`},
		{name: "but not its weld", item: "mount", whole: true, log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-21, by: TN, of: [rack-bolts], found: {disturbed: yes}}`},
		{name: "a part that its joint is on was disturbed", item: "inner-bolt", log: `
{day: 2026-11-20, by: TN, of: [inner-bolt], ` + wholeBolt + `}
{day: 2026-11-21, by: TN, of: [arm], found: {disturbed: yes}}`},
		{name: "and its weld with it", item: "mount", log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-21, by: TN, of: [frame], found: {replaced: yes}}`},
		{name: "but not by another part", item: "inner-bolt", whole: true, log: `
{day: 2026-11-20, by: TN, of: [inner-bolt], ` + wholeBolt + `}
{day: 2026-11-21, by: TN, of: [upright], found: {disturbed: yes}}`},
		{name: "the vehicle was disturbed", item: "mount", log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-21, by: TN, of: [vehicle], found: {disturbed: yes}}`},
		{name: "'does not apply' on a fault, then a sweep", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {seated: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], na: [seated]}
{day: 2026-11-23, by: TN, of: [lower-nut, other-nut], ` + wholeNut + `}`},
		{name: "'does not apply' on a fault, and good in the same look", item: "lower-nut", log: `
{day: 2026-11-21, by: TN, of: [lower-nut], found: {seated: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], na: [seated], ` + wholeNut + `}`},
		{name: "tight, then finger, then torque without mark and lock", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {tightness: finger}}
{day: 2026-11-22, by: TN, of: [lower-nut], found: {torqued: 60 N·m}}`},
		{name: "two who disagree on one day", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-20, by: EA, of: [lower-nut], found: {lock_fitted: no}}`},
		{name: "good: no", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], good: no}
{day: 2026-11-22, by: TN, of: [lower-nut, other-nut], ` + wholeNut + `}`},
		{name: "good: no, then good alone", item: "lower-nut", whole: true, log: `
{day: 2026-11-21, by: TN, of: [lower-nut], good: no}
{day: 2026-11-22, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "wrong item taken back", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21 10:00, by: TN, of: [lower-nut], found: {torqued: 70 N·m}}
{withdraw: {day: 2026-11-21 10:00, by: TN, of: lower-nut}, why: "wrong item", by: TN, day: 2026-11-21 10:05}`},
		{name: "a fault taken back is there until both are looked at", item: "lower-nut", log: `
{day: 2026-11-21 10:00, by: TN, of: [lower-nut], found: {lock_fitted: no}}
{withdraw: {day: 2026-11-21 10:00, by: TN, of: lower-nut, meant: other-nut}, why: "wrong item", by: TN, day: 2026-11-21 10:05}
{day: 2026-11-22, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "both looked at", item: "lower-nut", whole: true, log: `
{day: 2026-11-21 10:00, by: TN, of: [lower-nut], found: {lock_fitted: no}}
{withdraw: {day: 2026-11-21 10:00, by: TN, of: lower-nut, meant: other-nut}, why: "wrong item", by: TN, day: 2026-11-21 10:05}
{day: 2026-11-22 10:00, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-22 10:01, by: TN, of: [other-nut], found: {lock_fitted: no}}`},
		{name: "a renamed item", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [old-nut], ` + wholeNut + `}
{renamed: {old-nut: lower-nut}, by: TN, day: 2026-11-21}`},
		{name: "a fault of a renamed item", item: "lower-nut", log: `
{renamed: {old-nut: lower-nut}, by: TN, day: 2026-11-21}
{day: 2026-11-20, by: TN, of: [old-nut], found: {lock_fitted: no}}
{day: 2026-11-21, by: EA, of: [lower-nut, other-nut], ` + wholeNut + `}`},
		{name: "an item that nothing explains", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [old-nut], good: yes}
{day: 2026-11-21, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "an item that was removed", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [old-nut], good: yes}
{removed: {item: old-nut, why: other layout}, by: TN, day: 2026-11-21}
{day: 2026-11-21, by: TN, of: [lower-nut], ` + wholeNut + `}`},
		{name: "a member that nobody has seen", item: "rack-bolts", log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{added: {item: "rack-bolts{8}", why: forgotten}, by: TN, day: 2026-11-21}`},
		{name: "a ninth of eight", item: "rack-bolts", log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-20, by: TN, of: ["rack-bolts{9}"], good: yes}`},
		{name: "lines that a merge doubled", item: "lower-nut", whole: true, log: `
{day: 2026-11-21, by: TN, of: [lower-nut], found: {lock_fitted: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {lock_fitted: no}}`},
		{name: "a torn line", item: "lower-nut", log: `
{day: 2026-11-22, by: TN, of: [lower-nut], ` + wholeNut + `}
{torn: "- {day: 2026-11-23, by: TN, of: [lower-n", by: TN, day: 2026-11-24}`},
		{name: "a torn line answered", item: "lower-nut", whole: true, log: `
{day: 2026-11-22, by: TN, of: [lower-nut], ` + wholeNut + `}
{torn: "- {day: 2026-11-23, by: TN, of: [lower-n", by: TN, day: 2026-11-24}
{answered: {torn: "- {day: 2026-11-23, by: TN, of: [lower-n", why: a look at the lower nut}, by: TN, day: 2026-11-24}`},
		{name: "a nut that turned, and a new mark", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {mark_broken: yes}}
{day: 2026-11-22, by: TN, of: [lower-nut], found: {mark_broken: no, marked: yes}}`},
		{name: "a nut that turned, the torque, and a new mark", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {mark_broken: yes}}
{day: 2026-11-22, by: TN, of: [lower-nut], found: {torqued: 60 N·m}}
{day: 2026-11-23, by: TN, of: [lower-nut], found: {mark_broken: no, marked: yes, lock_fitted: yes, lined_up: as torqued}}`},
		{name: "a mark that is gone, and a new one", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {marked: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], found: {marked: yes}}`},
		{name: "a torque without a mark, seen so again, and the mark", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], fp: FP(lower-nut), good: yes, found: {torqued: 60 N·m, lock_fitted: yes, marked: no}}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {marked: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], found: {marked: yes}}`},
		{name: "a pin that was out, and in again", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {lock_fitted: no}}
{day: 2026-11-22, by: TN, of: [lower-nut], found: {lock_fitted: yes}}`},
		{name: "a torque, and the pin the day after", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], fp: FP(lower-nut), good: yes, found: {torqued: 60 N·m, lock_fitted: no}}
{day: 2026-11-21, by: TN, of: [lower-nut], found: {lock_fitted: yes}}`},
		{name: "a lock nut that did not hold, and another without its torque", item: "inner-bolt", log: `
{day: 2026-11-20, by: TN, of: [inner-bolt], ` + wholeBolt + `}
{day: 2026-11-21, by: TN, of: [inner-bolt], found: {lock_fitted: no}}
{day: 2026-11-22, by: TN, of: [inner-bolt], found: {lock_fitted: yes}}`},
		{name: "a bolt of the wrong class, and another without its torque", item: "inner-bolt", log: `
{day: 2026-11-20, by: TN, of: [inner-bolt], ` + wholeBolt + `}
{day: 2026-11-21, by: TN, of: [inner-bolt], found: {class_mark: "4.6"}}
{day: 2026-11-21, by: EA, of: [inner-bolt, lower-nut], found: {torqued: 60 N·m}}
{day: 2026-11-22, by: TN, of: [inner-bolt], found: {class_mark: "8.8"}}`},
		{name: "a bolt of the wrong class, and the whole card", item: "inner-bolt", whole: true, log: `
{day: 2026-11-20, by: TN, of: [inner-bolt], ` + wholeBolt + `}
{day: 2026-11-21, by: TN, of: [inner-bolt], found: {class_mark: "4.6"}}
{day: 2026-11-22, by: TN, of: [inner-bolt], ` + wholeBolt + `}
{day: 2026-11-23, by: TN, of: [inner-bolt], ` + wholeBolt + `}`},
		{name: "and what else holds the joint that it was taken out of", item: "rack-bolts", log: `
{day: 2026-11-20, by: TN, of: [rack-bolts], ` + wholeRack + `}
{day: 2026-11-21, by: TN, of: [inner-bolt], found: {class_mark: "4.6"}}
{day: 2026-11-22, by: TN, of: [inner-bolt], ` + wholeBolt + `}`},
		{name: "a worn joint, and another without its nut", item: "lower-nut", log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower], found: {worn: yes}}
{day: 2026-11-22, by: TN, of: [lower], found: {worn: no}}`},
		{name: "as long as it is worn its nut is what it was", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21, by: TN, of: [lower], found: {worn: yes}}`},
		{name: "wear that was written by mistake and taken back", item: "lower-nut", whole: true, log: `
{day: 2026-11-20, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-21 10:00, by: TN, of: [lower], found: {worn: yes}}
{withdraw: {day: 2026-11-21 10:00, by: TN, of: lower}, why: "wrong item", by: TN, day: 2026-11-21 10:05}
{day: 2026-11-22, by: TN, of: [lower], found: {worn: no}}`},
		{name: "a crack that is gone", item: "mount", log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-21, by: TN, of: [mount], found: {crack: yes}}
{day: 2026-11-22, by: TN, of: [mount], found: {crack: no}}`},
		{name: "a crack that is gone, and the weld looked at", item: "mount", whole: true, log: `
{day: 2026-11-20, by: TN, of: [mount], ` + wholeWeld + `}
{day: 2026-11-21, by: TN, of: [mount], found: {crack: yes}}
{day: 2026-11-22, by: TN, of: [mount], ` + wholeWeld + `}`},
		{name: "good without fingerprint", item: "lower-nut", log: `
{day: 2026-11-22, by: TN, of: [lower-nut], good: yes, found: {torqued: 60 N·m, lock_fitted: yes}}`},
		{name: "good without what is critical", item: "lower-nut", log: `
{day: 2026-11-22, by: TN, of: [lower-nut], fp: FP(lower-nut), good: yes}`},
		{name: "looked at again after fifteen days, mark unbroken", item: "lower-nut", whole: true, log: `
{day: 2026-11-03, by: TN, of: [lower-nut], ` + wholeNut + `}
{day: 2026-11-18, by: TN, of: [lower-nut, other-nut], fp: FP(lower-nut), good: yes}`},
	} {
		t.Run(c.name, func(t *testing.T) {
			if c.build == "" {
				c.build = onePivot
			}
			log := "looks:\n- " + strings.ReplaceAll(strings.TrimSpace(c.log), "\n", "\n- ") + "\n"
			if strings.Contains(log, "DIGEST") {
				first := after(t, c.build, onePivot, strings.Join(strings.SplitAfter(log, "\n")[:2], ""))
				log = strings.ReplaceAll(log, "DIGEST", first.Log.Looks[0].Digest)
			}
			b := after(t, c.build, onePivot, log)
			assert.Equal(t, c.whole, isWhole(b, c.item), "%v %v", b.Standing[c.item].Group, b.Troubles)
		})
	}
}

// Nobody has looked tomorrow, nor tonight.
func TestCheckLog(t *testing.T) {
	now, err := looks.ParseMoment("2026-11-25 11:30")
	require.NoError(t, err)
	for log, want := range map[string]string{
		"- {day: 2026-11-25, by: TN, of: [mount], found: {made: full}}\n":       "",
		"- {day: 2026-12-25, by: TN, of: [mount], found: {made: full}}\n":       "b.looks.yaml:1:3: this is dated 2026-12-25, after the day of the check, 2026-11-25 (correct the day, or check with --on the day it is)",
		"- {day: 2026-11-25 11:31, by: TN, of: [mount], found: {made: full}}\n": "",
		"- {day: 2026-11-25 23:58, by: TN, of: [mount], found: {made: full}}\n": "b.looks.yaml:1:3: this is dated 2026-11-25 23:58:00, and now it is 2026-11-25 11:30:00 (correct the time, or the clock of one of the two)",
		"- {removed: {item: x, why: y}, day: 2027-11-25, by: TN}\n":             "b.looks.yaml:1:3: this is dated 2027-11-25, after the day of the check, 2026-11-25 (correct the day, or check with --on the day it is)",
	} {
		err := with(t, onePivot, log).CheckLog(now)
		if want == "" {
			assert.NoError(t, err)
			continue
		}
		assert.EqualError(t, err, want)
	}
	b, err := model.Read("b.yaml", []byte(head), model.Companions{})
	require.NoError(t, err)
	assert.NoError(t, b.CheckLog(now))
	for on, want := range map[string]string{
		"2026-11-25": "",
		"":           "",
		"2027-01-02": "points.csv:2:22: this is dated 2027-01-02, after the day of the check, 2026-11-25 (correct the day, or check with --on the day it is)",
	} {
		b, err := measuredOn(on)
		require.NoError(t, err)
		if err := b.CheckLog(now); want == "" {
			assert.NoError(t, err)
		} else {
			assert.EqualError(t, err, want)
		}
	}
	_, err = measuredOn("last week")
	assert.ErrorContains(t, err, "points.csv:2:22: day of car/cg: ")
}

// measuredOn reads a file with one measured point.
func measuredOn(day string) (*model.Build, error) {
	table := func(string) ([]byte, error) {
		return []byte("point, x, y, z, by, day\ncar/cg, 1, 2, 3, TN, " + day + "\n"), nil
	}
	return model.Read("b.yaml", []byte("format: setdown/2\nvehicle: {coordinates: mm}\npoints: points.csv\nparts: {car: {mass: 400 kg}}\n"), model.Companions{Table: table})
}

// After fifteen days the whole nut is as fresh as the look at its mark and pin.
func TestMadeLivesOnItsWitness(t *testing.T) {
	log := "- {day: 2026-11-03, by: TN, of: [lower-nut], " + wholeNut + "}\n- {day: 2026-11-18, by: EA, of: [lower-nut, other-nut], fp: FP(lower-nut), good: yes, found: {lock_fitted: yes}}\n"
	b := after(t, onePivot, onePivot, log)
	on, _ := b.Item("lower-nut").Date("found.on")
	by, _ := b.Item("lower-nut").Text("found.by")
	assert.Equal(t, "2026-11-18 EA", on.String()+" "+by)
	assert.Equal(t, "2026-11-03", b.Standing["lower-nut"].Group["torqued"].Day.String(), "who saw it and when is kept")
}

// A lock that is part of its nut is there as long as the mark across bolt and nut is unbroken;
// a pin is looked at on every round.
func TestLockInTheNutLivesOnTheMark(t *testing.T) {
	pinned := strings.Replace(onePivot, "torque: 45 N·m, lock: nylon-insert nut", "torque: 45 N·m, lock: split pin", 1)
	require.NotEqual(t, onePivot, pinned)
	for _, c := range []struct{ name, build, later, fresh string }{
		{"mark unbroken", onePivot, "fp: FP(inner-bolt), good: yes, unseen: [torqued]", "2026-11-18"},
		{"the mark was not looked at", onePivot, "fp: FP(inner-bolt), good: yes, unseen: [marked]", "2026-11-03"},
		{"the mark is broken", onePivot, "fp: FP(inner-bolt), good: yes, found: {marked: no}", "2026-11-03"},
		{"a pin, and nobody named it", pinned, "fp: FP(inner-bolt), good: yes", "2026-11-03"},
		{"a pin, named", pinned, "fp: FP(inner-bolt), good: yes, found: {lock_fitted: yes}", "2026-11-18"},
	} {
		b := after(t, c.build, c.build, "- {day: 2026-11-03, by: TN, of: [inner-bolt], "+wholeBolt+"}\n- {day: 2026-11-18, by: EA, of: [inner-bolt, lower-nut], "+c.later+"}\n")
		on, _ := b.Item("inner-bolt").Date("found.on")
		assert.Equal(t, c.fresh, on.String(), c.name)
		assert.Equal(t, strings.Contains(c.later, "lock_fitted"), b.Standing["inner-bolt"].Group["lock_fitted"].Day.String() == "2026-11-18", "%s: who saw the lock and when is kept", c.name)
	}
	// A nut that is done up anew is another one: its lock has to be named again.
	b := after(t, onePivot, onePivot, "- {day: 2026-11-03, by: TN, of: [inner-bolt], "+wholeBolt+"}\n- {day: 2026-11-18, by: EA, of: [inner-bolt], found: {tightness: finger}}\n"+
		"- {day: 2026-11-19, by: EA, of: [inner-bolt], found: {torqued: 45 N·m, marked: yes}}\n")
	assert.NotContains(t, b.Standing["inner-bolt"].Group, "lock_fitted")
}

// A weld that was full stays so as long as nobody sees a crack in it: a sweep over several
// keeps it fresh, and one that sees a crack does not.
func TestWeldLivesWhileNoCrackIsSeen(t *testing.T) {
	made := "- {day: 2026-11-03, by: TN, of: [mount], " + wholeWeld + "}\n"
	for look, want := range map[string]string{
		"": "2026-11-03",
		"- {day: 2026-11-18, by: EA, of: [mount, lower-nut], fp: FP(mount), good: yes}\n": "2026-11-18",
		"- {day: 2026-11-18, by: EA, of: [mount], found: {crack: no}}\n":                  "2026-11-18",
		"- {day: 2026-11-18, by: EA, of: [mount], found: {undercut: 0 mm}}\n":             "2026-11-03",
		"- {day: 2026-11-18, by: EA, of: [mount], found: {crack: yes}}\n":                 "2026-11-03",
	} {
		b := after(t, onePivot, onePivot, made+look)
		on, _ := b.Item("mount").Date("found.on")
		assert.Equal(t, want, on.String(), look)
		assert.Equal(t, strings.Contains(look, "crack: yes"), b.Standing["mount"].Group["crack"].Fault)
	}
}

func TestGroupIsTheWorstOfItsMembers(t *testing.T) {
	b := after(t, onePivot, onePivot, "- {day: 2026-11-20, by: TN, of: [rack-bolts], "+wholeRack+"}\n"+
		"- {day: 2026-11-21, by: TN, of: [\"rack-bolts{3}\"], found: {fitted: no}}\n- {day: 2026-11-22, by: TN, of: [\"rack-bolts{5}\"], found: {torqued: 24 N·m, marked: yes, lock_fitted: yes}}\n")
	count, _ := b.Item("rack-bolts").Count("found.count")
	assert.Equal(t, int64(7), count)
	torqued, ok := b.Item("rack-bolts").Quantity("found.torqued")
	assert.False(t, ok, "nobody knows it of the third: %v", torqued)
	require.Len(t, b.Standing["rack-bolts"].Members, 8)
	assert.Equal(t, "24 N·m", b.Standing["rack-bolts"].Members[4]["torqued"].V.(interface{ String() string }).String())
}

func TestSecondPairOfEyes(t *testing.T) {
	first := "- {day: 2026-11-20 10:00, by: TN, of: [lower-nut], " + wholeNut + "}\n"
	second := "- {day: 2026-11-20 11:00, by: EA, blind: yes, of: [lower-nut], found: {torqued: 60 N·m, lock_fitted: yes}}\n"
	for log, want := range map[string]string{
		first + second: "TN",
		first + strings.Replace(second, "blind: yes, ", "", 1):                                           "",
		first + strings.Replace(second, "by: EA", "by: XY", 1):                                           "",
		first + strings.Replace(second, "by: EA", "by: TN", 1):                                           "",
		first + strings.Replace(second, "lock_fitted: yes", "", 1):                                       "",
		strings.Replace(first, "TN", "XY", 1) + second:                                                   "",
		first + "- {day: 2026-11-20 10:30, by: EA, of: [lower-nut], found: {disturbed: yes}}\n" + second: "",
	} {
		who, _ := after(t, onePivot, onePivot, log).Item("lower-nut").Text("found.seen_by")
		assert.Equal(t, want, who, log)
	}
}

// A log cut at any byte is refused, or says no more than its whole lines.
func TestATornLineIsNeverAWholeLook(t *testing.T) {
	log := "looks:\n- {day: 2026-11-20, by: TN, of: [mount], found: {made: full, crack: no}}\n- {day: 2026-11-21, by: TN, of: [mount], found: {made: tack, crack: yes}}\n"
	for cut := range len(log) {
		b, err := model.Read("b.yaml", []byte(secondHead+onePivot), model.Companions{Looks: []byte(log[:cut])})
		if err != nil {
			continue
		}
		assert.True(t, cut == 0 || log[cut-1] == '\n', "cut after %q", log[:cut])
		assert.Len(t, b.Log.Looks, max(0, strings.Count(log[:cut], "\n")-1))
	}
}

// What a found block says is a look of its own day.
func TestFoundBlocksAreLooks(t *testing.T) {
	text := strings.Replace(onePivot, "sides: 2}}", "sides: 2}, found: {made: tack, day: 2026-11-20, by: TN}}", 1)
	b := with(t, text, "")
	made, _ := b.Item("mount").Text("found.made")
	assert.Equal(t, "tack", made)
	b = with(t, text, "- {day: 2026-11-21, by: EA, of: [mount], found: {made: full}}\n")
	made, _ = b.Item("mount").Text("found.made")
	assert.Equal(t, "full", made)
	b = with(t, text, "- {day: 2026-11-21, by: EA, of: [mount, inner-bolt], good: yes}\n")
	made, _ = b.Item("mount").Text("found.made")
	assert.Equal(t, "tack", made, "a sweep ends no fault")
	clone := b.Clone()
	assert.Equal(t, b.Standing["mount"], clone.Standing["mount"])
}

// What the table calls critical, 'good' never states; what is an event, silence
// may pass.
func TestGoodNeverStatesWhatIsCritical(t *testing.T) {
	for _, id := range []string{"lower-nut", "inner-bolt", "rack-bolts", "mount", "stand"} {
		b := after(t, onePivot, onePivot, "- {day: 2026-11-20, by: TN, of: ["+id+"], fp: FP("+id+"), good: yes}\n")
		found := b.Item(id).Kind.Found()
		require.NotEmpty(t, b.Standing[id].Group)
		for name, fact := range b.Standing[id].Group {
			assert.False(t, found.Field(name).Critical, "%s.%s", id, name)
			good, known := found.Field(name).Good.Holds("found."+name, func(path string) (any, bool) {
				if path == "found."+name {
					return fact.V, true
				}
				v, ok := b.Item(id).Lookup(path)
				if path == "needed" && !ok {
					return int64(1), true
				}
				return v.V, ok
			})
			assert.True(t, good && known, "%s.%s = %v", id, name, fact.V)
		}
	}
}

// Where one of two facts is enough, 'good' does not say which: on concrete no plates need lie
// under the stands. Who names one that is not good says of the other that it is.
func TestGoodNeverSaysWhichOfTwo(t *testing.T) {
	for said, want := range map[string][2]string{
		"":                           {"", ""},
		", found: {floor: concrete}": {"concrete", ""},
		", found: {floor: gravel}":   {"gravel", "true"},
		", found: {plates: no}":      {"steel plate", "false"},
	} {
		b := with(t, "site: {}\n", "- {day: 2026-11-20, by: TN, of: [site], good: yes"+said+"}\n")
		floor, _ := b.Site.Text("found.floor")
		plates := ""
		if v, ok := b.Site.Bool("found.plates"); ok {
			plates = strconv.FormatBool(v)
		}
		assert.Equal(t, want, [2]string{floor, plates}, said)
	}
}

// A stand that was looked at is looked at again when it stands higher, or elsewhere; what it
// is itself, such as its condition, stands. A look that does not say how it was set counts as
// long as a day.
func TestASettingEndsWhereItIsSetOtherwise(t *testing.T) {
	build := func(height string) string {
		return strings.Replace(onePivot, "rated: 2 t}", "rated: 2 t, height: "+height+"}", 1)
	}
	at := with(t, build("300 mm"), "").Things["stand"].Print()
	assert.Regexp(t, `^[0-9a-f]{8}\.[0-9a-f]{8} of kind rated under height$`, at)
	design, _, _ := strings.Cut(at, ".")
	for _, c := range []struct {
		print, height string
		stands        bool
	}{{at, "300 mm", true}, {at, "0.3 m", true}, {at, "360 mm", false}, {design, "360 mm", true}} {
		b := with(t, build(c.height), "- {day: 2026-11-25 10:00, by: TN, of: [stand], fp: "+c.print+", good: yes, found: {locked: yes}}\n")
		locked, known := b.Item("stand").Bool("found.locked")
		assert.Equal(t, c.stands, known && locked, "%v", c)
		level, known := b.Item("stand").Bool("found.level")
		assert.Equal(t, c.stands, known && level, "%v", c)
		condition, _ := b.Item("stand").Text("found.condition")
		assert.Equal(t, "good", condition, "%v", c)
		assert.Empty(t, b.NewlyEnded(), "the stand is the same")
	}
	// Of a checklist nothing but the place says where a stand is.
	placed := func(place string) string {
		return "places: [front, rear]\n" + strings.Replace(onePivot, "rated: 2 t}", "rated: 2 t, place: "+place+"}", 1)
	}
	at = with(t, placed("front"), "").Things["stand"].Print()
	for _, place := range []string{"front", "rear"} {
		b := with(t, placed(place), "- {day: 2026-11-25 10:00, by: TN, of: [stand], fp: "+at+", found: {locked: yes}}\n")
		_, known := b.Item("stand").Bool("found.locked")
		assert.Equal(t, place == "front", known, place)
	}
	// A strap is looked at where it ties and hangs: parts, places of a checklist, or points.
	strap := "{kind: strap, ties: [front], to: car, at: [0, 0, 100], to_at: [0, 0, 500]}"
	tied := func(strap string) string {
		return "vehicle: {checklist: yes}\nplaces: [front, rear]\nparts: {car: {role: frame}}\nrestraints:\n  strap: " + strap + "\n"
	}
	at = with(t, tied(strap), "").Things["strap"].Print()
	for _, c := range []struct {
		from, to string
		stands   bool
	}{{"", "", true}, {"[front]", "[rear]", false}, {"[front]", "[front, rear]", false}, {"[0, 0, 100]", "[0, 50, 100]", false}, {"[0, 0, 500]", "[0, 300, 500]", false}} {
		b := with(t, tied(strings.Replace(strap, c.from, c.to, 1)), "- {day: 2026-11-25 10:00, by: TN, of: [strap], fp: \""+at+"\", good: yes}\n")
		fitted, known := b.Item("strap").Bool("found.fitted")
		assert.Equal(t, c.stands, known && fitted, "%v", c)
		sound, _ := b.Item("strap").Bool("found.sound")
		assert.True(t, sound, "it is the same strap: %v", c)
	}
	// A dolly is looked at as the vehicle stands on its points, by whatever names these have.
	const points = "{d1: {kind: dolly, under: car, place: front, height: 300 mm, dolly: cart}, d2: {kind: dolly, under: car, place: rear, height: 300 mm, dolly: cart}, stand: {kind: stand, under: car, place: rear}}"
	on := func(points string) string {
		return "vehicle: {checklist: yes}\nplaces: [front, rear]\nparts: {car: {role: frame}, other: {}}\ndollies: {cart: {castors: 4}}\nsupports: " + points + "\n"
	}
	at = with(t, on(points), "").Things["cart"].Print()
	for _, c := range []struct {
		from, to string
		stands   bool
	}{
		{"", "", true}, {"d1:", "d3:", true}, {"stand, under: car, place: rear", "stand, under: car, place: front", true},
		{"place: rear, height", "place: front, height", false}, {"300 mm", "360 mm", false}, {"under: car", "under: other", false}, {"height: 300 mm, dolly: cart", "height: 300 mm", false},
		{"{d1", "{d0: {kind: dolly, dolly: cart}, d1", false},
	} {
		b := with(t, on(strings.Replace(points, c.from, c.to, 1)), "- {day: 2026-11-25 10:00, by: TN, of: [cart], fp: \""+at+"\", good: yes}\n")
		held, known := b.Item("cart").Bool("found.held")
		assert.Equal(t, c.stands, known && held, "%v", c)
		assert.Empty(t, b.NewlyEnded(), "it is the same dolly: %v", c)
	}
	at = with(t, build("300 mm"), "").Things["stand"].Print()
	// A fault does not end by setting the stand otherwise.
	b := with(t, build("360 mm"), "- {day: 2026-11-25 10:00, by: TN, of: [stand], fp: "+at+", found: {locked: no}}\n")
	assert.True(t, b.Standing["stand"].Group["locked"].Fault)
}

// That the masses are still right was said of the masses that stood in the file. Another mass, a part
// more or one less ends it, and nothing else that was seen of the vehicle; fuel put in or let out does too.
// What hangs on a strap is a share of them: filled in later it makes nothing heavier, but another figure ends it.
func TestMassesThatWereLookedAt(t *testing.T) {
	const weighed = `parts:
  frame: {mass: 200 kg, cg: [1000, 0, 400]}
  engine: {mass: 120 kg}
  door: {}
dollies: {table: {mass: 60 kg}}
restraints:
  front-straps: {ties: [door], to: frame, mass: 30 kg}
  rear-straps: {ties: [door], to: frame}
`
	print := with(t, weighed, "").Things["vehicle"].Print()
	look := "- {day: 2026-11-24 10:00, by: TN, of: [vehicle], fp: " + print + ", %s}\n"
	for _, c := range []struct {
		why, from, to, log string
		right              bool
	}{
		{why: "as it was", right: true},
		{why: "another unit", from: "120 kg", to: "0.12 t", right: true},
		{why: "a name is no weight", from: "mass: 60 kg", to: "mass: 60 kg, castors: 4", right: true},
		{why: "heavier", from: "120 kg", to: "150 kg"},
		{why: "its ± is another", from: "120 kg", to: "120 kg ± 20 kg"},
		{why: "it acts elsewhere", from: "[1000, 0, 400]", to: "[1000, 0, 700]"},
		{why: "a part more", from: "dollies:", to: "  gearbox: {mass: 30 kg}\ndollies:"},
		{why: "a part of which nobody wrote the mass", from: ", cg: [1000, 0, 400]", to: ""},
		{why: "a part less", from: "  engine: {mass: 120 kg}\n", to: ""},
		{why: "what hangs on a strap is filled in", from: "rear-straps: {", to: "rear-straps: {mass: 40 kg, ", right: true},
		{why: "what hangs on a strap is another figure", from: "30 kg", to: "3 kg"},
		{why: "what hangs on a strap is taken out", from: ", mass: 30 kg", to: ""},
		{why: "the table is another", from: "60 kg", to: "90 kg"},
		{why: "filled up", log: "- {day: 2026-11-25 10:00, by: TN, of: [vehicle], found: {fuel: in tank}}\n"},
	} {
		for _, said := range []string{"found: {masses_current: yes, battery: out, fuel: drained}", "good: yes"} {
			b := with(t, strings.Replace(weighed, c.from, c.to, 1), fmt.Sprintf(look, said)+c.log)
			_, known := b.Vehicle.Bool("found.masses_current")
			assert.Equal(t, c.right, known, "%s: %s", c.why, said)
			battery, _ := b.Vehicle.Text("found.battery")
			assert.NotEmpty(t, battery, "%s: %s", c.why, said)
		}
	}
	// 'Good' of a card without its fingerprint may be of other masses; who names it means those of the day.
	b := with(t, weighed, "- {day: 2026-11-24, by: TN, of: [vehicle], good: yes}\n")
	_, known := b.Vehicle.Bool("found.masses_current")
	assert.False(t, known)
	b = with(t, weighed, "- {day: 2026-11-24, by: TN, of: [vehicle], found: {masses_current: no}}\n")
	right, known := b.Vehicle.Bool("found.masses_current")
	assert.True(t, known && !right, "a fault is one of whatever masses")
}

// What was written down after a look does not make another thing of it: what was seen still counts,
// and nothing is taken as seen that is held against the new value. What says otherwise
// than what was written then ends the look, whatever way it comes into the file.
func TestDrawnSinceTheLook(t *testing.T) {
	const file = `places: [front-left, front-right]
parts: {frame: {}, fl-arm: {}, fr-arm: {}, fl-hub: {}, fr-hub: {}}
joints:
  fl-inner: {kind: bush, between: [fl-arm, frame]BUSH}
  JOINT
links:
  fl-strut: {ends: {top: {on: frame}, bottom: {on: fl-arm}}LINK}
stud_nuts:
  other-nut: {thread: M12x1.25}
fasteners:
  pattern: {PATTERN}
  fl-inner-bolt: {thread: M10x1.5BOLT}
welds:
  mount: {fillet: {leg: 4 mmWELD}}
supports:
  stand: {kind: stand, under: frameSTAND}
moves:
  one: {kind: lower, steps: [{name: a, supports: [stand]}]}
MORE`
	blanks := regexp.MustCompile(`BUSH|JOINT|LINK|PATTERN|BOLT|WELD|STAND|MORE`)
	fill := func(words string) string {
		is := map[string]string{}
		for _, one := range strings.Split(words, ";") {
			blank, text, _ := strings.Cut(one, "=")
			is[blank] = text
		}
		return blanks.ReplaceAllStringFunc(file, func(blank string) string { return is[blank] })
	}
	for _, c := range []struct {
		name, item, then, now string
		stands, nothing       string // facts that still stand, and facts of which nobody knows anything
	}{
		{"a torque", "fl-inner-bolt", "", "BOLT=, torque: 45 N·m", "fitted tightness marked hole_egged", "torqued"},
		{"a torque that was another", "fl-inner-bolt", "BOLT=, torque: 40 N·m", "BOLT=, torque: 45 N·m", "", "fitted tightness marked"},
		{"a torque that is left out again", "fl-inner-bolt", "BOLT=, torque: 40 N·m", "", "", "fitted tightness marked"},
		{"the class, which nobody read on the head", "fl-inner-bolt", "", `BOLT=, class: "10.9"`, "fitted marked", "class_mark"},
		{"the class was drawn", "fl-inner-bolt", `BOLT=, class: "10.9"`, `BOLT=, class: "10.9", torque: 45 N·m`, "fitted marked class_mark", ""},
		{"it has a nut, whose threads nobody counted", "fl-inner-bolt", "", "BOLT=, tapped_into: nothing", "fitted marked", "threads_past"},
		{"two where there was no word of how many", "fl-inner-bolt", "", "BOLT=, needed: 2", "", "fitted marked"},
		{"one where there was no word of how many", "fl-inner-bolt", "", "BOLT=, needed: 1", "fitted marked", ""},
		{"one more of a group", "fl-inner-bolt", "BOLT=, needed: 2", "BOLT=, needed: 3", "", "fitted marked"},
		{"a pinch bolt, whose groove nobody looked for", "fl-inner-bolt", "", "BOLT=, role: pinch bolt", "fitted marked", "in_groove"},
		{"the role is another", "fl-inner-bolt", "BOLT=, role: clamp", "BOLT=, role: pinch bolt", "", "fitted marked in_groove"},
		{"by a pattern", "fl-inner-bolt", "BOLT=, like: pattern", "BOLT=, like: pattern;PATTERN=torque: 45 N·m", "fitted marked", ""},
		{"by a pattern, otherwise", "fl-inner-bolt", "BOLT=, like: pattern;PATTERN=torque: 40 N·m", "BOLT=, like: pattern;PATTERN=torque: 45 N·m", "", "fitted marked"},
		{"by the other side", "fr-inner-bolt", "MORE=mirror: [{from: fl-, to: fr-, across: y}]", "BOLT=, torque: 45 N·m;MORE=mirror: [{from: fl-, to: fr-, across: y}]", "fitted marked", ""},
		{"by the other side, otherwise", "fr-inner-bolt", "BOLT=, torque: 40 N·m;MORE=mirror: [{from: fl-, to: fr-, across: y}]", "BOLT=, torque: 45 N·m;MORE=mirror: [{from: fl-, to: fr-, across: y}]", "", "fitted marked"},
		{"the bush that a snug bolt clamps is bonded", "fl-inner-bolt", "", "BUSH=, bush: bonded", "fitted tightness", ""},
		{"the bush is plain after all, and the bolt may be no more than snug", "fl-inner-bolt", "BUSH=, bush: bonded", "BUSH=, bush: plain", "", "fitted tightness"},
		{"a filler, a layout and a place", "mount", "", "WELD=, filler: ER70S-6, layout: two lines, centre: [0, 0, 0]", "inspected crack toes leg", ""},
		{"its sides, which nobody counted", "mount", "", "WELD=, sides: 2", "inspected crack toes leg", "sides"},
		{"another length", "mount", "WELD=, length: 40 mm", "WELD=, length: 60 mm", "", "inspected crack toes leg"},
		{"a bush for a rod end", "fl-end", "JOINT=fl-end: {kind: rod end, between: [fl-hub, fl-arm]}", "JOINT=fl-end: {kind: bush, between: [fl-hub, fl-arm]}", "", "worn bolt_slides"},
		{"its rod end's hand, for which nobody looked at the jam nut", "fl-end", "JOINT=fl-end: {kind: rod end, between: [fl-hub, fl-arm]}", "JOINT=fl-end: {kind: rod end, between: [fl-hub, fl-arm], rod_end: {hand: left}}", "worn jam_nuts", "jam_nut_hand"},
		{"a temporary bar, whose tag nobody looked for", "fl-strut", "", "LINK=, temporary: yes", "fitted bent", "tagged"},
		{"it is no temporary bar after all", "fl-strut", "LINK=, temporary: yes", "LINK=, temporary: no", "", "fitted bent"},
		{"the height of a stand", "stand", "", "STAND=, height: 300 mm", "condition", "level"},
		{"the stand is higher", "stand", "STAND=, height: 300 mm", "STAND=, height: 360 mm", "condition", "level"},
		{"its height is left out again", "stand", "STAND=, height: 300 mm", "", "condition", "level"},
		{"its rating", "stand", "", "STAND=, rated: 2 t", "condition level", ""},
	} {
		log := "- {day: 2026-11-25 10:00, by: TN, of: [" + c.item + "], fp: FP(" + c.item + "), good: yes, card: 1}\n"
		b := after(t, fill(c.now), fill(c.then), log)
		facts := b.Standing[c.item].Group
		for _, name := range strings.Fields(c.stands) {
			assert.Contains(t, facts, name, c.name)
			assert.False(t, facts[name].Fault, c.name)
		}
		for _, name := range strings.Fields(c.nothing) {
			assert.NotContains(t, facts, name, c.name)
		}
		assert.Equal(t, c.stands == "", len(b.NewlyEnded()) > 0, c.name)
	}

	// What somebody read is held against what is drawn since.
	b := with(t, fill(`BOLT=, class: "10.9"`), "- {day: 2026-11-25 10:00, by: TN, of: [fl-inner-bolt], good: yes, fp: "+with(t, fill(""), "").Things["fl-inner-bolt"].Print()+", found: {class_mark: \"8.8\"}}\n")
	assert.True(t, b.Standing["fl-inner-bolt"].Group["class_mark"].Fault)
	// An earlier program did not say what was written down: its looks are of all of it.
	early, _, _ := strings.Cut(with(t, fill(""), "").Things["mount"].Print(), " ")
	log := "- {day: 2026-11-25 10:00, by: TN, of: [mount], good: yes, fp: " + early + "}\n"
	assert.Contains(t, with(t, fill(""), log).Standing["mount"].Group, "inspected")
	assert.NotContains(t, with(t, fill("WELD=, length: 60 mm"), log).Standing["mount"].Group, "inspected")
}

// Two looks that disagree on what has no good answer, with nothing to say which is the later, stop
// until somebody says; silence would let pass what either of them alone would stop.
func TestLooksDisagree(t *testing.T) {
	for second, want := range map[string]string{
		"- {day: 2026-11-25, by: EA, of: [site], found: {headroom: 0 m}}\n":         "the looks at site of 2026-11-25 by EA, 2026-11-25 by TN say different things of its headroom, and none of them is surely the last",
		"- {day: 2026-11-25, by: EA, of: [site], found: {headroom: 3900 mm}}\n":     "",
		"- {day: 2026-11-25, by: TN, of: [site], found: {headroom: 0 m}}\n":         "",
		"- {day: 2026-11-26, by: EA, of: [site], found: {headroom: 0 m}}\n":         "",
		"- {day: 2026-11-25, by: EA, of: [other-nut], found: {tightness: loose}}\n": "",
	} {
		b := with(t, onePivot, "- {day: 2026-11-25, by: TN, of: [site], found: {headroom: 3.9 m}}\n- {day: 2026-11-25, by: TN, of: [other-nut], found: {tightness: torqued}}\n"+second)
		if want == "" {
			assert.Empty(t, b.Troubles, second)
			continue
		}
		require.Len(t, b.Troubles, 1)
		assert.Equal(t, want, b.Troubles[0].Message)
	}
}

// What was said of a move is of the steps that it had: read aloud in another order, or with
// another way back, it is said again. What a level said on the way changes no step.
func TestStepsSinceTheLook(t *testing.T) {
	const look = "- {day: 2026-11-25, by: TN, of: [one], fp: FP(one), found: {order_read: yes, way_back: yes, catch: yes}}\n"
	steps := "one: {kind: lower, steps: [{name: a, supports: [stand]}]}"
	for now, stands := range map[string]bool{
		steps: true,
		"one: {kind: lower, title: down, steps: [{name: a, supports: [stand], found: {pitch: 1 deg, roll: 0 deg}}]}": true,
		"one: {kind: lower, steps: [{name: a, supports: [stand], pitch: 2 deg}]}":                                    false,
		"one: {kind: lower, steps: [{name: b, supports: [stand]}, {name: a, supports: [stand]}]}":                    false,
	} {
		facts := after(t, strings.Replace(onePivot, steps, now, 1), onePivot, look).Standing["one"].Group
		for _, name := range []string{"order_read", "way_back", "catch"} {
			assert.Equal(t, stands, facts[name].V == true, "%s: %s", now, name)
		}
	}
}
