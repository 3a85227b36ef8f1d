package quantity

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// close asserts that two SI values are the same but for rounding.
func closeTo(t *testing.T, want, got float64, msg ...any) {
	t.Helper()
	assert.LessOrEqual(t, math.Abs(got-want), 1e-12*math.Abs(want), append([]any{fmt.Sprintf("want %v, got %v", want, got)}, msg...)...)
}

func TestParse(t *testing.T) {
	const ftlbf, inlbf = 1.3558179483314004, 0.1129848290276167
	tests := []struct {
		text  string
		want  Dimension
		value float64
		tol   float64
		print string
	}{
		{"95 N·m", Torque, 95, 0, "95 N·m"},
		{"95 N.m", Torque, 95, 0, "95 N·m"},
		{"95 Nm", Torque, 95, 0, "95 N·m"},
		{"95Nm", Torque, 95, 0, "95 N·m"},
		{"95 nm", Torque, 95, 0, "95 N·m"},
		{"95 N*m", Torque, 95, 0, "95 N·m"},
		{"95 N m", Torque, 95, 0, "95 N·m"},
		{"95 N-m", Torque, 95, 0, "95 N·m"},
		{"70 ft·lbf", Torque, 70 * ftlbf, 0, "70 ft·lbf"},
		{"70 ft.lbf", Torque, 70 * ftlbf, 0, "70 ft·lbf"},
		{"70 ft-lb", Torque, 70 * ftlbf, 0, "70 ft·lbf"},
		{"70 FT-LBS", Torque, 70 * ftlbf, 0, "70 ft·lbf"},
		{"70 lbf.ft", Torque, 70 * ftlbf, 0, "70 ft·lbf"},
		{"70 lb ft", Torque, 70 * ftlbf, 0, "70 ft·lbf"},
		{"160 in.lbf", Torque, 160 * inlbf, 0, "160 in·lbf"},
		{"160 in-lb", Torque, 160 * inlbf, 0, "160 in·lbf"},
		{"6 kgf.m", Torque, 6 * 9.80665, 0, "6 kgf·m"},

		{"30 N/mm", Rate, 30e3, 0, "30 N/mm"},
		{"30 n/mm ± 5 %", Rate, 30e3, 1.5e3, "30 N/mm ± 1.5 N/mm"},
		{"170 lb/in", Rate, 170 * 4.4482216152605 / 0.0254, 0, "170 lbf/in"},
		{"170 LBS/IN", Rate, 170 * 4.4482216152605 / 0.0254, 0, "170 lbf/in"},
		{"3 kg/mm", Rate, 3e3 * 9.80665, 0, "3 kgf/mm"},

		{"5/32 in", Length, 5.0 / 32 * 0.0254, 0, "5/32 in"},
		{"1 1/2 in", Length, 0.0381, 0, "1 1/2 in"},
		{"1-1/2 in", Length, 0.0381, 0, "1 1/2 in"},
		{"-1 1/2 in", Length, -0.0381, 0, "-1.5 in"},
		{`5/32"`, Length, 5.0 / 32 * 0.0254, 0, "5/32 in"},
		{"5⁄32″", Length, 5.0 / 32 * 0.0254, 0, "5/32 in"},
		{"1/3 in", Length, 0.0254 / 3, 0, "0.333333333333 in"},
		{"12 in.", Length, 0.3048, 0, "12 in"},
		{"6'", Length, 1.8288, 0, "6 ft"},
		{"2410.5 mm", Length, 2.4105, 0, "2410.5 mm"},
		{"0.16421 mm", Length, 0.16421e-3, 0, "0.16421 mm"},
		{"12 MM", Length, 0.012, 0, "12 mm"},
		{"1 Metre", Length, 1, 0, "1 m"},
		{".5 mm", Length, 0.0005, 0, "0.5 mm"},
		{"−20 mm", Length, -0.02, 0, "-20 mm"},
		{"20\u00a0mm", Length, 0.02, 0, "20 mm"},
		{"20\u2009mm", Length, 0.02, 0, "20 mm"},
		{"-0 mm", Length, 0, 0, "0 mm"},
		{"1 in ± 0.5 mm", Length, 0.0254, 0.0005, "1 in ± 0.0196850393701 in"},

		{"420 kg", Mass, 420, 0, "420 kg"},
		{"420 kg ± 15 kg", Mass, 420, 15, "420 kg ± 15 kg"},
		{"420 kg +/- 15 kg", Mass, 420, 15, "420 kg ± 15 kg"},
		{"420 ± 15 kg", Mass, 420, 15, "420 kg ± 15 kg"},
		{"420 kg ± 15", Mass, 420, 15, "420 kg ± 15 kg"},
		{"420kg±15kg", Mass, 420, 15, "420 kg ± 15 kg"},
		{"420 kg ± 4 %", Mass, 420, 16.8, "420 kg ± 16.8 kg"},
		{"420 kg ± 0 kg", Mass, 420, 0, "420 kg"},
		{"0.42 t ± 15 kg", Mass, 420, 15, "0.42 t ± 0.015 t"},
		{"1500 lb", Mass, 680.388555, 0, "1500 lb"},
		{"8 oz", Mass, 0.2267961850, 0, "8 oz"},
		{"1 short ton", Mass, 907.18474, 0, "1 short ton"},
		{"1 Long-Ton", Mass, 1016.0469088, 0, "1 long ton"},

		{"1e3 N", Force, 1000, 0, "1000 N"},
		{"2.5e-3 MN", Force, 2500, 0, "0.0025 MN"},
		{"6000 lbf", Force, 26689.329691563, 0, "6000 lbf"},
		{"20 KN", Force, 20000, 0, "20 kN"},

		{"355 MPa", Stress, 355e6, 0, "355 MPa"},
		{"355 N/mm2", Stress, 355e6, 0, "355 MPa"},
		{"355 N/mm²", Stress, 355e6, 0, "355 MPa"},
		{"210 GPa", Stress, 210e9, 0, "210 GPa"},
		{"36 ksi", Stress, 36 * 6894757.293168361, 0, "36 ksi"},
		{"36000 PSI", Stress, 36 * 6894757.293168361, 0, "36000 psi"},

		{"2 deg", Angle, 2 * math.Pi / 180, 0, "2°"},
		{"2° ± 0.5°", Angle, 2 * math.Pi / 180, math.Pi / 360, "2° ± 0.5°"},
		{"0.1 rad", Angle, 0.1, 0, "0.1 rad"},

		{"14 days", Duration, 14 * 86400, 0, "14 days"},
		{"1 day", Duration, 86400, 0, "1 day"},
		{"2 weeks", Duration, 14 * 86400, 0, "2 weeks"},
		{"36 h", Duration, 36 * 3600, 0, "36 h"},
		{"30 min", Duration, 1800, 0, "30 min"},

		{"0.2", Number, 0.2, 0, "0.2"},
		{"3/4", Number, 0.75, 0, "0.75"},
		{"0.2 ± 0.05", Number, 0.2, 0.05, "0.2 ± 0.05"},
		{"5 %", Number, 0.05, 0, "5 %"},
		{"5%", Number, 0.05, 0, "5 %"},
		{"5 % ± 1 %", Number, 0.05, 0.01, "5 % ± 1 %"},
		{"20 mm/m", Number, 0.02, 0, "20 mm/m"},
		{"20 mm/m ± 5 %", Number, 0.02, 0.001, "20 mm/m ± 1 mm/m"},

		{"2 t", Load, 19613.3, 0, "2 t"},
		{"1500 lb", Load, 6672.33242289075, 0, "1500 lb"},
		{"500 kg", Load, 4903.325, 0, "500 kg"},
		{"6000 lbf", Load, 26689.329691563, 0, "6000 lbf"},
		{"20 kN", Load, 20000, 0, "20 kN"},
		{"500 kg ± 10 %", Load, 4903.325, 490.3325, "500 kg ± 50 kg"},
		{"500 kg ± 98.0665 N", Load, 4903.325, 98.0665, "500 kg ± 10 kg"},
		{"20 ± 1 kN", Load, 20000, 1000, "20 kN ± 1 kN"},
	}
	for _, test := range tests {
		t.Run(test.text+" as "+test.want.String(), func(t *testing.T) {
			q, err := Parse(test.text, test.want)
			require.NoError(t, err)
			closeTo(t, test.value, q.Value)
			closeTo(t, test.tol, q.Tol)
			assert.Equal(t, test.print, q.String())
			wantDim := test.want
			if wantDim == Load {
				wantDim = Force
			}
			assert.Equal(t, wantDim, q.Dim)
		})
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct {
		text string
		want Dimension
		err  string
	}{
		{"", Torque, "empty; a torque is wanted, for example 60 N·m or 45 ft·lbf"},
		{"   ", Angle, "empty; an angle is wanted, for example 2 deg"},
		{strings.Repeat("1", 65), Mass, "too long for a mass; write it as 420 kg ± 15 kg"},
		{"\xff kg", Mass, "this is no readable text; save the file as UTF-8"},
		{"95", Torque, `"95" has no unit; write a torque in N·m, ft·lbf, in·lbf, kgf·m, kN·m or N·mm, for example 60 N·m or 45 ft·lbf`},
		{"420 ± 15", Mass, `"420 ± 15" has no unit; write a mass in kg, lb, t, g, oz, short ton or long ton, for example 420 kg ± 15 kg`},
		{"60 kg", Torque, `"60 kg" is a mass; it must be a torque, for example 60 N·m or 45 ft·lbf`},
		{"60 lb", Force, `"60 lb" is a mass; it must be a force, for example 780 N or 175 lbf`},
		{"60 N", Number, `"60 N" is a force; it must be a plain number, for example 0.2`},
		{"60 mm", Load, `"60 mm" is a length; it must be a load, for example 2 t or 20 kN`},
		{"3 m", Duration, `"3 m" is a length; it must be a duration, for example 14 days`},
		{"420 kg ± 15 mm", Mass, `"420 kg ± 15 mm" is a length; it must be a mass, for example 420 kg ± 15 kg`},
		{"60 Nn", Torque, `"60 Nn" has an unknown unit, "Nn"; did you mean N·m?`},
		{"2 T", Mass, `"2 T" has an unknown unit, "T"; did you mean t?`},
		{"355 mPa", Stress, `"355 mPa" has an unknown unit, "mPa"; did you mean MPa?`},
		{"12 Mm", Length, `"12 Mm" has an unknown unit, "Mm"; did you mean mm?`},
		{"5 k.g", Mass, `"5 k.g" has an unknown unit, "k.g"; did you mean kg?`},
		{"95 N·m extra", Torque, `"95 N·m extra" has an unknown unit, "N·m extra"; a torque is written in N·m, ft·lbf, in·lbf, kgf·m, kN·m or N·mm`},
		{"2 ton", Load, `"2 ton" has the unit "ton", which means different things to different people; write t (1000 kg), short ton (2000 lb) or long ton (2240 lb)`},
		{"2 months", Duration, `"2 months" has the unit "months", which means different things to different people; write days or weeks`},
		{"1,5 mm", Length, `"1,5 mm" has a comma; write 1.5 or 1500, with a point for decimals and nothing for thousands`},
		{"1,500 kg", Mass, `"1,500 kg" has a comma; write 1.5 or 1500, with a point for decimals and nothing for thousands`},
		{"1 500 kg", Mass, `"1 500 kg" has more than one number; write 1500 without a space, a fraction as 5/32 or 1 1/2`},
		{"1.5.2 kg", Mass, `"1.5.2 kg" has more than one number; write 1500 without a space, a fraction as 5/32 or 1 1/2`},
		{"1/2/3 in", Length, `"1/2/3 in" has more than one number; write 1500 without a space, a fraction as 5/32 or 1 1/2`},
		{"5/0 in", Length, `"5/0 in" has zero as the bottom of its fraction`},
		{"1 3/2 in", Length, `"1 3/2 in" has a fraction of 1 or more after a whole number; write 1 1/2`},
		{"NaN kg", Mass, `"NaN kg" does not begin with a number`},
		{"Inf kg", Mass, `"Inf kg" does not begin with a number`},
		{"kg", Mass, `"kg" does not begin with a number`},
		{"0x10 kg", Mass, `"0x10 kg" has an unknown unit, "x10 kg"; a mass is written in kg, lb, t, g, oz, short ton or long ton`},
		{"1e400 kg", Mass, `"1e400 kg" is too large to be true; look at the exponent`},
		{"1e15 t", Mass, `"1e15 t" is too large; check the unit`},
		{"1e-400 kg", Mass, `"1e-400 kg" is too small to be true; look at the exponent`},
		{"1e-15 g", Mass, `"1e-15 g" is too small; check the unit`},
		{"420 kg ± -15 kg", Mass, `"420 kg ± -15 kg" has a ± below zero; a ± is written without a sign`},
		{"420 kg ± -4 %", Mass, `"420 kg ± -4 %" has a ± below zero; a ± is written without a sign`},
		{"420 kg ±", Mass, `"420 kg ±" has no number (this is about what follows the ±)`},
		{"± 15 kg", Mass, `"± 15 kg" has no number`},
		{"420 kg ± 15 kg ± 2 kg", Mass, `"420 kg ± 15 kg ± 2 kg" has more than one ±`},
		{"420 ± 4 %", Mass, `"420 ± 4 %" can be read in two ways; write the unit on both sides of the ±`},
		{"0.2 ± 10 %", Number, `"0.2 ± 10 %" can be read in two ways; write the unit on both sides of the ±`},
		{"4 % ± 1 kg", Mass, `"4 % ± 1 kg" is a plain number; it must be a mass, for example 420 kg ± 15 kg`},
	}
	for _, test := range tests {
		t.Run(test.text+" as "+test.want.String(), func(t *testing.T) {
			q, err := Parse(test.text, test.want)
			assert.EqualError(t, err, test.err)
			assert.Zero(t, q)
		})
	}
}

func TestEveryExampleCanBeRead(t *testing.T) {
	for d := Number; d <= Load; d++ {
		for _, example := range strings.Split(examples[d], " or ") {
			_, err := Parse(example, d)
			assert.NoError(t, err)
		}
	}
}

func TestFormat(t *testing.T) {
	tests := map[string]float64{
		"0": math.Copysign(0, -1), "1": 0.99999, "0.1235": 0.123456, "12.35": 12.3456, "-12.35": -12.3456,
		"12346": 12345.6, "9999999": 9999999, "1e7": 1e7, "2.1e11": 2.1e11, "-2.1e11": -2.1e11, "0.0001": 1e-4, "10": 9.99999,
		"1.5e-5": 1.5e-5, "1e-300": 1e-300, "10000": 9999.96, "2.5": 2.5, "100": 100,
	}
	for want, v := range tests {
		assert.Equal(t, want, Format(v))
	}
	assert.Equal(t, "0.0001", Format(0.000099999))
	assert.Equal(t, "-0.0001", Format(-0.000099999))
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		assert.Equal(t, "not computed", Format(v))
	}
}

