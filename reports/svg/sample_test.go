package svg_test

import (
	"setdown/rules/verdict"
)

// sample is a light vehicle with double wishbones all round, standing under its
// four uprights: a nut missing at the front right, a bolt loose at the front
// left, tacked brackets behind, one corner nobody looked at. The places are those
// of the demonstration vehicle; the forces are plausible and not computed.
func sample() *verdict.Step {
	newton := func(v float64) *verdict.Figure { return &verdict.Figure{Value: v, Unit: "N"} }
	kilo := func(v float64) *verdict.Figure { return &verdict.Figure{Value: v, Unit: "kg"} }
	share := func(v float64) *float64 { return &v }
	s := &verdict.Step{
		Name: "on four uprights", Decision: verdict.NoGo, Stops: 7, Solved: verdict.Solved,
		Watch: []string{"all four saddles touch", "the uprights do not turn"},
		Mass:  kilo(367), CG: &verdict.Point{X: 841, Y: 5, Z: 313, Tol: [3]float64{42, 13, 2}},
		Outline: &verdict.Outline{},
	}
	s.Outline.Parts = append(s.Outline.Parts, verdict.OutlinePart{ID: "frame", Role: "frame", Place: "body"})
	type point = verdict.Point
	corner := func(id, place string, side float64, x [10]point, strut, toe, joints string) {
		at := func(i int) point { p := x[i]; p.Y *= side; return p }
		o := s.Outline
		o.Parts[0].Points = append(o.Parts[0].Points, at(0), at(1), at(2), at(3), at(6), at(8))
		o.Parts = append(o.Parts,
			verdict.OutlinePart{ID: id + "-lower-arm", Role: "arm", Place: place, Points: []point{at(0), at(1), at(4)}},
			verdict.OutlinePart{ID: id + "-upper-arm", Role: "arm", Place: place, Points: []point{at(2), at(3), at(5)}},
			verdict.OutlinePart{ID: id + "-upright", Role: "upright", Place: place, Points: []point{at(4), at(5), at(9)}, Hangs: id == "rl"},
		)
		for i, name := range []string{"lower-front", "lower-rear", "upper-front", "upper-rear", "lower-ball", "upper-ball"} {
			state := "sound"
			if name == joints {
				state = map[string]string{"fl": "loose", "fr": "missing", "rl": "missing", "rr": "not recorded"}[id]
			}
			o.Joints = append(o.Joints, verdict.OutlineJoint{ID: id + "-" + name, Place: place, Kind: "spherical bearing", At: at(i),
				Parts: []string{id + "-arm", "frame"}, State: state, Force: newton(float64(130 + 190*i)), Use: share(0.03 + 0.17*float64(i))})
		}
		o.Members = append(o.Members,
			verdict.OutlineMember{ID: id + "-strut", Place: place, Role: "strut", From: at(6), To: at(7), State: strut, Force: newton(-1518), Use: share(1.82)},
			verdict.OutlineMember{ID: id + "-toe", Place: place, Role: "toe link", From: at(8), To: at(9), State: toe, Force: newton(45), Use: share(0.001)},
		)
	}
	front := [10]point{{X: 2420, Y: 215, Z: 150}, {X: 2140, Y: 235, Z: 150}, {X: 2390, Y: 270, Z: 330}, {X: 2150, Y: 285, Z: 330}, {X: 2308, Y: 600, Z: 160},
		{X: 2284, Y: 570, Z: 365}, {X: 2300, Y: 265, Z: 470}, {X: 2305, Y: 480, Z: 172}, {X: 2190, Y: 245, Z: 195}, {X: 2180, Y: 592, Z: 203}}
	rear := [10]point{{X: 130, Y: 215, Z: 160}, {X: -130, Y: 215, Z: 160}, {X: 110, Y: 285, Z: 345}, {X: -110, Y: 285, Z: 345}, {X: 10, Y: 590, Z: 155},
		{X: -8, Y: 560, Z: 375}, {X: 50, Y: 250, Z: 520}, {X: 45, Y: 475, Z: 172}, {X: -165, Y: 225, Z: 190}, {X: -160, Y: 588, Z: 190}}
	corner("fl", "front-left", 1, front, "sound", "sound", "upper-rear")
	corner("fr", "front-right", -1, front, "sound", "sound", "lower-ball")
	corner("rl", "rear-left", 1, rear, "tack", "tack", "lower-front")
	corner("rr", "rear-right", -1, rear, "loose", "missing", "upper-front")
	for _, r := range []struct {
		id      string
		x, y    float64
		even    float64
		outcome verdict.Outcome
	}{{"fl-hub-stand", 2300, 592, 67.9, verdict.Caution}, {"fr-hub-stand", 2300, -592, 66.3, verdict.Stop}, {"rr-hub-stand", 0, -585, 115.6, verdict.NotRecorded}, {"rl-hub-stand", 0, 585, 117.2, verdict.Pass}} {
		s.Supports = append(s.Supports, verdict.Reaction{ID: r.id, Kind: "stand", Under: r.id[:2] + "-upright", At: &point{X: r.x, Y: r.y, Z: 140},
			Even: kilo(r.even), Least: kilo(0), Worst: kilo(2 * r.even), Rated: kilo(1000), LetsGo: "rocks", Goes: "the vehicle rocks: it comes to rest on the others", Outcome: r.outcome})
	}
	s.Supports[0].Height = &verdict.Figure{Value: 340, Unit: "mm"}
	for i, id := range []string{"fl", "fr", "rr", "rl"} {
		at := point{X: 2300 * float64(1-i/2), Y: 680, Z: 270}
		if id[1] == 'r' {
			at.Y = -at.Y
		}
		s.Outline.Wheels = append(s.Outline.Wheels, verdict.OutlineWheel{ID: id + "-wheel", Place: map[byte]string{'f': "front-", 'r': "rear-"}[id[0]] + map[byte]string{'l': "left", 'r': "right"}[id[1]],
			At: at, Radius: verdict.Figure{Value: 270, Unit: "mm"}, Off: id[0] == 'f'})
	}
	edge := func(from, to string, nominal float64) verdict.Edge {
		return verdict.Edge{From: from, To: to, Nominal: verdict.Figure{Value: nominal, Unit: "mm"}, Worst: verdict.Figure{Value: nominal - 12, Unit: "mm"}}
	}
	s.Stability = &verdict.Stability{
		Polygon: []point{{X: 0, Y: -585}, {X: 2300, Y: -592}, {X: 2300, Y: 592}, {X: 0, Y: 585}},
		Edges: []verdict.Edge{edge("rr-hub-stand", "fr-hub-stand", 592), edge("fr-hub-stand", "fl-hub-stand", 1459),
			edge("fl-hub-stand", "rl-hub-stand", 582), edge("rl-hub-stand", "rr-hub-stand", 841)},
		Margin: verdict.Figure{Value: 570, Unit: "mm"}, TipAngle: verdict.Figure{Value: 72, Unit: "°"}, TipPush: verdict.Figure{Value: 10768, Unit: "N"},
		Words: "centre of gravity 570 mm inside the line fl-hub-stand to rl-hub-stand, worst over the ±",
	}
	s.Rocking = []verdict.Rocking{{Supports: []string{"fl-hub-stand", "rl-hub-stand", "rr-hub-stand"}, Carry: []verdict.Figure{*kilo(134.2), *kilo(50.1), *kilo(182.7)}}}
	return s
}
