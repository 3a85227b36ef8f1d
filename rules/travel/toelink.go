package travel

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/linkage"
	"setdown/rules/verdict"
)

// outer is where, as a share of the travel each way, the toe is held to find the
// place of a bracket: with a quarter of it left to the ends, what remains of toe
// change is about alike inside and at the ends.
const outer = 0.75

// furthest is the most that a bracket is said to be free to be off its place, m: so
// far the toe changes in proportion, and further nobody would take it.
const furthest = 0.05

// toeLinks finds what the frame's end of each wanted toe link does to the toe of a wheel
// and where it would do nothing.
func (s *suspension) toeLinks(wheel int, poses []*linkage.State, o Options, wanted func(barAt) bool) []verdict.ToeLink {
	var list []verdict.ToeLink
	for _, i := range s.steers(func(b barAt) bool { return b.on[0] == linkage.Ground && wanted(b) }) {
		b, bar := s.bars[i], s.sys.Bars[i]
		t := verdict.ToeLink{Link: b.item.ID, End: b.end(0), Welds: s.unfinished(b.end(0)), Now: place(bar.PA)}
		toe := s.drawn.Wheel(wheel).Toe
		var over []float64
		for _, pose := range poses {
			a := pose.Wheel(wheel)
			over = append(over, a.Up-s.drawn.Wheel(wheel).Up)
			if change := degrees(math.Abs(a.Toe - toe)); change > t.Change {
				t.Change, t.At = change, mm(over[len(over)-1])
			}
		}
		along, _ := linkage.ToePerPlace(i, wheel, poses[0], poses[len(poses)-1])
		t.PerMM = [3]float64{degrees(along.X / 1000), degrees(along.Y / 1000), degrees(along.Z / 1000)}
		t.Enough = t.Change <= degrees(o.Good)
		low, high := outer*over[0], outer*over[len(over)-1]
		switch { // travel that goes one way alone has its three heights there
		case low == 0:
			low = high / 2
		case high == 0:
			high = low / 2
		}
		found, err := s.drawn.ToePlace(i, wheel, low, high, over, s.heights)
		if err != nil {
			t.Nowhere = err.Error()
		} else {
			move := r3.Sub(found.At, bar.PA)
			t.Place = &verdict.ToePlace{
				At: place(found.At), Move: [3]float64{mm(move.X), mm(move.Y), mm(move.Z)},
				Line: [3]float64{found.Line.X, found.Line.Y, found.Line.Z}, Length: mm(found.Length), Within: mm(min(found.Within*o.Good, furthest)),
			}
			for _, left := range found.Toe {
				t.Place.Left = max(t.Place.Left, degrees(math.Abs(left)))
			}
		}
		list = append(list, t)
	}
	return list
}

func place(v linkage.Vec) verdict.Point {
	return verdict.Point{X: mm(v.X), Y: mm(v.Y), Z: mm(v.Z)}
}

// usual is how far a wheel is taken up and down where nobody says otherwise, m, and coarse in how
// many steps each way: the toe of a link is a smooth curve, and a check has many states to judge.
const (
	usual  = 0.04
	coarse = 8
)

// Brackets says of every weld that holds the frame's end of a toe link and is not made full what
// that end does to the toe as it stands, and where it would do nothing, by the id of the weld.
func (f *Suspensions) Brackets(good float64) map[string]verdict.ToeLink {
	f.mu.Lock()
	defer f.mu.Unlock()
	found := map[string]verdict.ToeLink{}
	for _, s := range f.list {
		waits := func(b barAt) bool { return b.on[0] == linkage.Ground && s.unfinished(b.end(0)) != nil }
		if s.trouble != nil || len(s.steers(waits)) == 0 {
			continue
		}
		down, _ := s.sweep(usual, -1, coarse)
		above, _ := s.sweep(usual, 1, coarse)
		slices.Reverse(down)
		poses := append(append(down, s.drawn), above...)
		for wheel := range s.wheels {
			for _, link := range s.toeLinks(wheel, poses, Options{Droop: usual, Bump: usual, Good: good}, waits) {
				for _, weld := range link.Welds {
					if was, seen := found[weld]; !seen || link.Change > was.Change {
						found[weld] = link
					}
				}
			}
		}
	}
	return found
}

// unfinished lists the welds that hold a link's end and are not known to be made
// full.
func (s *suspension) unfinished(end string) []string {
	var list []string
	for _, weld := range s.build.Of("welds") {
		if made, _ := weld.Text("found.made"); made == "full" {
			continue
		}
		for _, held := range weld.Texts("holds") {
			if held == end {
				list = append(list, weld.ID)
			}
		}
	}
	return list
}
