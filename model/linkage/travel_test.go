package linkage_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/linkage"
	"setdown/model/statics"
)

func drawn(t testing.TB, sys linkage.System, drives ...linkage.Drive) (*linkage.Linkage, *linkage.State) {
	t.Helper()
	l, err := linkage.New(sys)
	require.NoError(t, err)
	s, err := l.Drawn(drives...)
	require.NoError(t, err)
	return l, s
}

func lift(t testing.TB, l *linkage.Linkage, from *linkage.State, bump float64) *linkage.State {
	t.Helper()
	s, err := l.Move(from, 0, linkage.Height(0, bump))
	require.NoError(t, err)
	return s
}

// oneWheel lifts the wheel of a corner.
func oneWheel(bump float64) []linkage.Drive { return []linkage.Drive{linkage.Height(0, bump)} }

// heights is the grid of 41 heights over ± 40 mm.
func heights() []float64 {
	var list []float64
	for h := -40; h <= 40; h += 2 {
		list = append(list, float64(h)/1000)
	}
	return list
}

func near(t *testing.T, want, got vec, within float64) {
	t.Helper()
	require.LessOrEqual(t, r3.Norm(r3.Sub(want, got)), within, "%v is not %v", got, want)
}

// parallelArms is a corner of equal, parallel arms of 400 mm, the toe link a copy of
// the lower arm.
func parallelArms() linkage.System {
	return wishbones(mm(120, 200, 150), mm(-120, 200, 150), mm(0, 600, 150), mm(120, 200, 350), mm(-120, 200, 350), mm(0, 600, 350),
		mm(-100, 200, 150), mm(-100, 600, 150), mm(0, 250, 500), mm(0, 480, 150), mm(0, 660, 250))
}

// Exact: the upright of a parallelogram goes on a circle and does not turn.
func TestParallelArms(t *testing.T) {
	l, start := drawn(t, parallelArms(), linkage.Height(0, 0))
	for _, h := range heights() {
		s := lift(t, l, start, h)
		w := s.Wheel(0)
		require.InDelta(t, 0, w.Toe/deg, 1e-12)
		require.InDelta(t, 0, w.Camber/deg, 1e-12)
		require.InDelta(t, -(0.4 - math.Sqrt(0.4*0.4-h*h)), w.Out-start.Wheel(0).Out, 1e-14)
	}
	require.InDelta(t, -2.00502515735, (lift(t, l, start, 0.04).Wheel(0).Out-start.Wheel(0).Out)*1000, 1e-11)
	// The instant centre is at infinity: level, the upright goes straight up.
	rate := start.PerDrive(0).Wheel(0)
	require.InDelta(t, 0, rate.Out, 1e-14)
	require.InDelta(t, 0, rate.Camber, 1e-14)
}

// Exact: arms that turn about axes along x keep everything in planes across the
// vehicle, so a toe link that is a copy of the lower arm gives no toe while the
// camber changes.
func TestToeLinkThatIsTheArm(t *testing.T) {
	l, start := drawn(t, wishbones(mm(120, 200, 150), mm(-120, 200, 150), mm(0, 600, 140), mm(110, 280, 330), mm(-110, 280, 330), mm(0, 560, 360),
		mm(-100, 200, 150), mm(-100, 600, 140), mm(0, 250, 500), mm(0, 480, 150), mm(0, 660, 250)), linkage.Height(0, 0))
	for _, h := range heights() {
		w := lift(t, l, start, h).Wheel(0)
		require.InDelta(t, 0, w.Toe/deg, 1e-12)
		require.Equal(t, math.Abs(h) > 1e-3, math.Abs(w.Camber/deg) > 1e-3)
	}
}

