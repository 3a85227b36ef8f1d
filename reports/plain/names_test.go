package plain

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestNames(t *testing.T) {
	for _, c := range []struct {
		ids  []string
		want string
	}{
		{nil, ""},
		{[]string{"fr-lower-nut"}, "fr-lower-nut"},
		{[]string{"rl-toe-mount", "rr-toe-mount"}, "rl-, rr-toe-mount"},
		{[]string{"stand-fl", "stand-fr", "stand-rl"}, "stand-fl, -fr, -rl"},
		{[]string{"stand-rear-left", "stand-rear-right"}, "stand-rear-left, -right"},
		{[]string{"jack", "stand"}, "jack, stand"},
		{[]string{"a-b", "a-b-c"}, "a-b, -b-c"},
		{[]string{"", "-", "a"}, ", -, a"},
	} {
		assert.Equal(t, c.want, Names(c.ids))
	}
}
