package model_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
)

func TestTheSameStateHasTheSameLines(t *testing.T) {
	one := read(t, `parts: {chassis: {mass: 420 kg ± 15 kg, cg: [1250, 20, 350]}, arm: {}}
stud_nuts: {n: {torque: 75 N·m, found: {fitted: yes}}}
site: {found: {slope: 5 mm/m}}
`)
	two := read(t, `# the same, written by another hand
site:
  found: {slope: 5 mm/m}
stud_nuts:
  n:
    found: {fitted: true, seated: not sure}
    torque: 75.0 N.m
    lock: ~
vehicle: ~
parts:
  arm: ~
  chassis: {cg: [1250, 20 mm, 35 cm], mass: 420 +/- 15 kg}
`)
	assert.Equal(t, string(one.Canonical()), string(two.Canonical()))
	assert.Empty(t, model.Differences(one.Facts(), two.Facts()))
	assert.Equal(t, `parts.arm = part
parts.chassis = part
parts.chassis.cg = [1.25, 0.02, 0.35]
parts.chassis.mass = 420 kg ± 15 kg
site.found.slope = 5 mm/m
stud_nuts.n = stud nut
stud_nuts.n.found.fitted = yes
stud_nuts.n.torque = 75 N·m
`, string(one.Canonical()))
}

func TestTheMirroredStateIsWhatCounts(t *testing.T) {
	mirrored := read(t, "parts: {fl-a: {cg: [1, 2, 3]}}\nmirror: [{from: fl-, to: fr-, across: y}]\n")
	written := read(t, "parts: {fr-a: {cg: [1, -2, 3]}, fl-a: {cg: [1, 2, 3]}}\n")
	assert.Empty(t, model.Differences(mirrored.Facts(), written.Facts()))
}

// States that differ only in a digit that people do not print must not look the same.
func TestSmallDifferencesShow(t *testing.T) {
	for _, c := range [][2]string{
		{"stud_nuts: {n: {torque: 75.0012 N·m}}", "stud_nuts: {n: {torque: 75.0013 N·m}}"},
		{"parts: {a: {mass: 420.123 kg ± 1.0001 kg}}", "parts: {a: {mass: 420.123 kg ± 1.0002 kg}}"},
		{"supports: {s: {kind: stand, rated: 1500.01 lb}}", "supports: {s: {kind: stand, rated: 1500.02 lb}}"},
		{"site: {found: {slope: 5.0001 mm/m}}", "site: {found: {slope: 5.0002 mm/m}}"},
		{"parts: {a: {cg: [1, 2, 3]}}", "parts: {a: {cg: [1, 2, 3.00001]}}"},
		{"parts: {a: {cg: [1, 2, 3]}}", "parts: {a: {cg: [1, 2, 3 ± 1]}}"},
		{parts + "links: {bar: {ends: {top: {on: chassis}, bottom: {on: arm}}}}", parts + "links: {bar: {ends: {bottom: {on: arm}, top: {on: chassis}}}}"},
	} {
		one, two := read(t, c[0]+"\n"), read(t, c[1]+"\n")
		changes := model.Differences(one.Facts(), two.Facts())
		require.Len(t, changes, 1, c)
		assert.NotEqual(t, changes[0].Old, changes[0].New)
	}
}

func TestDifferences(t *testing.T) {
	old := read(t, "welds: {m: {found: {made: tack}}, gone: {}}\n")
	new := read(t, "welds: {m: {found: {made: full, inspected: yes}}}\n")
	assert.Equal(t, []model.Change{
		{Path: "welds.gone", Old: "weld"},
		{Path: "welds.m.found.inspected", New: "yes"},
		{Path: "welds.m.found.made", Old: "tack", New: "full"},
	}, model.Differences(old.Facts(), new.Facts()))
}

func TestTheLinesAreTheSameEveryTime(t *testing.T) {
	want := string(read(t, corner).Canonical())
	for range 20 {
		require.Equal(t, want, string(read(t, corner).Canonical()))
	}
}

func ExampleRead() {
	build, err := model.Read("special.yaml", []byte(`format: setdown/1
stud_nuts:
  fl-lower-nut: {torque: 75 N·m, found: {fitted: no}}
`), model.Companions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	nut := build.Item("fl-lower-nut")
	fitted, known := nut.Bool("found.fitted")
	fmt.Println(nut.Path(), fitted, known)
	_, known = nut.Quantity("found.torqued")
	fmt.Println("torque reached is recorded:", known)
	// Output:
	// stud_nuts.fl-lower-nut false true
	// torque reached is recorded: false
}

func ExampleRead_mistakes() {
	_, err := model.Read("special.yaml", []byte(`format: setdown/1
stud_nuts:
  fl-lower-nut: {torque: 75, found: {fited: no}}
`), model.Companions{})
	fmt.Println(err)
	// Output:
	// special.yaml:3:26: "75" has no unit; write a torque in N·m, ft·lbf, in·lbf, kgf·m, kN·m or N·mm, for example 60 N·m or 45 ft·lbf
	// special.yaml:3:38: "fited" is no key of found (did you mean "fitted"?)
}
