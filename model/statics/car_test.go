package statics

import "fmt"

// fourCorner is a four-corner car with double wishbones and rigid bars for
// struts: an invented vehicle, lengths in m.
func fourCorner() System {
	sys := System{}
	body := func(name string, m, tol float64, x, y, z float64) int {
		sys.Bodies = append(sys.Bodies, Body{Name: name, Masses: []Mass{{Name: name, M: m, Tol: tol, CG: mm(x, y, z)}}})
		return len(sys.Bodies) - 1
	}
	frame := body("frame", 118, 8, 1180, 0, 330)
	engine := body("engine", 128, 5, 330, 15, 330)
	radiator := body("radiator", 22, 4, 1000, 0, 320)
	seat := body("seat", 9, 1, 950, 0, 300)
	for _, b := range []int{engine, radiator, seat} {
		sys.Joints = append(sys.Joints, Joint{Name: sys.Bodies[b].Name + "-mount", Kind: Fixed, A: frame, B: b, At: sys.Bodies[b].Masses[0].CG})
	}
	type corner struct {
		place                                  string
		mass                                   float64
		cg                                     [3]float64
		lf, lr, lb, uf, ur, ub, ti, to, sb, st [3]float64
	}
	front := corner{"f", 21, [3]float64{2300, 610, 262},
		[3]float64{2430, 215, 160}, [3]float64{2170, 215, 160}, [3]float64{2310, 590, 155},
		[3]float64{2410, 285, 345}, [3]float64{2190, 285, 345}, [3]float64{2292, 560, 375},
		[3]float64{2435, 225, 190}, [3]float64{2440, 588, 190}, [3]float64{2345, 475, 172}, [3]float64{2350, 250, 460}}
	rear := corner{"r", 24, [3]float64{0, 600, 272},
		[3]float64{130, 215, 160}, [3]float64{-130, 215, 160}, [3]float64{10, 590, 155},
		[3]float64{110, 285, 345}, [3]float64{-110, 285, 345}, [3]float64{-8, 560, 375},
		[3]float64{-165, 225, 190}, [3]float64{-160, 588, 190}, [3]float64{45, 475, 172}, [3]float64{50, 250, 520}}
	for _, c := range []corner{front, rear} {
		for _, side := range []struct {
			name string
			y    float64
		}{{"l", 1}, {"r", -1}} {
			at := func(p [3]float64) Vec { return mm(p[0], side.y*p[1], p[2]) }
			pre := c.place + side.name + "-"
			lower := body(pre+"lower-arm", 4, 0, (c.lf[0]+c.lb[0])/2, side.y*(c.lf[1]+c.lb[1])/2, c.lf[2])
			upper := body(pre+"upper-arm", 3, 0, (c.uf[0]+c.ub[0])/2, side.y*(c.uf[1]+c.ub[1])/2, c.uf[2])
			upright := body(pre+"upright", c.mass-7, 2, c.cg[0], side.y*(c.cg[1]+20), c.cg[2])
			sys.Joints = append(sys.Joints,
				Joint{Name: pre + "lower-front", A: lower, B: frame, At: at(c.lf)},
				Joint{Name: pre + "lower-rear", A: lower, B: frame, At: at(c.lr)},
				Joint{Name: pre + "upper-front", A: upper, B: frame, At: at(c.uf)},
				Joint{Name: pre + "upper-rear", A: upper, B: frame, At: at(c.ur)},
				Joint{Name: pre + "lower-ball", A: upright, B: lower, At: at(c.lb)},
				Joint{Name: pre + "upper-ball", A: upright, B: upper, At: at(c.ub)},
			)
			sys.Links = append(sys.Links,
				Link{Name: pre + "toe", A: frame, B: upright, PA: at(c.ti), PB: at(c.to)},
				Link{Name: pre + "strut", A: frame, B: lower, PA: at(c.st), PB: at(c.sb)},
			)
		}
	}
	return sys
}

func mm(x, y, z float64) Vec { return Vec{X: x / 1000, Y: y / 1000, Z: z / 1000} }

func index(sys System, name string) int {
	for i, b := range sys.Bodies {
		if b.Name == name {
			return i
		}
	}
	panic("no body " + name)
}

func onUprights(sys System) []Support {
	var s []Support
	for _, c := range []struct {
		n    string
		x, y float64
	}{{"fl", 2300, 592}, {"fr", 2300, -592}, {"rl", 0, 585}, {"rr", 0, -585}} {
		s = append(s, Support{Name: "stand-" + c.n, Body: index(sys, c.n+"-upright"), At: mm(c.x, c.y, 100)})
	}
	return s
}

func onFrame() []Support {
	return []Support{
		{Name: "stand-fl", Body: 0, At: mm(1750, 240, 150)}, {Name: "stand-fr", Body: 0, At: mm(1750, -240, 150)},
		{Name: "stand-rl", Body: 0, At: mm(250, 230, 150)}, {Name: "stand-rr", Body: 0, At: mm(250, -230, 150)},
	}
}

func dump(s *Step) {
	if s.Failure != nil {
		fmt.Println("FAILURE", s.Failure.Words)
		return
	}
	for i, p := range s.supports {
		r := s.Reaction(i)
		fmt.Printf("%s even %.1f kg, %.1f..%.1f kg (%s)\n", p.Name, r.Nominal/Gravity, r.Least/Gravity, r.Most/Gravity, r.Case)
	}
	for i, l := range s.m.sys.Links {
		r := s.Link(i)
		out, err := s.LetGo(Removal{Links: []int{i}})
		fmt.Printf("%s %.0f N, %.0f..%.0f; %v %.0f kg %s %v\n", l.Name, r.Nominal, r.Least, r.Most, out.Fate, out.Mass, out.Words, err)
	}
	for i, j := range s.m.sys.Joints {
		r := s.Joint(i)
		out, err := s.LetGo(Removal{Joints: []int{i}})
		fmt.Printf("%s %.0f N worst %.0f; %v %.0f kg %s %v\n", j.Name, r.Nominal, r.Worst, out.Fate, out.Mass, out.Words, err)
	}
	for i := range s.supports {
		out, err := s.LetGo(Removal{Supports: []int{i}})
		fmt.Printf("%s gone: %v %s %v\n", s.supports[i].Name, out.Fate, out.Words, err)
	}
	fmt.Println(s.Ways())
}
