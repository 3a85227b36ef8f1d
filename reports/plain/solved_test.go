package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"setdown/rules/verdict"
)

func TestSolved(t *testing.T) {
	for _, c := range []struct {
		step verdict.Step
		want string
	}{
		{verdict.Step{Solved: verdict.Solved}, ""},
		{verdict.Step{Solved: verdict.Checklist}, "a checklist: no loads and no stability are computed"},
		{verdict.Step{Solved: verdict.Unrecorded, Lacks: []string{"parts.arm.mass"}}, "no loads computed: not recorded parts.arm.mass"},
		{verdict.Step{Solved: verdict.Unrecorded, Lacks: []string{"parts.arm.cg", "parts.arm.mass", "parts.hub.mass"}}, "no loads computed: not recorded parts.arm.cg and 2 more"},
		{verdict.Step{Solved: verdict.NotSolved, Reason: "nearly singular"}, "nearly singular"},
		{verdict.Step{Solved: verdict.NoEquilibrium, Reason: "the arm turns"}, "it does not stand: the arm turns"},
		{verdict.Step{Solved: verdict.LumpWithoutJoints}, "taken as one solid lump: the file lists no joints, so forces inside it are not computed"},
		{verdict.Step{Solved: verdict.LumpWithoutPlaces}, "taken as one solid lump: the positions of joints are not recorded, so forces inside it are not computed"},
	} {
		assert.Equal(t, c.want, Solved(&c.step))
	}
}
