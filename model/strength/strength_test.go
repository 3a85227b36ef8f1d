package strength

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestSafeDirections changes each measure in the direction that makes a part
// weaker and demands that its strength never grows.
func TestSafeDirections(t *testing.T) {
	steel, err := MaterialOf("S355")
	require.NoError(t, err)
	class, err := ClassOf("8.8", 0.010)
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
		return value(Column(s, length, steel))
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
			c, err := ClassOf(name, 0.012)
			require.NoError(t, err)
			require.Greater(t, c.Yield, last, name)
			require.Less(t, c.Proof, c.Tensile, name)
			last = c.Yield
		}
	}
}

// TestOutside lists what a method refuses: outside its domain there is no number.
func TestOutside(t *testing.T) {
	steel, err := MaterialOf("E235")
	require.NoError(t, err)
	class, err := ClassOf("8.8", 0.010)
	require.NoError(t, err)
	thin, err := Tube(0.010, 0.001)
	require.NoError(t, err)
	refuse := func(err error, part string) {
		t.Helper()
		var domain *DomainError
		require.ErrorAs(t, err, &domain)
		require.ErrorContains(t, err, part)
	}
	_, err = Column(thin, 2, steel)
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
	_, err = ClassOf("grade 5", 0.080)
	refuse(err, "does not reach")
	_, err = RootDiameter(0.004, 0.003)
	refuse(err, "too coarse")
	_, _, err = FilletGroup{Layout: "one line", Leg: 0.004, Length: 0.1}.Peak(Vec3{}, Vec3{10, 0, 0})
	refuse(err, "opens it at the root")
}

// TestNotNumbers feeds every method what is no measure.
func TestNotNumbers(t *testing.T) {
	steel, err := MaterialOf("S355")
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
		_, err = Column(Section{Area: 1e-4, Second: 1e-8}, bad, steel)
		require.Error(t, err)
		_, err = RodEnd(100, 10, bad, 100)
		require.Error(t, err)
		_, err = FilletLine(bad, Filler{Tensile: 480e6}, 0.004, steel)
		require.Error(t, err)
	}
}

// TestNames lists what the tables do not know: the error names what they do.
func TestNames(t *testing.T) {
	_, err := ClassOf("11.9", 0.010)
	require.ErrorContains(t, err, "10.9")
	_, err = MaterialOf("unobtainium")
	require.ErrorContains(t, err, "S355")
	_, err = FillerOf("glue")
	require.ErrorContains(t, err, "ER70S-6")
	_, err = EngagementNeeded("wood")
	require.Error(t, err)
}

func FuzzNames(f *testing.F) {
	for _, s := range append(append(ClassNames(), MaterialNames()...), "gr 8", "S355J2+N", "4130 normalised", "") {
		f.Add(s, 0.010)
	}
	f.Fuzz(func(t *testing.T, s string, d float64) {
		if c, err := ClassOf(s, d); err == nil {
			require.True(t, c.Proof > 0 && c.Yield > 0 && c.Tensile > c.Yield)
		}
		if m, err := MaterialOf(s); err == nil {
			require.True(t, m.Yield > 0 && m.E > m.Yield)
		}
	})
}