// Exact: a trailing arm on an axis across turns its wheel in its own plane.
func TestTrailingArm(t *testing.T) {
	sys := linkage.System{
		Bodies: []string{"arm"},
		Joints: []linkage.Joint{{A: 0, B: linkage.Ground, At: mm(430, 180, 330)}, {A: 0, B: linkage.Ground, At: mm(430, 520, 330)}},
		Wheels: []linkage.Wheel{{Body: 0, Centre: mm(0, 680, 340), Tyre: mm(0, 700, 340), Axis: vec{Y: 1}, Radius: 0.3}},
	}
	l, start := drawn(t, sys, linkage.Height(0, 0))
	arm := math.Hypot(430, 10)
	for _, h := range heights() {
		s := lift(t, l, start, h)
		w := s.Wheel(0)
		require.InDelta(t, 0, w.Toe, 1e-14)
		require.InDelta(t, 0, w.Camber, 1e-14)
		require.InDelta(t, 700, w.Out*1000, 1e-10)
		require.InDelta(t, -430+math.Sqrt(arm*arm-math.Pow(10+1000*h, 2)), w.Back*1000, 1e-9)
	}
}

// A camber of 5° with the tyre 0.3 m high moves where it meets the ground by
// 0.3·sin 5°; the wheel spins on a hub without changing any of it.
func TestTyreOnTheGround(t *testing.T) {
	sys := linkage.System{
		Bodies: []string{"swing axle", "hub"},
		Joints: []linkage.Joint{
			{Kind: linkage.Hinge, A: 0, B: linkage.Ground, At: mm(0, 100, 300), Axis: vec{X: 1}},
			{Kind: linkage.Hinge, A: 1, B: 0, At: mm(0, 600, 300), Axis: vec{Y: 1}},
		},
		Wheels: []linkage.Wheel{{Body: 1, Centre: mm(0, 600, 300), Tyre: mm(0, 600, 300), Axis: vec{Y: 1}, Radius: 0.3}},
	}
	l, start := drawn(t, sys, linkage.Height(0, 0))
	a := 5 * deg
	s := lift(t, l, start, 0.5*math.Sin(a))
	w := s.Wheel(0)
	require.InDelta(t, -5, w.Camber/deg, 1e-9)
	require.InDelta(t, 0.1+0.5*math.Cos(a)+0.3*math.Sin(a), w.Out, 1e-12)
	require.InDelta(t, 0.3+0.5*math.Sin(a)-0.3*math.Cos(a), s.Ground(0, vec{Z: 1}).Z, 1e-12)
}

func TestBarsKeepTheirLength(t *testing.T) {
	for _, sys := range []linkage.System{rearLeft(), frontLeft()} {
		l, start := drawn(t, sys, linkage.Height(0, 0))
		for _, h := range heights() {
			s := lift(t, l, start, h)
			for _, b := range sys.Bars {
				got := r3.Norm(r3.Sub(s.Point(b.A, b.PA), s.Point(b.B, b.PB)))
				want := r3.Norm(r3.Sub(b.PA, b.PB))
				require.InEpsilon(t, want, got, 1e-12)
			}
			for _, j := range sys.Joints {
				near(t, s.Point(j.A, j.At), s.Point(j.B, j.At), 1e-12)
			}
		}
	}
}

// A bar is no further out of square to a bolt that was drawn square to it than it has tilted, and
// to one of them by just that much.
func TestTiltedIsTheWorstSquareBolt(t *testing.T) {
	for _, sys := range []linkage.System{rearLeft(), frontLeft()} {
		l, start := drawn(t, sys, linkage.Height(0, 0))
		for _, h := range []float64{-0.04, 0.025, 0.04} {
			s := lift(t, l, start, h)
			for _, b := range append(sys.Bars, sys.Struts...) {
				for _, on := range []int{b.A, b.B} {
					most, worst := s.Tilted(b, on), 0.0
					along := r3.Unit(r3.Sub(b.PA, b.PB))
					one := r3.Unit(r3.Cross(along, vec{X: 0.3, Y: 0.2, Z: 0.9}))
					other := r3.Cross(along, one)
					for degree := range 180 {
						a := float64(degree) * math.Pi / 180
						bolt := r3.Add(r3.Scale(math.Cos(a), one), r3.Scale(math.Sin(a), other))
						worst = max(worst, s.OutOfSquare(b, on, bolt))
					}
					require.LessOrEqual(t, worst, most+1e-9)
					require.InDelta(t, most, worst, 1e-4)
					require.Positive(t, most)
				}
			}
		}
		require.InDelta(t, 0, start.Tilted(sys.Bars[0], sys.Bars[0].B), 1e-9)
	}
}

