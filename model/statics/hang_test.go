package statics_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/statics"
	"setdown/model/strength"
)

// TestHangsAsWorkedOutAnotherWay compares with testdata/published/statics/hook.py: loads turned
// until their centre of gravity lies lowest, and the pull of each leg of a sling. No sling may lift more
// than what its legs, each pulled to its limit, balance.
func TestHangsAsWorkedOutAnotherWay(t *testing.T) {
	text, err := os.ReadFile("../../testdata/published/statics/hook.json")
	require.NoError(t, err)
	var doc struct {
		Loads []struct {
			Name          string
			Mass, Tilt    float64
			CG, Tol, Hook [3]float64
		}
		Slings []struct {
			Name        string
			Mass, Angle float64
			Pulls       []float64
		}
	}
	require.NoError(t, json.Unmarshal(text, &doc))
	require.NotEmpty(t, doc.Loads)
	for _, load := range doc.Loads {
		m, err := statics.New(statics.System{Bodies: []statics.Body{{Name: load.Name, Masses: []statics.Mass{{Name: load.Name, M: load.Mass, CG: metres(load.CG), CGTol: metres(load.Tol)}}}}})
		require.NoError(t, err)
		hang := m.Hang(metres(load.Hook))
		assert.True(t, hang.Above, load.Name)
		assert.InDelta(t, load.Tilt, hang.Tilt*180/math.Pi, 1e-3, load.Name)
	}
	require.NotEmpty(t, doc.Slings)
	for _, s := range doc.Slings {
		most := 0.0
		for _, pull := range s.Pulls {
			most = max(most, pull)
		}
		bears, err := strength.Sling{Legs: len(s.Pulls), Angle: s.Angle * math.Pi / 180}.Limit(most)
		require.NoError(t, err)
		weight := s.Mass * statics.Gravity
		assert.LessOrEqual(t, bears.Value, weight*(1+1e-6), s.Name)
		assert.Greater(t, bears.Value, 0.75*weight, "%s: rounded down, not away", s.Name)
	}
}