// A computed number keeps its value to four digits, whatever its size.
func TestFormatKeepsFourDigits(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for range 20000 {
		v := (random.Float64() - 0.5) * math.Pow(10, random.Float64()*40-20)
		text := Format(v)
		back, err := decimal(text)
		require.NoError(t, err, text)
		require.LessOrEqual(t, math.Abs(back-v), 0.5001e-3*math.Abs(v), text)
		if a := math.Abs(v); a >= 1e-4 && a < 0.99e7 {
			require.NotContains(t, text, "e")
		}
	}
}

func TestOf(t *testing.T) {
	assert.Equal(t, "39.58 kN", Of(39583.333, Force, "kN").String())
	assert.Equal(t, "2 t", Of(19613.3, Force, "t").String())
	assert.Equal(t, "5/32 in", Of(5.0/32*0.0254, Length, "in").String())
	assert.Equal(t, "not computed", Of(math.NaN(), Force, "kN").String())
	// Never without its unit, never with a wrong one.
	assert.Equal(t, "12 N", Of(12, Force, "mm").String())
	assert.Equal(t, "12 N", Of(12, Force, "").String())
	assert.Equal(t, "12 m", Quantity{Value: 12, Dim: Length}.String())
	assert.Equal(t, "0", Quantity{}.String())
}

