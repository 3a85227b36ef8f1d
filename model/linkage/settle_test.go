package linkage_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/linkage"
	"setdown/model/statics"
)

const g = 9.80665

// post is a wheel on a pillar that slides straight up: what the wheel carries is
// what its spring pushes, without any lever.
func post(t testing.TB, x, y float64, s linkage.Spring, mass float64) linkage.Sprung {
	t.Helper()
	sys := linkage.System{
		Bodies: []string{"stub"},
		Joints: []linkage.Joint{{Kind: linkage.Slider, A: 0, B: linkage.Ground, At: vec{X: x, Y: y, Z: 0.3}, Axis: vec{Z: 1}}},
		Bars:   []linkage.Bar{{A: linkage.Ground, B: 0, PA: vec{X: x - 0.1, Y: y - 0.3, Z: 0.3}, PB: vec{X: x - 0.1, Y: y, Z: 0.3}}},
		Struts: []linkage.Bar{{A: linkage.Ground, B: 0, PA: vec{X: x, Y: y, Z: 0.7}, PB: vec{X: x, Y: y, Z: 0.3}}},
		Wheels: []linkage.Wheel{{Name: fmt.Sprint(x, y), Body: 0, Centre: vec{X: x, Y: y, Z: 0.3}, Tyre: vec{X: x, Y: y, Z: 0.3}, Axis: vec{Y: y}, Radius: 0.3}},
	}
	_, start := drawn(t, sys, linkage.Height(0, 0))
	return linkage.Sprung{Drawn: start, Springs: []linkage.Spring{s}, Masses: []linkage.Weight{{Body: 0, M: mass, CG: vec{X: x, Y: y, Z: 0.3}}}}
}

// square is a frame on four posts at (± a, ± a): front left, front right, rear left,
// rear right.
func square(t testing.TB, a, mass float64, cg vec, unsprung float64, springs ...linkage.Spring) *linkage.Vehicle {
	v := &linkage.Vehicle{Masses: []linkage.Weight{{Body: linkage.Ground, M: mass, CG: cg}}}
	for i, p := range [][2]float64{{a, a}, {a, -a}, {-a, a}, {-a, -a}} {
		v.Corners = append(v.Corners, post(t, p[0], p[1], springs[i%len(springs)], unsprung))
	}
	return v
}

// Exact: with four equal springs on a square R = P/4·(1 ± x/a ± y/a), and the frame
// sinks by R/k at each.
func TestSquareOnFourSprings(t *testing.T) {
	const a, p, k = 0.8, 400.0, 20e3
	cg := vec{X: 0.12, Y: -0.05, Z: 0.3}
	v := square(t, a, p, cg, 10, linkage.Spring{Rate: k, Free: 0.45})
	s, err := v.Settle()
	require.NoError(t, err)
	for i, sign := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		want := p * g / 4 * (1 + sign[0]*cg.X/a + sign[1]*cg.Y/a)
		// The tilt shortens the arms by its square: a ten-thousandth here.
		require.InEpsilon(t, want+10*g, s.Wheels[i].Load, 5e-3)
		push := k * (0.45 - s.States[i].StrutLength(0))
		require.InEpsilon(t, s.Wheels[i].Load-10*g, push, 1e-3)
	}
	// With its centre of gravity on the floor's level the tilt does nothing, to first
	// order, and the formula is exact for stiff springs.
	v = square(t, a, p, vec{X: 0.12, Y: -0.05}, 0, linkage.Spring{Rate: 1e9, Free: 0.4})
	s, err = v.Settle()
	require.NoError(t, err)
	for i, sign := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		require.InEpsilon(t, p*g/4*(1+sign[0]*cg.X/a+sign[1]*cg.Y/a), s.Wheels[i].Load, 1e-6)
	}
}

// Springs without give are rigid bars: the loads are those of the statics on an even
// floor.
func TestStiffSpringsAreRigidBars(t *testing.T) {
	masses := []linkage.Weight{{Body: linkage.Ground, M: 300, CG: mm(1000, 20, 350)}}
	v := &linkage.Vehicle{Masses: masses}
	vehicle := statics.System{Bodies: []statics.Body{{Name: "frame", Masses: []statics.Mass{{M: 300, CG: mm(1000, 20, 350)}}}}}
	var supports []statics.Support
	for _, sys := range []linkage.System{frontLeft(), mirror(frontLeft()), rearLeft(), mirror(rearLeft())} {
		sys.Wheels[0].Radius = sys.Wheels[0].Centre.Z
		_, start := drawn(t, sys, linkage.Height(0, 0))
		length := start.StrutLength(0)
		// As stiff at the wheel everywhere: rate times the square of the motion ratio.
		ratio := start.PerDrive(0).StrutLength(0)
		v.Corners = append(v.Corners, linkage.Sprung{Drawn: start, Springs: []linkage.Spring{{Rate: 1e10 / (ratio * ratio), Free: length}}})
		supports = append(supports, statics.Support{Name: sys.Wheels[0].Name, Body: 0, At: start.Ground(0, vec{Z: 1})})
	}
	s, err := v.Settle()
	require.NoError(t, err)
	m, err := statics.New(vehicle)
	require.NoError(t, err)
	step, err := m.Step(supports, statics.Attitude{})
	require.NoError(t, err)
	for i := range supports {
		require.InEpsilon(t, step.Reaction(i).Nominal, s.Wheels[i].Load, 1e-5)
	}
}

