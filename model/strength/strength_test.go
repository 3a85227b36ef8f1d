package strength

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r3"
)

// TestSafeDirections changes each measure in the direction that makes a part
// weaker and demands that its strength never grows.
func TestSafeDirections(t *testing.T) {
	steel, err := MaterialOf("S355", 0.003)
	require.NoError(t, err)
	class, err := ClassOf("8.8", 0.010, 0.05)
	require.NoError(t, err)
	wire, err := FillerOf("ER70S-6")
	require.NoError(t, err)
	value := func(r Result, err error) float64 {
		var domain *DomainError
		if errors.As(err, &domain) {
			return 0 // outside its domain a part bears nothing that counts
		}
		require.NoError(t, err)
		return r.Value
	}
	tube := func(od, wall, length float64) float64 {
		s, err := Tube(od, wall)
		if err != nil {
			return 0
		}
		return value(Column(s, length, 0, steel))
	}
	across := func(force, length float64) float64 { // 1 kN at 100 mm on two lines: what is left
		g := FilletGroup{Layout: "two lines", Leg: 0.004, Length: length, Width: 0.05}
		peak, _, err := g.Peak(r3.Vec{X: force}, r3.Vec{Y: 100, Z: 50})
		require.NoError(t, err)
		return 1 / peak
	}
	combined := func(across, along float64) float64 {
		r, err := BoltCombined(across, along, Result{Value: 20000}, Result{Value: 30000})
		return math.Hypot(across, along) / value(r, err)
	}
	for name, f := range map[string]func(x float64) float64{ // x grows from 0.2 to 1: stronger
		"thicker tube":     func(x float64) float64 { return tube(0.025, 0.005*x, 0.4) },
		"wider tube":       func(x float64) float64 { return tube(0.040*x, 0.002, 0.4) },
		"shorter bar":      func(x float64) float64 { return tube(0.025, 0.0025, 0.4/x) },
		"more edge":        func(x float64) float64 { return value(TearOut(0.0105, 0.030*x, 0.004, steel.Yield)) },
		"thicker tab":      func(x float64) float64 { return value(Bearing(0.010, 0.006*x, steel.Yield)) },
		"smaller gap":      func(x float64) float64 { return value(BoltBending(0.010, 0.0015, 0.02/x, class.Yield)) },
		"more engaged":     func(x float64) float64 { return value(ThreadStrip(0.010, 0.0015, 0.02*x, 235e6)) },
		"longer leg":       func(x float64) float64 { return value(FilletLine(0.008*x, wire, 0.004, steel)) },
		"thicker plate":    func(x float64) float64 { return value(FilletLine(0.004, wire, 0.006*x, steel)) },
		"wider tab":        func(x float64) float64 { return value(NetSection(0.040*x, 0.010, 0.004, steel.Yield)) },
		"smaller hole":     func(x float64) float64 { return value(NetSection(0.040, 0.010/x, 0.004, steel.Yield)) },
		"longer weld":      func(x float64) float64 { return across(1000, 0.2*x) },
		"less on the weld": func(x float64) float64 { return across(1000/x, 0.2) },
		"less shear":       func(x float64) float64 { return 1 / combined(1000/x, 5000) },
		"less pull":        func(x float64) float64 { return 1 / combined(5000, 1000/x) },
		"less on the axis": func(x float64) float64 { return value(RodEnd(1000, 500*(1.2-x), 20000, 2000)) },
	} {
		last := -1.0
		for x := 0.2; x <= 1.0001; x += 0.05 {
			got := f(x)
			require.GreaterOrEqual(t, got, last*(1-1e-12), "%s at %.2f", name, x)
			last = got
		}
		require.Positive(t, last, name)
	}
}

// TestClassesInOrder keeps a lower class from being stronger.
func TestClassesInOrder(t *testing.T) {
	for _, order := range [][]string{{"4.6", "5.8", "6.8", "8.8", "10.9", "12.9"}, {"grade 2", "grade 5", "grade 8"}} {
		last := 0.0
		for _, name := range order {
			c, err := ClassOf(name, 0.012, 0.05)
			require.NoError(t, err)
			require.Greater(t, c.Yield, last, name)
			require.Less(t, c.Proof, c.Tensile, name)
			last = c.Yield
		}
	}
}

// TestCombinedIsNeverMoreThanEither keeps a bolt that is pulled and sheared from
// bearing more than one that is only pulled or only sheared, and from bearing 5 %
// more than the ellipse of the distortion-energy theory.
func TestCombinedIsNeverMoreThanEither(t *testing.T) {
	for i := 0; i <= 20; i++ {
		angle := float64(i) / 20 * math.Pi / 2
		across, along := 1000*math.Cos(angle), 1000*math.Sin(angle)
		r, err := BoltCombined(across, along, Result{Value: 20000}, Result{Value: 30000})
		require.NoError(t, err)
		v, p := r.Value*math.Cos(angle)/20000, r.Value*math.Sin(angle)/30000
		require.LessOrEqual(t, v, 1+1e-12)
		require.LessOrEqual(t, p, 1+1e-12)
		require.LessOrEqual(t, math.Hypot(v, p), 1.05, "at %d", i)
	}
}

