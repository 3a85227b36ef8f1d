package plain

import (
	"strings"
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
		{strings.Fields("b-1 b-2 b-3 b-4 b-5 b-6 b-7 b-8"), "b-1, -2, -3, -4, -5, -6 and 2 more"},
		{strings.Fields("fl-top-bolt fl-low-bolt fr-top-bolt fr-low-bolt rl-top-bolt rl-low-bolt rr-top-bolt rr-low-bolt"), "top-, low-bolt at fl, fr, rl, rr"},
		{strings.Fields("fl-eye-hanger fl-shackle-hanger fr-eye-hanger fr-shackle-hanger"), "eye-, shackle-hanger at fl, fr"},
		{strings.Fields("fl-top fl-low fr-top fr-low rl-top rl-low rr-top"), "fl-, fr-, rl-, rr-top and 3 more"},
		{strings.Fields("fl-top fl-low fr-top fr-low jack"), "top, low at fl, fr; jack"},
		{strings.Fields("fl-a fr-b rl-b rr-b"), "fl-a, fr-, rl-, rr-b"},
		{strings.Fields("stand-front-left stand-front-right stand-rear-left stand-rear-right jack-rear"), "stand-front-left, -front-right, -rear-left, -rear-right, jack-rear"},
		{strings.Fields("a b c d e f g"), "a, b, c, d, e, f and 1 more"},
	} {
		assert.Equal(t, c.want, Names(c.ids))
	}
	for _, c := range []struct{ ids, want string }{
		{"", ""},
		{"fr-lower-nut", "front right lower nut"},
		{"stand-fl", "front left stand"},
		{"LF_upper_arm", "front left upper arm"},
		{"fl", "fl"},
		{"fl-fr", "front left fr"},
		{"fl-", "fl"},
		{"rr-toe-mount rl-toe-mount", "rear right and left toe mount"},
		{"fl-wheel-nuts fr-wheel-nuts rr-wheel-nuts rl-wheel-nuts", "front left and right, rear right and left wheel nuts"},
		{"rr-u-bolts rl-u-bolts", "rear right and left u-bolts"},
		{"fl-eye-hanger fl-shackle-hanger fr-eye-hanger fr-shackle-hanger", "front left and right eye hanger, shackle hanger"},
		{"engine-mounts build_dolly fl-strut", "engine mounts; build dolly; front left strut"},
		{"node-front-bulkhead-left", "node front bulkhead left"},
		{"a b c d e f g h", "a; b; c; d; e; f and 2 more"},
		{"- _ fl--", "-; _; fl"},
	} {
		assert.Equal(t, c.want, Called(strings.Fields(c.ids)), c.ids)
	}
	assert.Equal(t, "b-1, -2, -3, -4, -5, -6, -7, -8, fl-, fr-a", AllNames(strings.Fields("b-1 b-2 b-3 b-4 b-5 b-6 b-7 b-8 fl-a fr-a")))
}