// Wheel rate is k·MR² + F·dMR/dz: where the motion ratio changes, the second term
// counts. Worked out from the loads of two heights.
func TestWheelRate(t *testing.T) {
	sys := rearLeft()
	sys.Wheels[0].Radius = 0.28
	l, start := drawn(t, sys, linkage.Height(0, 0))
	spring := linkage.Spring{Rate: 30e3, Free: start.StrutLength(0) + 0.06}
	const d = 1e-4
	load := func(h float64) float64 {
		s := lift(t, l, start, h)
		return -spring.Force(s.StrutLength(0)) * s.PerDrive(0).StrutLength(0)
	}
	ratio := func(h float64) float64 { return -lift(t, l, start, h).PerDrive(0).StrutLength(0) }
	mr, dmr := ratio(0), (ratio(d)-ratio(-d))/(2*d)
	want := spring.Rate*mr*mr + spring.Force(start.StrutLength(0))*dmr
	require.InEpsilon(t, want, (load(d)-load(-d))/(2*d), 1e-6)
}

// Barton and Fieldhouse, Automotive Chassis Engineering, p 179, opened in a copy: a
// spring at c from the pivot of an arm of length b has a wheel rate of k·(c/b)².
func TestWheelRateOfALevelArm(t *testing.T) {
	const b, c, k = 0.4, 0.25, 20e3
	sys := linkage.System{
		Bodies: []string{"arm"},
		Joints: []linkage.Joint{{Kind: linkage.Hinge, A: 0, B: linkage.Ground, At: vec{Z: 0.3}, Axis: vec{X: 1}}},
		Struts: []linkage.Bar{{A: linkage.Ground, B: 0, PA: vec{Y: c, Z: 0.7}, PB: vec{Y: c, Z: 0.3}}},
		Wheels: []linkage.Wheel{{Body: 0, Centre: vec{Y: b, Z: 0.3}, Tyre: vec{Y: b, Z: 0.3}, Axis: vec{Y: 1}}},
	}
	l, start := drawn(t, sys, linkage.Height(0, 0))
	spring := linkage.Spring{Rate: k, Free: start.StrutLength(0)} // just free: no second term
	const d = 1e-5
	s := lift(t, l, start, d)
	rate := -spring.Force(s.StrutLength(0)) * s.PerDrive(0).StrutLength(0) / d
	require.InEpsilon(t, k*(c/b)*(c/b), rate, 1e-4)
}

// Turning a spring seat moves weight along diagonals only: the sums of axles and of
// sides stay but for the tilt.
func TestSeatsMoveWeightAlongDiagonals(t *testing.T) {
	spring := linkage.Spring{Rate: 1e6, Free: 0.42}
	one := spring
	one.Free += 0.0005
	loads := func(springs ...linkage.Spring) []float64 {
		s, err := square(t, 0.8, 400, vec{X: 0.1, Y: 0.02}, 0, springs...).Settle()
		require.NoError(t, err)
		var list []float64
		for _, w := range s.Wheels {
			list = append(list, w.Load)
		}
		return list
	}
	before, after := loads(spring), loads(spring, spring, spring, one)
	require.Greater(t, after[3]-before[3], 20.0)
	require.InDelta(t, before[0]+before[1], after[0]+after[1], 0.2)
	require.InDelta(t, before[0]+before[2], after[0]+after[2], 0.2)
	require.InDelta(t, after[3]-before[3], after[0]-before[0], 0.2)
	require.InDelta(t, after[3]-before[3], before[1]-after[1], 0.2)
}

// loads stands a vehicle on the seats that a cross weight asks for and returns what
// its wheels carry, front left, front right, rear left, rear right, in lb.
func loadsFor(t *testing.T, total, front, left, cross float64) []float64 {
	t.Helper()
	const lb, a = 0.45359237, 0.8
	v := square(t, a, total*lb, vec{X: a * (2*front/total - 1), Y: a * (2*left/total - 1)}, 0, linkage.Spring{Rate: 1e8, Free: 0.41})
	s, err := v.Settle()
	require.NoError(t, err)
	free, err := v.Seats(vec{Z: 1}, 0, s.Wheels, cross)
	require.NoError(t, err)
	for i := range v.Corners {
		v.Corners[i].Springs[0].Free = free[i]
	}
	s, err = v.Settle()
	require.NoError(t, err)
	near(t, vec{Z: 1}, s.Normal, 1e-8)
	var list []float64
	for _, w := range s.Wheels {
		list = append(list, w.Load/g/lb)
	}
	return list
}

