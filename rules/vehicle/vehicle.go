// Package vehicle is the build state as a mechanism: which parts meet where, what holds
// each place where they meet and whether it is there, made and tight, what is off or tied
// up in a step, and what every place passes then and what happens if it lets go.
//
// It computes no facts for rules and judges nothing. What it cannot work out it returns as
// Unknown: the fields of the build file that nobody recorded, or the reason.
//
// The files, in the order in which they build on one another:
//
//   - vehicle.go: what all share
//   - meets.go: where parts meet
//   - holders.go: what holds them there
//   - springs.go: what springs they are
//   - places.go: where on the walk round they are
//   - ends.go: which end and side a place is of
//   - setting.go: what is off and tied in a step, and what hangs on a hook by itself
//   - step.go: a step and its supports
//   - cache.go: what statics worked out, kept
//   - assembly.go: the vehicle of a setting as statics sees it
//   - supports.go: how high a support stands and what it holds from the side
//   - stance.go: an assembly on its supports
//   - caught.go: what hangs in straps and on stops with what held it undone
//   - entries.go: where springs push on what is tied up
//   - loads.go: what a step with loads puts on its supports, joints and links
//   - located.go: how surely the points hold them in place
//   - through.go: what that passes through inside
//   - bending.go: how its parts bend
//   - castors.go: how far it is from tipping, with dollies on their castors
//   - pulling.go: who pulls at it
//   - between.go: the states between steps
//   - lump.go: what restraints hold together
//   - limits.go: what a droop strap or stop bears beside a spring
//   - tying.go: how that hangs
//   - puton.go: what a step puts on, and what goes in with it
//   - passing.go: what rests on each item, and what happens if it lets go
//   - outside.go: how far a place lies beyond what is drawn
//   - build.go: puts it together
//   - same.go: what an answer left as it was
package vehicle

import (
	"fmt"
	"slices"
	"sync"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// Unknown says why something is not known. At least one of its fields is set.
type Unknown struct {
	// Missing are the paths in the build file of what nobody recorded, such as
	// "fasteners.fl-bolt.found.torqued", sorted.
	Missing []string
	// Reason says why nothing was computed although all was recorded, such as
	// 'column too slender for the formula'.
	Reason string
	// Falls is set where the reason is that the vehicle does not stay as it is in the
	// step; Reason then says what moves.
	Falls bool
}

// NotRecorded is what waits for those paths of the build file.
func NotRecorded(paths ...string) *Unknown {
	slices.Sort(paths)
	return &Unknown{Missing: slices.Compact(paths)}
}

// NotComputed is what was not computed, and why.
func NotComputed(format string, args ...any) *Unknown {
	return &Unknown{Reason: fmt.Sprintf(format, args...)}
}

// Policy are the figures of choice that the mechanism needs, shares of the weight but for the
// pull.
type Policy struct {
	SidePush     float64 // sideways push for lower, lift and rest
	SidePushRoll float64 // sideways push for roll
	Pull         float64 // N, what a person pulls with
	PullShare    float64 // most of a pull that has to be held without sliding
	CGWithin     float64 // m, ± of a centre of gravity, along or across, for which the file gives none
	LevelWithin  float64 // rad, ± of a pitch or roll of which the file says nothing
	GainMost     float64 // newtons in a joint or link for each newton from the side that still hold
	SmallLoad    float64 // what carries more than this carries the vehicle
	Undercut     float64 // m, most of a weld
	LegShort     float64 // m, most that a weld's leg may be shorter than drawn
	WeldShare    float64 // least of a weld's drawn leg and length
}

// alike is by how much, as a share, one figure must exceed another to be the worst: of two
// that are the same on both sides the first in the file is named.
const alike = 1e-9

// Vehicle is one build state. It is safe for concurrent use.
type Vehicle struct {
	Build   *model.Build
	Meets   []*Meet         // joints and link ends, in file order
	Units   quantity.System // of what is said in words
	Today   quantity.Date   // on which a reading counts that holds for one day
	Cache   *Cache          // what statics worked out; of its own unless it is given that of another state
	policy  Policy
	base    string
	meets   map[string]*Meet        // by joint id or "link/end"
	ends    map[string][]*Meet      // of a link, by its id
	holds   map[string][]*Holder    // by the joint, link end or support that they hold
	holder  map[*model.Item]*Holder // by item
	springs []*Spring
	twins   map[string]*model.Item
	rigid   map[string]bool // parts that do not move against the base

	mu       sync.Mutex
	vehicles map[string]*assembly // by setting
}

// base names the part the vehicle is built on: as written, else the heaviest of
// its frame, else the heaviest that is no arm, upright or wheel.
func base(b *model.Build) string {
	if named, ok := b.Vehicle.Text("built_on"); ok {
		return named
	}
	best, rank, most := "", -1, -1.0
	for _, p := range b.Of("parts") {
		m, _ := p.Quantity("mass")
		r := 1
		switch role, _ := p.Text("role"); {
		case role == "frame":
			r = 2
		case p.Is(schema.Corner):
			r = 0
		}
		if r > rank || r == rank && m.Value > most {
			best, rank, most = p.ID, r, m.Value
		}
	}
	return best
}

// twins pairs the items that a mirror makes from one another, both ways.
func twins(b *model.Build) map[string]*model.Item {
	pairs := map[string]*model.Item{}
	for _, kind := range schema.Kinds() {
		for _, item := range b.Of(kind.Name) {
			if item.MirroredFrom == "" {
				continue
			}
			if pattern := b.Item(item.MirroredFrom); pattern != nil {
				pairs[item.ID], pairs[pattern.ID] = pattern, item
			}
		}
	}
	return pairs
}

// Base names the part the vehicle is built on.
func (v *Vehicle) Base() string { return v.base }

// Twin is the item that a mirror makes of an item, or made it from; nil without one.
func (v *Vehicle) Twin(item *model.Item) *model.Item { return v.twins[item.ID] }

// Checklist reports whether the file is a list to go through, without loads.
func (v *Vehicle) Checklist() bool {
	yes, _ := v.Build.Vehicle.Bool("checklist")
	return yes
}

// Point is a recorded place or direction as a vector.
func Point(v schema.Vec) r3.Vec { return r3.Vec{X: v.X, Y: v.Y, Z: v.Z} }

// Pieces is how many a support or restraint of the file stands for.
func Pieces(item *model.Item) int64 {
	alike, _ := item.Count("needed")
	return max(1, alike)
}

// OfKind reports whether a support is of one of the kinds.
func OfKind(kinds ...string) func(*model.Item) bool {
	return func(support *model.Item) bool {
		kind, _ := support.Text("kind")
		return slices.Contains(kinds, kind)
	}
}

// Tape is how exactly a point is known whose ± nobody wrote, m: measured once with a tape
// from a mark on the frame.
const Tape = 3e-3

// within is the largest ± of the coordinates of a point, m.
func within(v schema.Vec) float64 {
	if tol := slices.Max(v.Tol[:]); tol > 0 {
		return tol
	}
	return Tape
}
