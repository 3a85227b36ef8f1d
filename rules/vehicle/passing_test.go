package vehicle

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// TestGrave: what is not known counts as the vehicle's, and only what is known to be so goes before
// it; of one load the worse end goes first.
func TestGrave(t *testing.T) {
	ascending := []Resting{
		idle,
		{Carries: "part", LetsGo: "holds"}, {Carries: "part", LetsGo: "drops"},
		unclear(NotRecorded("parts.frame.mass")),
		{Carries: "vehicle", LetsGo: "holds"}, {Carries: "vehicle", LetsGo: "rocks"}, {Carries: "vehicle", LetsGo: "falls"},
	}
	for i, graver := range ascending {
		for _, lesser := range ascending[:i] {
			require.Greater(t, Grave(graver.Carries, graver.LetsGo), Grave(lesser.Carries, lesser.LetsGo), "%+v, %+v", graver, lesser)
		}
	}
}