// The velocities are the derivatives of the poses: by drive, by length of a bar, by
// length of the strut.
func TestVelocities(t *testing.T) {
	const d = 1e-5
	for _, sys := range []linkage.System{rearLeft(), frontLeft()} {
		sys.Wheels[0].Radius, sys.Wheels[0].Tyre.Y = 0.28, sys.Wheels[0].Tyre.Y+0.02
		l, start := drawn(t, sys, linkage.Height(0, 0))
		for _, h := range []float64{-0.04, -0.013, 0, 0.025, 0.04} {
			s := lift(t, l, start, h)
			up, down := lift(t, l, s, h+d), lift(t, l, s, h-d)
			step := s.PerDrive(0)
			sameRates(t, step.Wheel(0), up.Wheel(0), down.Wheel(0), d)
			require.InDelta(t, (up.StrutLength(0)-down.StrutLength(0))/(2*d), step.StrutLength(0), 1e-7)
			p := sys.Bars[0].PB
			near(t, r3.Scale(1/(2*d), r3.Sub(up.Point(2, p), down.Point(2, p))), step.Point(2, p), 1e-7)

			long := func(by float64) linkage.Attitude {
				other := sys
				other.Bars = []linkage.Bar{sys.Bars[0]}
				other.Bars[0].Length = r3.Norm(r3.Sub(sys.Bars[0].PA, sys.Bars[0].PB)) + by
				l, start := drawn(t, other, linkage.Height(0, 0))
				return lift(t, l, start, h).Wheel(0)
			}
			sameRates(t, s.PerLength(0).Wheel(0), long(d), long(-d), d)
		}
	}
}

func sameRates(t *testing.T, rate, after, before linkage.Attitude, d float64) {
	t.Helper()
	const same = 1e-6
	require.InDelta(t, (after.Toe-before.Toe)/(2*d), rate.Toe, same)
	require.InDelta(t, (after.Camber-before.Camber)/(2*d), rate.Camber, same)
	require.InDelta(t, (after.Out-before.Out)/(2*d), rate.Out, same)
	require.InDelta(t, (after.Back-before.Back)/(2*d), rate.Back, same)
	require.InDelta(t, (after.Up-before.Up)/(2*d), rate.Up, same)
}

// What measuring leaves open: every point moved by its ± the worse way, the links as
// long as they are drawn then.
func TestBand(t *testing.T) {
	const d = 1e-5
	base := rearLeft()
	attitude := func(sys linkage.System) linkage.Attitude {
		l, start := drawn(t, sys, linkage.Height(0, 0))
		w, w0 := lift(t, l, start, 0.035).Wheel(0), start.Wheel(0)
		w.Out -= w0.Out
		return w
	}
	var toe, camber, out float64
	try := func(move func(sys *linkage.System, by vec)) {
		for _, e := range []vec{{X: d}, {Y: d}, {Z: d}} {
			var a [2]linkage.Attitude
			for i, sign := range []float64{1, -1} {
				sys := rearLeft()
				move(&sys, r3.Scale(sign, e))
				a[i] = attitude(sys)
			}
			toe += math.Abs(a[0].Toe-a[1].Toe) / (2 * d) * 0.003
			camber += math.Abs(a[0].Camber-a[1].Camber) / (2 * d) * 0.003
			out += math.Abs(a[0].Out-a[1].Out) / (2 * d) * 0.003
		}
	}
	for i := range base.Joints {
		try(func(sys *linkage.System, by vec) { sys.Joints[i].At = r3.Add(sys.Joints[i].At, by) })
	}
	try(func(sys *linkage.System, by vec) { sys.Bars[0].PA = r3.Add(sys.Bars[0].PA, by) })
	try(func(sys *linkage.System, by vec) { sys.Bars[0].PB = r3.Add(sys.Bars[0].PB, by) })

	measured := rearLeft()
	for i := range measured.Joints {
		measured.Joints[i].Tol = mm(3, 3, 3)
	}
	measured.Bars[0].Tol = [2]vec{mm(3, 3, 3), mm(3, 3, 3)}
	l, start := drawn(t, measured, linkage.Height(0, 0))
	band := lift(t, l, start, 0.035).Band(0, false)
	require.InEpsilon(t, toe, band.Toe, 1e-5)
	require.InEpsilon(t, camber, band.Camber, 1e-5)
	require.InEpsilon(t, out, band.Out, 1e-5)
	require.Equal(t, "toe/inner", band.Worst)
	require.Zero(t, start.Band(0, false).Toe, "as drawn nothing is open")
}