// Cross weight is (front right + rear left) of the total: with 700, 600, 900 and
// 600 lb 1500 of 2800, .5357 (common practice; arithmetic).
func TestCrossWeight(t *testing.T) {
	require.InDeltaSlice(t, []float64{700, 600, 900, 600}, loadsFor(t, 2800, 1300, 1600, 0.5357142857), 1e-3)
	require.InDeltaSlice(t, []float64{600, 700, 900, 600}, loadsFor(t, 2800, 1300, 1500, 1600.0/2800), 1e-3)
}

// groundcontrolstore.com, the hows and whys of corner weights: with 1364 lb on the
// left, 1191 lb on the right and 50.9 % in front both sides are best split alike:
// 694, 606, 670, 585 lb (copy).
func TestCornerWeightsByDiagonal(t *testing.T) {
	const left, right, share = 1364.0, 1191.0, 0.509
	cross := (right*share + left*(1-share)) / (left + right)
	require.InDeltaSlice(t, []float64{694, 606, 670, 585}, loadsFor(t, left+right, share*(left+right), left, cross), 0.6)
}

// The seats for a share and a floor, put in, give both, on soft springs as well.
func TestSeatsForACrossWeight(t *testing.T) {
	v := square(t, 0.8, 400, vec{X: 0.1, Y: 0.03, Z: 0.4}, 12, linkage.Spring{Rate: 25e3, Free: 0.44})
	s, err := v.Settle()
	require.NoError(t, err)
	normal := r3.Unit(vec{X: -0.003, Y: 0.002, Z: 1})
	free, err := v.Seats(normal, 0.012, s.Wheels, 0.53)
	require.NoError(t, err)
	for i := range v.Corners {
		v.Corners[i].Springs[0].Free = free[i]
	}
	s, err = v.Settle()
	require.NoError(t, err)
	total := 0.0
	for _, w := range s.Wheels {
		total += w.Load
	}
	require.InEpsilon(t, (400+48)*g, total, 1e-8)
	require.InDelta(t, 0.53, (s.Wheels[1].Load+s.Wheels[2].Load)/total, 1e-7)
	near(t, normal, s.Normal, 1e-7)
	require.InDelta(t, 0.012, s.Distance, 1e-8)
}

// Barton and Fieldhouse, Automotive Chassis Engineering, p 174, opened in a copy: a
// sprung mass of 1280 kg, .54 of it in front, at 0.6 g on a track of 1.46 m moves
// 195 N across by links whose roll centre is .07 m up, and 760 N by .32 m behind.
// The links pass what the height of the roll centre says, and that is the slope of
// where the wheel meets the ground, out over up, times half the track.
func TestRollCentre(t *testing.T) {
	const track, across = 1.46, 1280 * 0.6 * 9.81
	for _, row := range []struct{ height, share, newtons float64 }{{0.07, 0.54, 195}, {0.32, 0.46, 760}} {
		pivot := -0.5 // the far side of the middle plane: a long swing arm
		sys := linkage.System{
			Bodies: []string{"arm"},
			Joints: []linkage.Joint{{Kind: linkage.Hinge, A: 0, B: linkage.Ground, At: vec{Y: pivot, Z: row.height * (track/2 - pivot) / (track / 2)}, Axis: vec{X: 1}}},
			Wheels: []linkage.Wheel{{Body: 0, Centre: vec{Y: track / 2, Z: 0.3}, Tyre: vec{Y: track / 2, Z: 0.3}, Axis: vec{Y: 1}, Radius: 0.3}},
		}
		_, start := drawn(t, sys, linkage.Height(0, 0))
		rate := start.PerDrive(0).Wheel(0)
		height := rate.Out / rate.Up * track / 2
		require.InDelta(t, row.height, height, 1e-12)
		require.InDelta(t, row.newtons, row.share*across*height/track, 0.5)
	}
}