// TestBoltCombinedAnyWay turns a force to the bolt in every angle: none is worse.
func TestBoltCombinedAnyWay(t *testing.T) {
	for _, ratio := range []float64{0.3, 1, 3, 10} {
		shear, tension := Result{Value: ratio * 20000}, Result{Value: 20000}
		least, err := BoltCombinedAnyWay(shear, tension)
		require.NoError(t, err)
		nearest := math.Inf(1)
		for angle := 0.0; angle <= math.Pi/2; angle += 0.001 {
			r, err := BoltCombined(1000*math.Cos(angle), 1000*math.Sin(angle), shear, tension)
			require.NoError(t, err)
			require.GreaterOrEqual(t, r.Value, least.Value*(1-1e-12))
			nearest = min(nearest, r.Value)
		}
		require.InEpsilon(t, least.Value, nearest, 1e-5)
	}
}

// TestPeakAnyWay turns weld groups every way under a force and a moment. The bound
// is never passed, and a moment alone reaches it.
func TestPeakAnyWay(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 1))
	direction := func() r3.Vec {
		return r3.Unit(r3.Vec{X: r.NormFloat64(), Y: r.NormFloat64(), Z: r.NormFloat64()})
	}
	for _, g := range []FilletGroup{
		{Layout: "two lines", Leg: 0.004, Length: 0.08, Width: 0.03},
		{Layout: "two lines", Leg: 0.004, Length: 0.1, Width: 0.005},
		{Layout: "rectangle", Leg: 0.004, Length: 0.2, Width: 0.03},
		{Layout: "circle", Leg: 0.004, Length: 0.1},
	} {
		nearest := 0.0
		for range 20000 {
			force, moment := r.Float64()*5000, r.Float64()*100
			most, _, err := g.PeakAnyWay(force, moment)
			require.NoError(t, err)
			peak, _, err := g.Peak(r3.Scale(force, direction()), r3.Scale(moment, direction()))
			require.NoError(t, err)
			require.LessOrEqual(t, peak, most*(1+1e-12), g.Layout)

			most, _, err = g.PeakAnyWay(0, moment)
			require.NoError(t, err)
			peak, _, err = g.Peak(r3.Vec{}, r3.Scale(moment, direction()))
			require.NoError(t, err)
			nearest = max(nearest, peak/most)
		}
		require.Greater(t, nearest, 0.98, g.Layout)
	}
	line := FilletGroup{Layout: "one line", Leg: 0.004, Length: 0.1}
	peak, _, err := line.PeakAnyWay(1000, 0)
	require.NoError(t, err)
	require.InDelta(t, 10e3, peak, 1e-9, "1 kN over 100 mm")
	_, _, err = line.PeakAnyWay(1000, 1)
	require.ErrorContains(t, err, "opens it at the root")
}

// TestWeldedEnds keeps the heat of a weld in what a bar of drawn or aged metal bears.
func TestWeldedEnds(t *testing.T) {
	s, err := Tube(0.025, 0.0025)
	require.NoError(t, err)
	for _, name := range []string{"1020 DOM", "6061-T6", "6082-T6"} {
		m, err := MaterialOf(name, 0.003)
		require.NoError(t, err)
		require.Less(t, m.Welded, m.Yield)
		pull, err := BarTension(s, m)
		require.NoError(t, err)
		require.InDelta(t, s.Area*m.Welded, pull.Value, 1e-6)
		short, err := Column(s, 0.1, 0, m)
		require.NoError(t, err)
		require.InDelta(t, s.Area*m.Welded, short.Value, 1e-6)
		require.Contains(t, short.Method, "welded")
	}
	m, err := MaterialOf("E355", 0.003)
	require.NoError(t, err)
	pull, err := BarTension(s, m)
	require.NoError(t, err)
	require.Empty(t, pull.Assumptions)
}