// mirror is a system on the other side.
func mirror(sys linkage.System) linkage.System {
	flip := func(v vec) vec { return vec{X: v.X, Y: -v.Y, Z: v.Z} }
	m := linkage.System{Bodies: sys.Bodies}
	for _, j := range sys.Joints {
		j.At = flip(j.At)
		m.Joints = append(m.Joints, j)
	}
	for _, b := range sys.Bars {
		b.PA, b.PB = flip(b.PA), flip(b.PB)
		m.Bars = append(m.Bars, b)
	}
	for _, b := range sys.Struts {
		b.PA, b.PB = flip(b.PA), flip(b.PB)
		m.Struts = append(m.Struts, b)
	}
	for _, w := range sys.Wheels {
		w.Centre, w.Tyre, w.Axis = flip(w.Centre), flip(w.Tyre), flip(w.Axis)
		m.Wheels = append(m.Wheels, w)
	}
	return m
}

func TestMirroredCorners(t *testing.T) {
	left, l0 := drawn(t, frontLeft(), linkage.Height(0, 0))
	right, r0 := drawn(t, mirror(frontLeft()), linkage.Height(0, 0))
	for _, h := range heights() {
		a, b := lift(t, left, l0, h), lift(t, right, r0, h)
		wa, wb := a.Wheel(0), b.Wheel(0)
		require.InDelta(t, wa.Toe, wb.Toe, 1e-12)
		require.InDelta(t, wa.Camber, wb.Camber, 1e-12)
		require.InDelta(t, wa.Out, wb.Out, 1e-12)
		require.InDelta(t, wa.Back, wb.Back, 1e-12)
		sa, err := a.SteerAxis(0, []int{0})
		require.NoError(t, err)
		sb, err := b.SteerAxis(0, []int{0})
		require.NoError(t, err)
		require.InDelta(t, sa.Caster(), sb.Caster(), 1e-9)
		require.InDelta(t, sa.Inclination(1), sb.Inclination(-1), 1e-9)
	}
}

// The steering axis of an upright on two arms goes through both balls.
func TestSteerAxisThroughTheBalls(t *testing.T) {
	sys := frontLeft()
	l, start := drawn(t, sys, linkage.Height(0, 0))
	for _, h := range []float64{-0.04, 0, 0.04} {
		s := lift(t, l, start, h)
		axis, err := s.SteerAxis(0, []int{0})
		require.NoError(t, err)
		low, high := s.Point(2, sys.Joints[2].At), s.Point(2, sys.Joints[5].At)
		near(t, r3.Unit(r3.Sub(high, low)), axis.Dir, 1e-9)
		near(t, vec{}, r3.Cross(r3.Sub(low, axis.At), axis.Dir), 1e-9)
		require.InDelta(t, math.Atan2(low.X-high.X, high.Z-low.Z), axis.Caster(), 1e-9)
		require.InDelta(t, math.Atan2(low.Y-high.Y, high.Z-low.Z), axis.Inclination(1), 1e-9)
	}
	_, err := start.SteerAxis(0, nil)
	require.ErrorContains(t, err, "does not steer")
}