func TestWhatIsComputedEqualsWhatIsRead(t *testing.T) {
	q, err := Parse("95 N·m", Torque)
	require.NoError(t, err)
	assert.Equal(t, Of(95, Torque, "N·m"), q)
}

func TestIn(t *testing.T) {
	torque, _ := Parse("95 N·m", Torque)
	v, err := torque.In("ft-lb")
	require.NoError(t, err)
	closeTo(t, 95/1.3558179483314004, v)

	rating, _ := Parse("2 t", Load)
	v, err = rating.In("kg")
	require.NoError(t, err)
	closeTo(t, 2000, v)
	v, err = rating.In("kN")
	require.NoError(t, err)
	closeTo(t, 19.6133, v)

	v, err = Of(0.05, Number, "%").In("")
	require.NoError(t, err)
	assert.Equal(t, 0.05, v)

	_, err = torque.In("kg")
	assert.EqualError(t, err, `a torque cannot be in "kg"; write N·m, ft·lbf, in·lbf, kgf·m, kN·m or N·mm`)
	_, err = torque.In("")
	assert.Error(t, err)
	_, err = Of(1, Mass, "kg").In("N")
	assert.Error(t, err, "a mass is no force")
}

// wanted is what to ask Parse for so that it reads a printed quantity.
func wanted(q Quantity) Dimension {
	if q.Dim == Force {
		return Load
	}
	return q.Dim
}