// TestMetalsInOrder: beside a weld a metal bears no more than it does whole, and it breaks after it yields.
// What is cut from a casting has three quarters of the 165 and 234 MPa of bars cast for the test (ASTM
// B26, copies), and beside a weld 0.35 of the first.
func TestMetalsInOrder(t *testing.T) {
	for _, m := range materials {
		require.LessOrEqual(t, m.Welded, m.Yield, m.Name)
		require.Less(t, m.Yield, m.Tensile, m.Name)
		require.Less(t, m.Tensile, 1000e6, m.Name)
		require.GreaterOrEqual(t, m.Welded, 50e6, m.Name)
	}
	cast, err := MaterialOf("A356-T6", 0.005)
	require.NoError(t, err)
	require.Equal(t, []float64{123.75e6, 57.75e6, 175.5e6}, []float64{cast.Yield, cast.Welded, cast.Tensile})
	for _, f := range fillers {
		require.Less(t, f.Shear, f.Ultimate, f.Name)
		require.Greater(t, f.Shear, f.Ultimate/3, f.Name)
		var digits int
		for _, form := range []string{"E%2d", "ER%2d"} { // the first two of a name are its tensile strength, ksi
			if _, err := fmt.Sscanf(f.Name, form, &digits); err == nil && digits >= 60 {
				require.InDelta(t, float64(digits)*ksi, f.Ultimate, 1, f.Name)
			}
		}
		require.True(t, f.Light || f.Ultimate >= 60*ksi && f.Ultimate <= 80*ksi, f.Name)
	}
}

// TestOneLineTwists: by hand a moment about the middle of one line of weld pulls at its ends with 6·M/d²,
// and so does one that bends it along.
func TestOneLineTwists(t *testing.T) {
	g := FilletGroup{Layout: "one line", Leg: 0.004, Length: 0.05}
	for _, moment := range []r3.Vec{{Z: 5}, {Z: -5}, {Y: 5}} {
		peak, _, err := g.Peak(r3.Vec{}, moment)
		require.NoError(t, err)
		require.InDelta(t, 6*5/0.0025, peak, 1e-6)
	}
}

// TestThinWall keeps a column of very thin tube from passing without a word.
func TestThinWall(t *testing.T) {
	m, err := MaterialOf("E355", 0.003)
	require.NoError(t, err)
	for wall, words := range map[float64]int{0.0025: 1, 0.0004: 1, 0.0003: 2} { // 25 mm: the limit is 1/65
		s, err := Tube(0.025, wall)
		require.NoError(t, err)
		r, err := Column(s, 0.4, 0, m)
		require.NoError(t, err)
		require.Len(t, r.Assumptions, words, "wall %g m", wall)
	}
}

// TestStainlessWeldYieldsEarlier keeps stainless weld metal from being taken for
// carbon steel of the same tensile strength.
func TestStainlessWeldYieldsEarlier(t *testing.T) {
	m, err := MaterialOf("304", 0.003)
	require.NoError(t, err)
	stainless, err := FillerOf("ER316L")
	require.NoError(t, err)
	carbon, err := FillerOf("E70")
	require.NoError(t, err)
	a, err := FilletLine(0.004, stainless, 1, m)
	require.NoError(t, err)
	b, err := FilletLine(0.004, carbon, 1, m)
	require.NoError(t, err)
	require.Less(t, a.Value, b.Value)
	require.Contains(t, a.Method, "stainless")
}

// TestOutside lists what a method refuses: outside its domain there is no number.
func TestOutside(t *testing.T) {
	steel, err := MaterialOf("E235", 0.003)
	require.NoError(t, err)
	class, err := ClassOf("8.8", 0.010, 0.05)
	require.NoError(t, err)
	thin, err := Tube(0.010, 0.001)
	require.NoError(t, err)
	refuse := func(err error, part string) {
		t.Helper()
		var domain *DomainError
		require.ErrorAs(t, err, &domain)
		require.ErrorContains(t, err, part)
	}
	_, err = Column(thin, 2, 0, steel)
	refuse(err, "slenderness")
	_, err = Tube(0.010, 0.005)
	refuse(err, "wall")
	_, err = TearOut(0.010, 0.009, 0.003, steel.Yield)
	refuse(err, "edge")
	_, err = BoltShear(0.010, 0.0015, class, 3, false)
	refuse(err, "planes")
	_, err = BoltBending(0.010, 0.0015, 0.5, class.Yield)
	refuse(err, "gap")
	_, err = ThreadStrip(0.010, 0.0015, 0.002, class.Yield)
	refuse(err, "two threads")
	_, err = ClassOf("grade 5", 0.080, 0.05)
	refuse(err, "does not reach")
	_, err = RootDiameter(0.004, 0.003)
	refuse(err, "too coarse")
	_, err = NetSection(0.020, 0.016, 0.003, steel.Yield)
	refuse(err, "next to nothing")
	_, err = BoltCombined(0, 0, Result{Value: 1000}, Result{Value: 1000})
	refuse(err, "no load")
	for _, soft := range []string{"E355+A", "E355 + A", "e235 +a tube"} {
		_, err = MaterialOf(soft, 0.003)
		refuse(err, "+A")
	}
	aluminium, err := MaterialOf("6061-T6", 0.003)
	require.NoError(t, err)
	wire, err := FillerOf("ER70S-6")
	require.NoError(t, err)
	_, err = FilletLine(0.004, wire, 0.004, aluminium)
	refuse(err, "filler for steel")
	_, _, err = FilletGroup{Layout: "one line", Leg: 0.004, Length: 0.1}.Peak(r3.Vec{}, r3.Vec{X: 10})
	refuse(err, "opens it at the root")
}