// Every point of the line of places gives no toe change at the three heights.
func TestLineOfPlaces(t *testing.T) {
	_, start := drawn(t, frontLeft(), linkage.Height(0, 0))
	p, err := start.ToePlace(0, 0, -0.03, 0.03, []float64{0}, oneWheel)
	require.NoError(t, err)
	for _, along := range []float64{-0.2, -0.05, 0, 0.1} {
		sys := frontLeft()
		sys.Bars[0].PA = r3.Add(p.At, r3.Scale(along, p.Line))
		l, start := drawn(t, sys, linkage.Height(0, 0))
		for _, h := range []float64{-0.03, 0, 0.03} {
			require.InDelta(t, 0, lift(t, l, start, h).Wheel(0).Toe/deg, 1e-8)
		}
	}
	// It is the nearest of them, and off it the toe changes by what is said.
	require.InDelta(t, 0, r3.Dot(r3.Sub(p.At, frontLeft().Bars[0].PA), p.Line), 1e-9)
	p, err = start.ToePlace(0, 0, -0.03, 0.03, heights(), oneWheel)
	require.NoError(t, err)
	const off = 1e-4
	for i, e := range []vec{{X: off}, {Y: off}, {Z: off}} {
		sys := frontLeft()
		sys.Bars[0].PA = r3.Add(p.At, e)
		l, start := drawn(t, sys, linkage.Height(0, 0))
		most := 0.0
		for k, h := range heights() {
			most = max(most, math.Abs(lift(t, l, start, h).Wheel(0).Toe-p.Toe[k]))
		}
		want := []float64{p.PerMetre.X, p.PerMetre.Y, p.PerMetre.Z}[i] * off
		require.InDelta(t, want, most, 2e-3*want+1e-9)
		require.LessOrEqual(t, most, off/p.Within*1.01)
	}
}

func TestNoPlaceForAToeBracket(t *testing.T) {
	sys := linkage.System{ // a pillar that slides straight up, steered by a link
		Bodies: []string{"stub axle"},
		Joints: []linkage.Joint{{Kind: linkage.Slider, A: 0, B: linkage.Ground, At: mm(0, 500, 300), Axis: vec{Z: 1}}},
		Bars:   []linkage.Bar{{Name: "toe", Ends: [2]string{"in", "out"}, A: linkage.Ground, B: 0, PA: mm(-100, 200, 300), PB: mm(-100, 480, 300)}},
		Wheels: []linkage.Wheel{{Body: 0, Centre: mm(0, 600, 300), Tyre: mm(0, 600, 300), Axis: vec{Y: 1}}},
	}
	_, start := drawn(t, sys, linkage.Height(0, 0))
	_, err := start.ToePlace(0, 0, -0.03, 0.03, []float64{0}, oneWheel)
	require.EqualError(t, err, "the outer end goes up in a straight line: no place on the frame gives no toe change")
}

// The velocity of a corner is what virtual work says of its forces: how much the
// wheel goes up for each millimetre of a link is the link's force over what the
// ground carries beyond the corner's own weight, both of which the statics have.
func TestVelocitiesAgreeWithStatics(t *testing.T) {
	sys := rearLeft()
	_, start := drawn(t, sys, linkage.Length(0, 0))
	perLength := start.PerDrive(0).Wheel(0).Up

	frame, arm, upper, upright := 0, 1, 2, 3
	of := map[int]int{linkage.Ground: frame, 0: arm, 1: upper, 2: upright}
	vehicle := statics.System{Bodies: []statics.Body{
		{Name: "frame", Masses: []statics.Mass{{M: 200, CG: mm(200, 200, 400)}}},
		{Name: "arm"}, {Name: "upper"}, {Name: "upright"},
	}}
	for _, j := range sys.Joints {
		vehicle.Joints = append(vehicle.Joints, statics.Joint{Name: j.Name, A: of[j.A], B: of[j.B], At: j.At})
	}
	for _, b := range append(sys.Bars, sys.Struts...) {
		vehicle.Links = append(vehicle.Links, statics.Link{Name: b.Name, A: of[b.A], B: of[b.B], PA: b.PA, PB: b.PB})
	}
	m, err := statics.New(vehicle)
	require.NoError(t, err)
	step, err := m.Step([]statics.Support{
		{Name: "hub", Body: upright, At: sys.Wheels[0].Centre},
		{Name: "front", Body: frame, At: mm(600, 300, 100)}, {Name: "right", Body: frame, At: mm(0, -300, 100)},
	}, statics.Attitude{})
	require.NoError(t, err)
	require.Nil(t, step.Failure)
	hub, strut := step.Reaction(0).Nominal, step.Link(1).Nominal
	require.InEpsilon(t, math.Abs(strut/hub), math.Abs(perLength), 1e-9)
}

