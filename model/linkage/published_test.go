package linkage_test

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model/linkage"
)

// solved is one corner of testdata/published/travel/corners.json: own geometry,
// solved by scipy with other equations (corners.py beside it).
type solved struct {
	Name     string
	Geometry struct {
		Bodies  int
		Balls   [][]json.RawMessage // body, body, point
		Hinges  [][]json.RawMessage // and axis
		Sliders [][]json.RawMessage
		Bars    [][]json.RawMessage // body, body, point, point
		Strut   []json.RawMessage
		Wheel   []json.RawMessage // body, point
	}
	Rows []struct{ Travel, Toe, Camber, Out, Back, Strut float64 }
}

func read[T any](t *testing.T, raw json.RawMessage) T {
	t.Helper()
	var v T
	require.NoError(t, json.Unmarshal(raw, &v))
	return v
}

func millimetres(t *testing.T, raw json.RawMessage) vec {
	t.Helper()
	p := read[[3]float64](t, raw)
	return mm(p[0], p[1], p[2])
}

func (s solved) system(t *testing.T) linkage.System {
	t.Helper()
	var sys linkage.System
	for i := range s.Geometry.Bodies {
		sys.Bodies = append(sys.Bodies, string(rune('a'+i)))
	}
	joints := func(kind linkage.Kind, list [][]json.RawMessage) {
		for _, j := range list {
			joint := linkage.Joint{Kind: kind, A: read[int](t, j[0]), B: read[int](t, j[1]), At: millimetres(t, j[2])}
			if kind != linkage.Ball {
				joint.Axis = millimetres(t, j[3])
			}
			sys.Joints = append(sys.Joints, joint)
		}
	}
	joints(linkage.Ball, s.Geometry.Balls)
	joints(linkage.Hinge, s.Geometry.Hinges)
	joints(linkage.Slider, s.Geometry.Sliders)
	bar := func(b []json.RawMessage) linkage.Bar {
		return linkage.Bar{A: read[int](t, b[0]), B: read[int](t, b[1]), PA: millimetres(t, b[2]), PB: millimetres(t, b[3])}
	}
	for _, b := range s.Geometry.Bars {
		sys.Bars = append(sys.Bars, bar(b))
	}
	sys.Struts = []linkage.Bar{bar(s.Geometry.Strut)}
	p := millimetres(t, s.Geometry.Wheel[1])
	sys.Wheels = []linkage.Wheel{{Body: read[int](t, s.Geometry.Wheel[0]), Centre: p, Tyre: p, Axis: vec{Y: 1}}}
	return sys
}

func TestCornersOfAnotherSolver(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/travel/corners.json")
	require.NoError(t, err)
	var list []solved
	require.NoError(t, json.Unmarshal(text, &list))
	require.Len(t, list, 6)
	for _, corner := range list {
		t.Run(corner.Name, func(t *testing.T) {
			l, start := drawn(t, corner.system(t), linkage.Height(0, 0))
			require.Len(t, corner.Rows, 4)
			for _, row := range corner.Rows {
				s, err := l.Move(start, 0, linkage.Height(0, row.Travel/1000))
				require.NoError(t, err)
				w, w0 := s.Wheel(0), start.Wheel(0)
				const same = 1e-5 // mm and degrees
				require.InDelta(t, row.Toe, w.Toe/deg, same)
				require.InDelta(t, row.Camber, w.Camber/deg, same)
				require.InDelta(t, row.Out, (w.Out-w0.Out)*1000, same)
				require.InDelta(t, row.Back, (w.Back-w0.Back)*1000, same)
				require.InDelta(t, row.Strut, s.StrutLength(0)*1000, same)
			}
		})
	}
}

// The figures of a solver that was written apart from this one, for two corners of
// testdata/builds/special-asfound.yaml: own geometry, arithmetic.
func TestTheSpecial(t *testing.T) {
	rows := []struct {
		sys         linkage.System
		bump        float64 // mm
		toe, camber float64 // degrees
	}{
		{rearLeft(), -40, -0.064335, 1.057896},
		{rearLeft(), -20, -0.035491, 0.569791},
		{rearLeft(), 20, 0.042347, -0.654187},
		{rearLeft(), 40, 0.091984, -1.397574},
		{frontLeft(), -40, -0.438172, 0.901368},
		{frontLeft(), -20, -0.211379, 0.484626},
		{frontLeft(), 20, 0.198664, -0.555393},
		{frontLeft(), 40, 0.386961, -1.186151},
	}
	for _, row := range rows {
		l, start := drawn(t, row.sys, linkage.Height(0, 0))
		s, err := l.Move(start, 0, linkage.Height(0, row.bump/1000))
		require.NoError(t, err)
		require.InDelta(t, row.toe, s.Wheel(0).Toe/deg, 1e-6)
		require.InDelta(t, row.camber, s.Wheel(0).Camber/deg, 1e-6)
	}
}

