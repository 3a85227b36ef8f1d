package quantity

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// NIST SP 811 (2008), appendix B.8, as quoted from memory: exact, or rounded by
// us to sixteen digits.
func TestUnitsOfThePublishedTable(t *testing.T) {
	published := map[string]float64{
		"lbf": 4.4482216152605, "ft·lbf": 1.3558179483314004, "in·lbf": 0.1129848290276167, "psi": 6894.757293168361,
		"lb": 0.45359237, "kgf": 9.80665, "in": 0.0254, "short ton": 907.18474, "long ton": 1016.0469088, "kip": 4448.2216152605, "lbf/in": 175.12683524647636,
	}
	for name, size := range published {
		u, ok := find(name)
		require.True(t, ok, name)
		closeTo(t, size, u.factor, name)
	}
}

// Every unit against another program; see the README beside the table.
func TestUnitsOfAnotherProgram(t *testing.T) {
	file, err := os.Open("../../testdata/published/units/units.csv")
	require.NoError(t, err)
	defer file.Close()
	rows, err := csv.NewReader(file).ReadAll()
	require.NoError(t, err)

	seen := map[string]bool{}
	for _, row := range rows[1:] {
		size, err := strconv.ParseFloat(row[4], 64)
		require.NoError(t, err)
		for d := Number; d <= Load; d++ {
			if d.String() != row[0] {
				continue
			}
			q, err := Parse("1 "+row[1], d)
			require.NoError(t, err)
			assert.InEpsilon(t, size, q.Value, 1e-14, row[1])
			seen[row[0]+row[1]] = true
		}
	}
	for d := Number; d < Load; d++ {
		for _, name := range d.Units() {
			assert.True(t, seen[d.String()+name], "%s is not in the table; run its make.sh", name)
		}
	}
}

// Each spelling leads to one unit, and is no spelling of another when somebody
// writes it in large letters.
func TestSpellingsAreUnique(t *testing.T) {
	owner := map[string]string{}
	for _, u := range units {
		for _, name := range u.spellings() {
			require.Empty(t, owner[name], "%s is written twice", name)
			owner[name] = u.name
			found, ok := find(name)
			require.True(t, ok, name)
			assert.Equal(t, u.name, found.name, name)
		}
	}
	for _, pair := range [][2]string{{"KG", "kg"}, {"Kn", "kN"}, {"LBF", "lbf"}, {"NM", "N·m"}, {"In", "in"}, {"Feet", "ft"}, {"METRE", "m"}, {"MPA", "MPa"}, {"Minutes", "min"}, {"Lb.Ft", "ft·lbf"}} {
		found, ok := find(pair[0])
		require.True(t, ok, pair[0])
		assert.Equal(t, pair[1], found.name)
	}
	for _, text := range []string{"mPa", "mpa", "mN", "Mm", "M", "T", "G", "Min", "", " ", "·", "k.g", "m m", "lb/ft"} {
		_, ok := find(text)
		assert.False(t, ok, text)
	}
}

func TestUnitsForHints(t *testing.T) {
	assert.Equal(t, []string{"MPa", "ksi", "psi", "GPa", "kPa", "Pa", "bar"}, Stress.Units())
	assert.Equal(t, append(Mass.Units(), Force.Units()...), Load.Units())
}