func TestWhatCannotMove(t *testing.T) {
	open := rearLeft()
	open.Bars = nil
	l, err := linkage.New(open)
	require.NoError(t, err)
	_, err = l.Drawn(linkage.Height(0, 0))
	var free *linkage.FreeError
	require.ErrorAs(t, err, &free)
	require.Equal(t, "upright", free.Body)
	require.EqualError(t, err, "upright moves freely and takes wheel with it")

	held := rearLeft()
	held.Bars = append(held.Bars, held.Struts[0])
	l, err = linkage.New(held)
	require.NoError(t, err)
	_, err = l.Drawn(linkage.Height(0, 0))
	var locked *linkage.LockedError
	require.ErrorAs(t, err, &locked)

	bad := rearLeft()
	bad.Bars[0].PB = bad.Bars[0].PA
	_, err = linkage.New(bad)
	require.EqualError(t, err, "toe has no length")
	bad = rearLeft()
	bad.Joints[0].A = 7
	_, err = linkage.New(bad)
	require.EqualError(t, err, "there is no body 7")
	bad = rearLeft()
	bad.Joints[0].At.X = math.NaN()
	_, err = linkage.New(bad)
	require.ErrorContains(t, err, "a point is not finite")
	bad = rearLeft()
	bad.Bodies = append(bad.Bodies, "loose")
	_, err = linkage.New(bad)
	require.EqualError(t, err, "loose is joined to nothing")
	_, err = linkage.New(linkage.System{})
	require.EqualError(t, err, "there is nothing to move")
}

// A crank of 100 mm reaches 100 mm above its pivot and no further.
func TestBindsAtItsReach(t *testing.T) {
	sys := linkage.System{
		Bodies: []string{"crank"},
		Joints: []linkage.Joint{{Kind: linkage.Hinge, A: 0, B: linkage.Ground, At: mm(0, 0, 0), Axis: vec{X: 1}}},
		Wheels: []linkage.Wheel{{Body: 0, Centre: mm(0, 100, 0), Tyre: mm(0, 100, 0), Axis: vec{Y: 1}}},
	}
	l, start := drawn(t, sys, linkage.Height(0, 0))
	for _, to := range []float64{0.101, 0.15, -0.12} {
		_, err := l.Move(start, 0, linkage.Height(0, to))
		var binds *linkage.BindsError
		require.ErrorAs(t, err, &binds)
		require.Equal(t, linkage.Reach, binds.Why)
		require.InDelta(t, 100, math.Abs(binds.Share*to*1000), 0.5)
	}
	require.InDelta(t, 0.0999, lift(t, l, start, 0.0999).Wheel(0).Up, 1e-12)
}

// A parallelogram that has folded flat may go on as one or crossed.
func TestTwoWaysOn(t *testing.T) {
	sys := linkage.System{
		Bodies: []string{"crank", "coupler", "follower"},
		Joints: []linkage.Joint{
			{Kind: linkage.Hinge, A: 0, B: linkage.Ground, At: mm(0, 0, 0), Axis: vec{X: 1}},
			{Kind: linkage.Hinge, A: 1, B: 0, At: mm(0, 60, 80), Axis: vec{X: 1}},
			{Kind: linkage.Hinge, A: 2, B: 1, At: mm(0, 260, 80), Axis: vec{X: 1}},
			{A: 2, B: linkage.Ground, At: mm(0, 200, 0)},
		},
		Wheels: []linkage.Wheel{{Body: 0, Centre: mm(0, 60, 80), Tyre: mm(0, 60, 80), Axis: vec{Y: 1}}},
	}
	l, start := drawn(t, sys, linkage.Height(0, 0))
	here := start
	var err error
	for h := 0.0; h > -0.12 && err == nil; h -= 0.002 {
		var next *linkage.State
		if next, err = l.Move(here, 0, linkage.Height(0, h)); err == nil {
			here = next
		}
	}
	var binds *linkage.BindsError
	require.ErrorAs(t, err, &binds)
	require.Equal(t, linkage.TwoWays, binds.Why)
	require.InDelta(t, 0, binds.Last.Wheel(0).Up*1000, 0.5, "flat is where it lies along the frame")
}