// Three wheels leave no load open; the answer follows the order that is asked for.
func TestSeatsOfThreeWheels(t *testing.T) {
	spring := linkage.Spring{Rate: 25e3, Free: 0.44}
	v := &linkage.Vehicle{Masses: []linkage.Weight{{Body: linkage.Ground, M: 300, CG: vec{X: 0.2}}}}
	for _, p := range [][2]float64{{0.8, 0.7}, {0.8, -0.7}, {-0.9, 0.01}} {
		v.Corners = append(v.Corners, post(t, p[0], p[1], spring, 0))
	}
	s, err := v.Settle()
	require.NoError(t, err)
	s.Wheels[0], s.Wheels[2] = s.Wheels[2], s.Wheels[0]
	free, err := v.Seats(vec{Z: 1}, 0.01, s.Wheels, 0)
	require.NoError(t, err)
	for i, f := range []float64{free[2], free[1], free[0]} {
		v.Corners[i].Springs[0].Free = f
	}
	s, err = v.Settle()
	require.NoError(t, err)
	near(t, vec{Z: 1}, s.Normal, 1e-7)
	require.InDelta(t, 0.01, s.Distance, 1e-8)
}

// A spring never pulls, a stop does; on its bump stop a frame sinks no further.
func TestStops(t *testing.T) {
	s := linkage.Spring{Rate: 10e3, Free: 0.5, Least: 0.35, Most: 0.55, Stop: 1e6}
	require.InDelta(t, 1000, s.Force(0.4), 1e-9)
	require.Zero(t, s.Force(0.52))
	require.InDelta(t, -1e4, s.Force(0.56), 1e-6)
	require.InDelta(t, 1600+1e4, s.Force(0.34), 1e-6)

	soft := linkage.Spring{Rate: 1e3, Free: 0.5, Least: 0.38, Stop: 1e6}
	v := square(t, 0.8, 400, vec{}, 0, soft)
	stand, err := v.Settle()
	require.NoError(t, err)
	require.InDelta(t, 0.38-(400*g/4-120)/1.001e6, stand.States[0].StrutLength(0), 1e-6)
}

// Springs without a rate hold nothing up: the frame stands on its bump stops, as on rigid bars of that length, and
// without stops on nothing.
func TestSpringsWithoutRateStandOnTheirStops(t *testing.T) {
	const a, p = 0.8, 400.0
	cg := vec{X: 0.12, Y: -0.05}
	for _, rate := range []float64{0, 1e-6, 1} {
		s, err := square(t, a, p, cg, 10, linkage.Spring{Rate: rate, Free: 0.45, Least: 0.4, Stop: 1e9}).Settle()
		require.NoError(t, err, "%g N/m", rate)
		for i, sign := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
			require.InEpsilon(t, p*g/4*(1+sign[0]*cg.X/a+sign[1]*cg.Y/a)+10*g, s.Wheels[i].Load, 1e-3, "%g N/m", rate)
			require.InDelta(t, 0.4, s.States[i].StrutLength(0), 1e-5)
		}
	}
	_, err := square(t, a, p, cg, 10, linkage.Spring{Free: 0.45}).Settle()
	require.Error(t, err)
}

func TestWhatDoesNotStand(t *testing.T) {
	spring := linkage.Spring{Rate: 25e3, Free: 0.44}
	v := square(t, 0.8, 400, vec{X: 0.9}, 0, spring)
	_, err := v.Settle()
	require.Error(t, err, "it tips")

	v = square(t, 0.8, 400, vec{}, 0, spring)
	v.Corners = v.Corners[:2]
	_, err = v.Settle()
	require.EqualError(t, err, "it stands on 2 wheels, and takes three to stand")

	// A leg 10 mm short of the others stands on its own weight alone; with a droop
	// stop that holds it up, it lifts.
	stiff := linkage.Spring{Rate: 1e9, Free: 0.4}
	short := linkage.Spring{Rate: 1e9, Free: 0.39}
	stand, err := square(t, 0.8, 400, vec{X: 0.1, Y: 0.1}, 12, stiff, stiff, stiff, short).Settle()
	require.NoError(t, err)
	require.InDelta(t, 12*g, stand.Wheels[3].Load, 1e-3)
	require.InDelta(t, 448*g-stand.Wheels[0].Load-stand.Wheels[1].Load-stand.Wheels[2].Load, stand.Wheels[3].Load, 1e-3)
	short.Most, short.Stop = 0.392, 1e9
	_, err = square(t, 0.8, 400, vec{X: 0.1, Y: 0.1}, 12, stiff, stiff, stiff, short).Settle()
	var lifts *linkage.LiftsError
	require.ErrorAs(t, err, &lifts)
	require.Equal(t, 3, lifts.Corner)

	v = square(t, 0.8, 400, vec{}, 0, spring)
	s, err := v.Settle()
	require.NoError(t, err)
	_, err = v.Seats(s.Normal, s.Distance, s.Wheels, 1.2)
	require.ErrorAs(t, err, &lifts)
	_, err = v.Seats(s.Normal, s.Distance, s.Wheels[:2], 0.5)
	require.EqualError(t, err, "a wheel is left out")
	v.Corners[0].Springs = nil
	_, err = v.Seats(s.Normal, s.Distance, s.Wheels, 0.5)
	require.EqualError(t, err, "a wheel has no spring of its own")
}
