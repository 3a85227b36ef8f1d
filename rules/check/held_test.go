package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/rules/verdict"
)

// TestWholeLinkHeld has a spring hold a link as a whole and not one of its ends, and
// leaves its place out: the place is that of the parts that the link joins. It was
// looked for in a field that only supports have, and the check failed.
func TestWholeLinkHeld(t *testing.T) {
	d := everything(t)
	i := d.find("springs", "fl-spring", "place")
	b, err := model.Read("everything.yaml", []byte(d.without(i).String()))
	require.NoError(t, err)
	require.Contains(t, strings.Join(b.Item("fl-spring").Texts("holds"), " "), "fl-coil")
	require.Equal(t, verdict.Go, judge(t, rules(t), b, "engine-out").Decision)
}