// Members that contradict each other: that is said.
func TestMembersWorkAgainstEachOther(t *testing.T) {
	sys := rearLeft()
	sys.Bars = append(sys.Bars, linkage.Bar{Name: "second", A: linkage.Ground, B: 2, PA: mm(165, 240, 190), PB: mm(160, 588, 190)})
	// As drawn it has no freedom left but for the moment when both links agree.
	l, err := linkage.New(sys)
	require.NoError(t, err)
	_, err = l.Drawn(linkage.Height(0, 0))
	var locked *linkage.LockedError
	require.ErrorAs(t, err, &locked)

	// Four level links and a Panhard rod: level the axle may roll, a little on they
	// work against each other.
	axle := linkage.System{Bodies: []string{"axle"}}
	for _, y := range []float64{-400, 400} {
		axle.Bars = append(axle.Bars,
			linkage.Bar{Name: "lower", A: linkage.Ground, B: 0, PA: mm(500, y, 200), PB: mm(0, y, 200)},
			linkage.Bar{Name: "upper", A: linkage.Ground, B: 0, PA: mm(350, y, 420), PB: mm(0, y, 420)})
		axle.Wheels = append(axle.Wheels, linkage.Wheel{Name: fmt.Sprint(y), Body: 0, Centre: mm(0, 1.7*y, 300), Tyre: mm(0, 1.7*y, 300), Axis: vec{Y: y}})
	}
	axle.Bars = append(axle.Bars, linkage.Bar{Name: "panhard", A: linkage.Ground, B: 0, PA: mm(-80, 450, 300), PB: mm(-80, -450, 300)})
	l, start := drawn(t, axle, linkage.Height(0, 0), linkage.Height(1, 0))
	level, err := l.Move(start, 0, linkage.Height(0, 0.05), linkage.Height(1, 0.05))
	require.NoError(t, err)
	require.InDelta(t, 0, level.Wheel(0).Camber, 1e-12)
	_, err = l.Move(start, 0, linkage.Height(0, 0.05), linkage.Height(1, -0.05))
	var binds *linkage.BindsError
	require.True(t, errors.As(err, &binds), "%v", err)
	require.Equal(t, linkage.Against, binds.Why)
	require.EqualError(t, err, "its members work against each other")
}

// Any drawn corner that is not out of the way moves, or says why not; nothing panics
// and no pose breaks its equations.
func TestRandomCorners(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	moved := 0
	for range 200 {
		sys := rearLeft()
		jitter := func(v *vec) {
			*v = r3.Add(*v, mm(60*rng.NormFloat64(), 60*rng.NormFloat64(), 60*rng.NormFloat64()))
		}
		for i := range sys.Joints {
			jitter(&sys.Joints[i].At)
		}
		jitter(&sys.Bars[0].PA)
		jitter(&sys.Bars[0].PB)
		l, err := linkage.New(sys)
		require.NoError(t, err)
		start, err := l.Drawn(linkage.Height(0, 0))
		if err != nil {
			continue
		}
		s, err := l.Move(start, 0, linkage.Height(0, 0.06))
		if err != nil {
			require.IsType(t, &linkage.BindsError{}, err)
			continue
		}
		moved++
		require.InDelta(t, 0.06, s.Wheel(0).Up-start.Wheel(0).Up, 1e-12)
		for _, j := range sys.Joints {
			near(t, s.Point(j.A, j.At), s.Point(j.B, j.At), 1e-11)
		}
		back, err := l.Move(s, 0, linkage.Height(0, 0))
		require.NoError(t, err)
		require.InDelta(t, 0, back.Wheel(0).Toe, 1e-10, "the way back leads to where it was")
	}
	require.Greater(t, moved, 150)
}

func BenchmarkPose(b *testing.B) {
	for range b.N {
		l, s := drawn(b, rearLeft(), linkage.Height(0, 0))
		lift(b, l, s, 0.04)
	}
}

func BenchmarkTravel(b *testing.B) {
	for range b.N {
		l, s := drawn(b, rearLeft(), linkage.Height(0, 0))
		for _, sign := range []float64{-1, 1} {
			at := s
			for i := 1; i <= 20; i++ {
				at = lift(b, l, at, sign*float64(i)*0.002)
			}
		}
	}
}