// Places of the toe bracket for no toe change at −30, 0 and +30 mm, by the same
// other solver.
func TestToePlacesOfTheSpecial(t *testing.T) {
	for _, row := range []struct {
		name   string
		sys    linkage.System
		at     vec
		length float64 // mm
		left   float64 // degrees, over ± 40 mm
	}{
		{"rear", rearLeft(), mm(-165, 232.5145, 187.9099), 355.527, 0.0002},
		{"front", frontLeft(), mm(2189.5263, 238.1732, 186.7571), 354.3275, 0.0005},
	} {
		t.Run(row.name, func(t *testing.T) {
			_, start := drawn(t, row.sys, linkage.Height(0, 0))
			p, err := start.ToePlace(0, 0, -0.030, 0.030, heights(), oneWheel)
			require.NoError(t, err)
			near(t, row.at, p.At, 1e-7)
			require.InDelta(t, row.length, p.Length*1000, 1e-3)
			for _, left := range p.Toe {
				require.LessOrEqual(t, left/deg, row.left)
				require.GreaterOrEqual(t, left/deg, -row.left)
			}
		})
	}
}

// The rear bar is 414.43214 mm as drawn; a turn of M12x1.75 with a right- and a
// left-hand end is 3.5 mm, and does not do the same both ways.
func TestTurnsOfTheSpecial(t *testing.T) {
	l, start := drawn(t, rearLeft(), linkage.Length(0, 0))
	require.InDelta(t, 414.43214, start.StrutLength(0)*1000, 5e-6)
	for _, row := range []struct{ longer, up float64 }{{3.5, -6.04539}, {-3.5, 6.01621}} { // mm
		s, err := l.Move(start, 0, linkage.Length(0, start.StrutLength(0)+row.longer/1000))
		require.NoError(t, err)
		require.InDelta(t, row.up, (s.Wheel(0).Up-start.Wheel(0).Up)*1000, 5e-6)
	}
}

// A car on four coil springs, settled by scipy from differences of energies
// (testdata/published/travel/settle.py): own geometry and masses.
func TestCarOfAnotherSolver(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/travel/settle.json")
	require.NoError(t, err)
	type mass [2]json.RawMessage
	var car struct {
		Floor   [3]float64
		Frame   []mass
		Corners []struct {
			Radius, Rate, Free float64 // mm, N/mm, mm
			Masses             [][3]json.RawMessage
		}
		Wheels []struct {
			Name        string
			Load, Strut float64
		}
	}
	require.NoError(t, json.Unmarshal(text, &car))
	require.Len(t, car.Wheels, 4)
	v := &linkage.Vehicle{}
	for _, m := range car.Frame {
		v.Masses = append(v.Masses, linkage.Weight{Body: linkage.Ground, M: read[float64](t, m[0]), CG: millimetres(t, m[1])})
	}
	for i, sys := range []linkage.System{frontLeft(), mirror(frontLeft()), rearLeft(), mirror(rearLeft())} {
		c := car.Corners[i/2]
		sys.Wheels[0].Radius = c.Radius / 1000
		_, start := drawn(t, sys, linkage.Height(0, 0))
		corner := linkage.Sprung{Drawn: start, Springs: []linkage.Spring{{Rate: c.Rate * 1000, Free: c.Free / 1000}}}
		for _, m := range c.Masses {
			at := millimetres(t, m[2])
			if i%2 == 1 {
				at.Y = -at.Y
			}
			corner.Masses = append(corner.Masses, linkage.Weight{Body: read[int](t, m[0]), M: read[float64](t, m[1]), CG: at})
		}
		v.Corners = append(v.Corners, corner)
	}
	s, err := v.Settle()
	require.NoError(t, err)
	for i, w := range car.Wheels {
		require.InDelta(t, w.Load, s.Wheels[i].Load, 0.02, w.Name) // N: what differences leave open
		require.InDelta(t, w.Strut, s.States[i].StrutLength(0)*1000, 1e-3, w.Name)
	}
	require.InDelta(t, car.Floor[0], s.Distance/s.Normal.Z*1000, 1e-3)
	require.InDelta(t, car.Floor[1], -s.Normal.X/s.Normal.Z, 1e-6)
	require.InDelta(t, car.Floor[2], -s.Normal.Y/s.Normal.Z, 1e-6)
}
