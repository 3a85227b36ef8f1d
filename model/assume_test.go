package model_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

const mount = parts + bar + "fasteners: {b: {needed: 4}, fl.1: {}}\nwelds: {fl-mount: {holds: [bar/top], found: {made: tack, by: RT}}}\n"

func assumption(t *testing.T, text string) model.Assumption {
	t.Helper()
	a, err := model.ParseAssumption(text)
	require.NoError(t, err)
	assert.Equal(t, text, a.String())
	return a
}

func TestAssumptionsAreLaidOverTheFile(t *testing.T) {
	for _, c := range []struct{ text, path, want string }{
		{"fl-mount.found.made=full", "welds.fl-mount.found.made", "full"},
		{"welds.fl-mount.found.made=full", "welds.fl-mount.found.made", "full"},
		{"fl-mount.found.inspected=yes", "welds.fl-mount.found.inspected", "yes"},
		{"b.found.count=3", "fasteners.b.found.count", "3"},
		{"fl.1.torque=60 N.m", "fasteners.fl.1.torque", "60 N·m"},
		{"bar.found.engaged=[22 mm, 3/4 in]", "links.bar.found.engaged", "[22 mm, 3/4 in]"},
		{"bar.ends.top.at=[1, 2, 3]", "links.bar.ends.top.at", "[0.001, 0.002, 0.003]"},
		{"fl-mount.base=4 mm S355 plate", "welds.fl-mount.base.thickness", "4 mm"},
		{"vehicle.found.fuel=none", "vehicle.found.fuel", "none"},
		{"site.found.floor=concrete", "site.found.floor", "concrete"},
		{"fl-mount.found.by=", "welds.fl-mount.found.by", ""},
		{"fl-mount.found.by=not sure", "welds.fl-mount.found.by", ""},
		{"fl-mount.found.by=?", "welds.fl-mount.found.by", ""},
	} {
		t.Run(c.text, func(t *testing.T) {
			plain := read(t, mount)
			build := read(t, mount, assumption(t, c.text))
			changes := model.Differences(plain.Facts(), build.Facts())
			require.NotEmpty(t, changes)
			last := changes[len(changes)-1]
			assert.Equal(t, c.path, last.Path)
			assert.Equal(t, c.want, last.New)
		})
	}
}

func TestAssumptionsThatLeadNowhere(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"fl-mont.found.made=full", `--assume:1:1: "fl-mont.found.made=full": there is no item "fl-mont" (did you mean "fl-mount"?)`},
		{"welds.fl-mont.found.made=full", `--assume:1:1: "welds.fl-mont.found.made=full": there is no item "fl-mont" (did you mean "fl-mount"?)`},
		{"fasteners.fl-mount.found.made=full", `--assume:1:1: "fasteners.fl-mount.found.made=full": fl-mount is a weld, not a fastener (write welds.fl-mount.found.made)`},
		{"fl-mount.found.mode=full", `--assume:1:1: "fl-mount.found.mode=full": "mode" is no key of found (did you mean "made"?)`},
		{"fl-mount=full", `--assume:1:1: "fl-mount=full": the path ends at the weld itself (go on to one of its facts, such as fl-mount.found.made)`},
		{"fl-mount.found.made=ful", `--assume:1:21: "fl-mount.found.made=ful": "ful" is not an answer for made (did you mean "full"?)`},
		{"fl-mount.found.made.now=full", `--assume:1:1: "fl-mount.found.made.now=full": made has no keys below it (a what-if sets one fact or one whole list)`},
		{"bar.ends.tip.on=arm", `--assume:1:1: "bar.ends.tip.on=arm": "tip" is no name in ends (did you mean "top"?)`},
		{"fl-mount.found.made=[", `--assume:1:1: "fl-mount.found.made=[": the value cannot be read (write it as in the build file)`},
		{"fl-mount.found.made=!!str full", `--assume:1:21: "fl-mount.found.made=!!str full": tags are not allowed in a build file (delete the word that begins with !)`},
		{"b.found.count=5", `--assume:1:15: 5 found, but there should be only 4 (correct one of the two, or write needed: 5)`},
		{"fl-mount.holds=[bar/tip]", `--assume:1:17: the link bar has no end "tip" (did you mean "top"?)`},
	} {
		t.Run(c.text, func(t *testing.T) {
			assert.Equal(t, c.want, refused(t, head+mount, assumption(t, c.text)).Error())
		})
	}
}

func TestTheLineSaysWhichAssumptionIsWrong(t *testing.T) {
	errs := refused(t, head+mount, assumption(t, "b.found.count=3"), assumption(t, "b.found.count=x"))
	assert.Equal(t, 2, errs[0].Span.Start.Line)
	assert.Equal(t, model.AssumptionFile, errs[0].Span.File)
}

func TestAssumptionsReachMirroredItems(t *testing.T) {
	b := read(t, corner, assumption(t, "fr-mount.found.made=full"))
	made, _ := b.Item("fr-mount").Text("found.made")
	assert.Equal(t, "full", made)
	made, _ = b.Item("fl-mount").Text("found.made")
	assert.Equal(t, "full", made)
	_, known := b.Item("fr-mount").Bool("found.inspected")
	assert.False(t, known)
}

func TestWhatIsNoAssumption(t *testing.T) {
	for _, text := range []string{"", "=", "=full", "fl-mount", "a=b\nc", "a=\xff"} {
		_, err := model.ParseAssumption(text)
		assert.Error(t, err, "%q", text)
	}
}

// FuzzAssume: an assumption is read back as it is printed, and changes nothing
// but what its path leads to.
func FuzzAssume(f *testing.F) {
	f.Add("fl-mount.found.made=full")
	f.Add("welds.fl-mount.found=")
	f.Add(" fasteners.fl.1.torque = 60 N.m = x")
	f.Add("links.bar.ends.top.at=[1, 2, {a: &x [*x]}]")
	f.Fuzz(func(t *testing.T, text string) {
		a, err := model.ParseAssumption(text)
		if err != nil {
			require.Zero(t, a)
			return
		}
		again, err := model.ParseAssumption(a.String())
		require.NoError(t, err)
		require.Equal(t, a, again)
		b, err := model.Read("b.yaml", []byte(head+mount), model.Companions{}, a)
		if err != nil {
			return
		}
		for _, c := range model.Differences(read(t, mount).Facts(), b.Facts()) {
			require.True(t, c.Path == a.Path || strings.HasPrefix(c.Path, a.Path+".") || strings.Contains(c.Path+".", "."+a.Path+"."), "%q changes %s", a, c.Path)
		}
	})
}