// TestNotNumbers feeds every method what is no measure.
func TestNotNumbers(t *testing.T) {
	steel, err := MaterialOf("S355", 0.003)
	require.NoError(t, err)
	for _, bad := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		_, err := StressArea(bad, 0.0015, true)
		require.Error(t, err)
		_, err = Bearing(bad, 0.004, steel.Yield)
		require.Error(t, err)
		_, err = Preload(60, 0.2, bad)
		require.Error(t, err)
		_, err = Tube(bad, 0.002)
		require.Error(t, err)
		_, err = Round(bad)
		require.Error(t, err)
		_, err = Column(Section{Area: 1e-4, Second: 1e-8}, bad, 0, steel)
		require.Error(t, err)
		_, err = RodEnd(100, 10, bad, 100)
		require.Error(t, err)
		_, err = NetSection(0.040, bad, 0.004, steel.Yield)
		require.Error(t, err)
		_, err = BoltCombined(100, 100, Result{Value: bad}, Result{Value: 1000})
		require.Error(t, err)
		_, err = FilletLine(bad, Filler{Ultimate: 480e6, Shear: 200e6}, 0.004, steel)
		require.Error(t, err)
	}
}

// TestNoLoad feeds loads that are no number to the methods that take one.
func TestNoLoad(t *testing.T) {
	g := FilletGroup{Layout: "circle", Leg: 0.004, Length: 0.1}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, _, err := g.Peak(r3.Vec{Y: bad}, r3.Vec{})
		require.Error(t, err)
		_, _, err = g.Peak(r3.Vec{}, r3.Vec{Z: bad})
		require.Error(t, err)
		_, _, err = g.PeakAnyWay(bad, 0)
		require.Error(t, err)
		_, _, err = g.PeakAnyWay(0, bad)
		require.Error(t, err)
		_, err = RodEnd(bad, 10, 1000, 100)
		require.Error(t, err)
		_, err = BoltCombined(10, bad, Result{Value: 1000}, Result{Value: 1000})
		require.Error(t, err)
	}
	_, err := RodEnd(-1, 10, 1000, 100)
	require.ErrorContains(t, err, "below zero")
}

// TestSpellings reads classes and materials as builders write them.
func TestSpellings(t *testing.T) {
	for text, want := range map[string]string{
		"8.8": "8.8", "class 10.9": "10.9", "Grade 8.8": "8.8", "property class 12.9": "12.9", " gr 8 ": "grade 8",
		"SAE grade 5": "grade 5", "a2 70": "A2-70", "A4-80": "A4-80", "A4/70": "A4-70",
	} {
		c, err := ClassOf(text, 0.010, 0.05)
		require.NoError(t, err, text)
		require.Equal(t, want, c.Name)
	}
	for text, want := range map[string]string{
		"S355J2+N": "S355", "e355 + n tube": "E355", "1020 DOM tube": "1020 DOM", "ASTM A36 plate": "A36", "AISI 4130 normalised": "4130", "6082-t6": "6082-T6",
	} {
		m, err := MaterialOf(text, 0.003)
		require.NoError(t, err, text)
		require.Equal(t, want, m.Name)
	}
}

// TestNames lists what the tables do not know: the error names what they do.
func TestNames(t *testing.T) {
	_, err := ClassOf("11.9", 0.010, 0.05)
	require.ErrorContains(t, err, "10.9")
	_, err = MaterialOf("unobtainium", 0.003)
	require.ErrorContains(t, err, "S355")
	_, err = FillerOf("glue")
	require.ErrorContains(t, err, "ER70S-6")
	_, err = EngagementNeeded("wood", 0)
	require.Error(t, err)
}

func FuzzNames(f *testing.F) {
	for _, s := range append(append(ClassNames(), MaterialNames()...), "gr 8", "S355J2+N", "4130 normalised", "") {
		f.Add(s, 0.010)
	}
	f.Fuzz(func(t *testing.T, s string, d float64) {
		if c, err := ClassOf(s, d, 0.05); err == nil {
			require.True(t, c.Proof > 0 && c.Yield > 0 && c.Tensile > c.Yield)
		}
		if m, err := MaterialOf(s, 0.003); err == nil {
			require.True(t, m.Yield > 0 && m.E > m.Yield)
		}
	})
}