// same asserts that a quantity printed and read again is the same.
func same(t *testing.T, q Quantity) {
	t.Helper()
	again, err := Parse(q.String(), wanted(q))
	require.NoError(t, err)
	require.LessOrEqual(t, math.Abs(again.Value-q.Value), 1e-9*math.Abs(q.Value), q.String())
	require.LessOrEqual(t, math.Abs(again.Tol-q.Tol), 1e-9*q.Tol, q.String())
	require.Equal(t, q.Dim, again.Dim)
	require.Equal(t, q.Unit, again.Unit)
	require.Equal(t, q.String(), again.String())
}

// Every unit, values of all sizes with and without ±, printed and read again.
func TestRoundTrip(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for d := Number; d <= Load; d++ {
		for _, u := range d.Units() {
			for range 200 {
				text := fmt.Sprintf("%.*g %s", 1+random.IntN(17), (random.Float64()-0.5)*math.Pow(10, random.Float64()*12-6), u)
				if random.IntN(2) == 0 {
					text += fmt.Sprintf(" ± %.*g %s", 1+random.IntN(8), random.Float64(), u)
				}
				if len(text) > maxText {
					continue
				}
				q, err := Parse(text, d)
				require.NoError(t, err)
				same(t, q)
			}
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"95 N·m", "70 ft-lb", "5/32 in", "1-1/2\"", "420 kg ± 15 kg", "420 ± 4 %", "1e3 N", "−2°", "1,5 mm", "2 ton", "20 mm/m", "0.2", "1 in ± 0.5 mm", "5/0", "1e-15 t ± 1e15", "short ton"} {
		for d := Number; d <= Load; d++ {
			f.Add(s, uint8(d))
		}
	}
	f.Fuzz(func(t *testing.T, text string, dim uint8) {
		want := Dimension(dim % uint8(Load+1))
		q, err := Parse(text, want)
		if err != nil {
			require.Zero(t, q)
			return
		}
		require.LessOrEqual(t, math.Abs(q.Value), maxValue)
		require.GreaterOrEqual(t, q.Tol, 0.0)
		if len(q.String()) > maxText {
			return // a thirty-digit number with a thirty-digit ±
		}
		same(t, q)
	})
}
