package travel

import (
	"math"
	"slices"

	"setdown/model"
	"setdown/model/linkage"
	"setdown/rules/vehicle"
	"setdown/rules/verdict"
)

// Droop is a suspension with springs at full droop: its dampers fully out.
type Droop struct {
	Springs []*model.Item      // the links with its springs
	Angles  map[string]float64 // rad out of square, by joint or link/end; of those with a direction
	AtMost  map[string]float64 // the same, of link ends with a bolt that is square whichever way it points: no more than this
	Trouble *verdict.TravelTrouble
}

// Droops finds the suspensions with springs, each at full droop, by their joints and the ends of
// their links.
func (f *Suspensions) Droops() map[string]*Droop {
	f.mu.Lock()
	defer f.mu.Unlock()
	list := map[string]*Droop{}
	for _, s := range f.list {
		d := &Droop{Trouble: s.trouble}
		for _, strut := range s.struts {
			if f.coils[strut.item.ID] != nil {
				d.Springs = append(d.Springs, strut.item)
			}
		}
		if d.Springs == nil {
			continue
		}
		for _, j := range s.sys.Joints {
			list[j.Name] = d
		}
		for _, b := range slices.Concat(s.bars, s.struts) {
			list[b.end(0)], list[b.end(1)] = d, d
		}
		if d.Trouble != nil {
			continue
		}
		pose, trouble := s.hanging(f.coils)
		if d.Trouble = trouble; trouble != nil {
			continue
		}
		d.Angles, d.AtMost = s.outOfSquare(pose)
	}
	return list
}

// hanging moves a suspension down until each wheel's spring is at full droop; a bar is as long as
// it was found.
func (s *suspension) hanging(coils map[string]*vehicle.Spring) (*linkage.State, *verdict.TravelTrouble) {
	var missing lacking
	goal := make([]float64, len(s.wheels))
	for i := range s.wheels {
		item := s.struts[s.strutOf(i)].item
		if spring := coils[item.ID]; spring != nil {
			open, unknown := spring.Open()
			missing.because(unknown)
			goal[i] = open
		} else if q, measured := item.Quantity("found.length"); measured {
			goal[i] = q.Value
		} else {
			missing = append(missing, item.Path()+".found.length")
		}
	}
	if len(missing) > 0 {
		return nil, &verdict.TravelTrouble{Kind: verdict.TravelNotRecorded, Fields: missing}
	}
	if s.together {
		return s.lower(goal)
	}
	var drives []linkage.Drive
	for i := range s.wheels {
		drives = append(drives, linkage.Length(s.strutOf(i), goal[i]))
	}
	pose, err := s.link.Move(s.drawn, 0, drives...)
	if err != nil {
		return nil, outOfReach(err)
	}
	return pose, nil
}

func outOfReach(err error) *verdict.TravelTrouble {
	return &verdict.TravelTrouble{Kind: verdict.TravelImpossible, Words: "at full droop: " + err.Error()}
}

// lower lets an axle that cannot lean down until the first of its struts is as long as it can be.
func (s *suspension) lower(goal []float64) (*linkage.State, *verdict.TravelTrouble) {
	left := func(p *linkage.State) float64 {
		least := math.Inf(1)
		for i := range s.wheels {
			least = min(least, goal[i]-p.StrutLength(s.strutOf(i)))
		}
		return least
	}
	const furthest, exact = 0.5, 1e-5 // m
	here, low, high := s.drawn, 0.0, furthest
	for h := 0.01; high-low > exact; {
		next, err := s.link.Move(here, 0, linkage.Together(-h))
		switch {
		case err != nil && high == furthest:
			return nil, outOfReach(err)
		case err != nil || left(next) < 0:
			high = h
		default:
			here, low = next, h
		}
		if h = 2 * h; high < furthest || h > furthest {
			h = (low + high) / 2
		}
	}
	return here, nil
}
