package model_test

import (
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/schema"
)

// corner is one corner of a vehicle with everything a mirror has to carry over.
const corner = `places: [front-left, front-right, body]
parts:
  chassis: {place: body}
  fl-arm: {mass: 4 kg, cg: [2400 ± 2, 420 ± 5, 180], place: front-left}
  fl-bracket: {place: body}
joints:
  fl-pivot: {kind: pivot, between: [fl-arm, chassis], at: [2400, 250, 170], axis: [1, 0.2, 0]}
links:
  fl-strut:
    ends: {top: {on: chassis, at: [2400, 330, 560]}, bottom: {on: fl-arm, at: [2400, 520, 190]}}
    rod_ends: {hands: [left, right], static_rating: 20 kN}
    found: {fitted: yes, engaged: [22 mm, 20 mm]}
fasteners:
  fl-bolt: {holds: [fl-pivot], torque: 60 N·m, class: "10.9", tab: {thickness: 5 mm, edge: 20 mm}, found: {fitted: yes, torqued: 60 N·m}}
welds:
  fl-mount: {holds: [fl-strut/top], base: 4 mm S355 plate, found: {made: full, inspected: yes}}
wheels:
  fl-wheel: {on: fl-arm}
supports:
  fl-stand: {kind: wheel, under: fl-arm, wheel: fl-wheel, found: {locked: yes}}
mirror:
  - {from: fl-, to: fr-, across: y}
`

func TestMirrorCarriesTheDesignOver(t *testing.T) {
	b := read(t, corner)
	arm := b.Item("fr-arm")
	require.NotNil(t, arm)
	assert.Equal(t, "fl-arm", arm.MirroredFrom)
	assert.Equal(t, b.Item("fl-arm").Span, arm.Span)
	cg, _ := arm.Vec("cg")
	assert.Equal(t, -0.42, cg.Y)
	assert.InDelta(t, 2.4, cg.X, 1e-12)
	assert.InDelta(t, 0.005, cg.Tol[1], 1e-12)
	axis, _ := b.Item("fr-pivot").Vec("axis")
	assert.Equal(t, schema.Vec{X: 1, Y: -0.2}, axis)
	assert.Equal(t, []string{"fr-arm", "chassis"}, b.Item("fr-pivot").Texts("between"))
	assert.Equal(t, []string{"fr-strut/top"}, b.Item("fr-mount").Texts("holds"))
	top, _ := b.Item("fr-strut").Vec("ends.top.at")
	assert.InDelta(t, -0.33, top.Y, 1e-12)
	hands := b.Item("fr-strut").Texts("rod_ends.hands")
	assert.Equal(t, []string{"left", "right"}, hands)
	wheel, _ := b.Item("fr-stand").Text("wheel")
	assert.Equal(t, "fr-wheel", wheel)
	place, _ := arm.Text("place")
	assert.Equal(t, "front-right", place)
	_, known := b.Item("fr-bracket").Text("place")
	assert.False(t, known, "a place without a side is worked out, not copied")
}

func TestMirrorNeverCopiesWhatWasFound(t *testing.T) {
	b := read(t, corner)
	mirrored := 0
	for _, kind := range schema.Kinds() {
		for _, item := range b.Of(kind.Name) {
			if item.MirroredFrom == "" {
				continue
			}
			mirrored++
			if kind.Found() != nil {
				_, known := item.Lookup("found")
				assert.False(t, known, item.ID)
			}
		}
	}
	assert.Equal(t, 8, mirrored)
}

func TestWhatIsWrittenOverridesTheMirror(t *testing.T) {
	b := read(t, corner+`springs: {}
brakes: {}
hoists: {}
`)
	_, known := b.Item("fr-bolt").Text("class")
	assert.True(t, known)

	written := corner[:len(corner)-len("mirror:\n  - {from: fl-, to: fr-, across: y}\n")]
	b = read(t, written+`stud_nuts: {fl-nut: {torque: 75 N·m}, fr-nut: {torque: not sure, found: {fitted: yes}}}
dollies: {fl-d: {castors: 4, found: {held: yes}}, fr-d: {mass: 20 kg, found: {strapped: no}}}
cranes: {fl-c: {rated: 1 t}}
mirror: [{from: fl-, to: fr-, across: y}]
`)
	dolly := b.Item("fr-d")
	castors, _ := dolly.Count("castors")
	assert.EqualValues(t, 4, castors)
	mass, _ := dolly.Quantity("mass")
	assert.Equal(t, 20.0, mass.Value)
	found, _ := dolly.Record.Record("found")
	assert.Equal(t, []string{"strapped"}, found.Names(), "its own found, and nothing of the other side's")
	assert.Equal(t, "fl-d", dolly.MirroredFrom)
	_, known = b.Item("fr-nut").Quantity("torque")
	assert.False(t, known, "what is written as not sure is not filled in from the other side")
	_, known = b.Item("fl-d").Quantity("mass")
	assert.False(t, known, "the pattern stays as it is")
}

func TestOverridesGoDownIntoBlocks(t *testing.T) {
	b := read(t, `parts: {chassis: {}, fl-arm: {}}
links:
  fl-strut:
    ends: {top: {on: chassis, at: [1, 2, 3]}, bottom: {on: fl-arm, at: [4, 5, 6]}}
    tube: {od: 28 mm, wall: 2.5 mm}
  fr-strut:
    ends: {bottom: {at: [4, -7, 6]}}
    tube: {wall: 3 mm}
mirror: [{from: fl-, to: fr-, across: y}]
`)
	strut := b.Item("fr-strut")
	od, _ := strut.Quantity("tube.od")
	wall, _ := strut.Quantity("tube.wall")
	assert.Equal(t, "28 mm", od.String())
	assert.Equal(t, "3 mm", wall.String())
	on, _ := strut.Text("ends.bottom.on")
	assert.Equal(t, "fr-arm", on)
	bottom, _ := strut.Vec("ends.bottom.at")
	assert.InDelta(t, -0.007, bottom.Y, 1e-12)
	top, _ := strut.Vec("ends.top.at")
	assert.InDelta(t, -0.002, top.Y, 1e-12)
}

func TestMirrorAcrossX(t *testing.T) {
	b := read(t, "parts: {f-axle: {cg: [1000, 10, 20]}}\nmirror: [{from: f-, to: r-, across: x}]\n")
	cg, _ := b.Item("r-axle").Vec("cg")
	assert.InDelta(t, -1, cg.X, 1e-12)
	assert.InDelta(t, 0.01, cg.Y, 1e-12)
}

// A mirror of a mirror gives the point back: the sign changes and nothing else.
func TestMirrorsCanFollowEachOther(t *testing.T) {
	b := read(t, "parts: {a-x: {cg: [1, 2, 3]}}\nmirror: [{from: a-, to: b-, across: y}, {from: b-, to: c-, across: y}]\n")
	first, _ := b.Item("a-x").Vec("cg")
	last, _ := b.Item("c-x").Vec("cg")
	assert.Equal(t, first, last)
}

// leaf is a rear axle on leaf springs: the shackles of the axle's sides hang on
// equalisers that have a mirror entry of their own.
const leaf = `parts: {chassis: {}, l-equaliser: {}, fl-leaf: {}, rl-leaf: {}}
joints:
  l-pin: {kind: pivot, between: [l-equaliser, chassis], at: [10, 20, 30]}
links:
  fl-shackle: {ends: {top: {on: l-equaliser, at: [1, 2, 3]}, bottom: {on: fl-leaf, at: [4, 5, 6]}}}
  rl-shackle: {ends: {top: {on: l-equaliser, at: [7, 2, 3]}, bottom: {on: rl-leaf, at: [8, 5, 6]}}}
fasteners:
  fl-bolt: {holds: [fl-shackle/top, rl-shackle/top, l-pin]}
`

func TestReferencesFollowEveryMirrorAcrossThePlane(t *testing.T) {
	for _, entries := range []string{
		"[{from: fl-, to: fr-, across: y}, {from: rl-, to: rr-, across: y}, {from: l-, to: r-, across: y}]",
		"[{from: l-, to: r-, across: y}, {from: rl-, to: rr-, across: y}, {from: fl-, to: fr-, across: y}]",
	} {
		b := read(t, leaf+"mirror: "+entries+"\n")
		for _, corner := range []string{"fr", "rr"} {
			top, _ := b.Item(corner + "-shackle").Text("ends.top.on")
			bottom, _ := b.Item(corner + "-shackle").Text("ends.bottom.on")
			assert.Equal(t, "r-equaliser", top, entries)
			assert.Equal(t, corner+"-leaf", bottom, entries)
		}
		assert.Equal(t, []string{"r-equaliser", "chassis"}, b.Item("r-pin").Texts("between"))
		assert.Equal(t, []string{"fr-shackle/top", "rr-shackle/top", "r-pin"}, b.Item("fr-bolt").Texts("holds"))
	}
}

// What is written at the mirrored item stays, and what is copied beside it in the
// same block is carried over.
func TestReferencesFollowBesideWhatIsWritten(t *testing.T) {
	b := read(t, `parts: {chassis: {}, l-equaliser: {}, fl-leaf: {}, odd: {}}
links:
  fl-shackle: {ends: {top: {on: l-equaliser, at: [1, 2, 3]}, bottom: {on: fl-leaf, at: [4, 5, 6]}}}
  fr-shackle: {ends: {top: {at: [1, -3, 3]}, bottom: {on: odd}}}
mirror: [{from: fl-, to: fr-, across: y}, {from: l-, to: r-, across: y}]
`)
	top, _ := b.Item("fr-shackle").Text("ends.top.on")
	bottom, _ := b.Item("fr-shackle").Text("ends.bottom.on")
	assert.Equal(t, "r-equaliser", top)
	assert.Equal(t, "odd", bottom)
}

func TestReferencesAcrossOtherPlanesStay(t *testing.T) {
	b := read(t, `parts: {chassis: {}, f-beam: {}, fl-arm: {}}
joints: {fl-pivot: {kind: pivot, between: [fl-arm, f-beam]}}
mirror: [{from: fl-, to: fr-, across: y}, {from: f-, to: r-, across: x}]
`)
	assert.Equal(t, []string{"fr-arm", "f-beam"}, b.Item("fr-pivot").Texts("between"))
}

// A rod from one side to the other comes back: its mirror goes the other way.
func TestReferencesToTheFarSideComeBack(t *testing.T) {
	b := read(t, `parts: {fl-arm: {}, chassis: {}}
links: {fl-cross: {ends: {a: {on: fl-arm}, b: {on: fr-arm}}}}
mirror: [{from: fl-, to: fr-, across: y}]
`)
	a, _ := b.Item("fr-cross").Text("ends.a.on")
	far, _ := b.Item("fr-cross").Text("ends.b.on")
	assert.Equal(t, []string{"fr-arm", "fl-arm"}, []string{a, far})
}

func TestReferencesToOneSideOnlyAreRefused(t *testing.T) {
	const rod = `format: setdown/1
parts: {chassis: {}, fl-arm: {}, fr-box: {cg: [1, CG, 3]}}
links:
  fl-rod: {ends: {a: {on: fl-arm}, b: {on: fr-box}}}
MORE
mirror: [{from: fl-, to: fr-, across: y}]
`
	file := func(cg, more string) string { return strings.NewReplacer("CG", cg, "MORE", more).Replace(rod) }
	refused := func(text string) string {
		_, err := model.Read("b.yaml", []byte(text), model.Companions{})
		require.Error(t, err)
		return err.Error()
	}
	want := `b.yaml:4:44: fr-rod, the mirror of fl-rod, would go to "fr-box" as well, because there is no "fl-box" (list fl-box, or write this key at fr-rod)`
	assert.Equal(t, want, refused(file("-200", "")))

	for name, text := range map[string]string{
		"on the centre":           file("0", ""),
		"written at the mirror":   file("-200", "  fr-rod: {ends: {b: {on: chassis}}}"),
		"begins so by chance":     strings.NewReplacer("fl-", "l", "fr-box", "rack", "fr-", "r").Replace(file("10", "")),
		"by chance, no place":     strings.NewReplacer("fl-", "l", "fr-box", "rack", "fr-", "r", "cg: [1, CG, 3]", "").Replace(rod[:strings.Index(rod, "MORE")] + "mirror: [{from: l, to: r, across: y}]\n"),
		"centre without a prefix": strings.ReplaceAll(file("-200", ""), "fr-box", "box"),
	} {
		_, err := model.Read("b.yaml", []byte(text), model.Companions{})
		assert.NoError(t, err, name)
	}
	// Beginning so by chance is no excuse for lying at the side.
	assert.Contains(t, refused(strings.NewReplacer("fl-", "l", "fr-box", "rack", "fr-", "r").Replace(file("-200", ""))), `there is no "lack"`)
	// Without a place its id says where it belongs.
	assert.Contains(t, refused(strings.Replace(file("0", ""), "cg: [1, 0, 3]", "", 1)), `there is no "fl-box"`)
	// So does the walk-round place.
	assert.Contains(t, refused("places: [front-left, front-right]\n"+strings.Replace(file("0", ""), "cg: [1, 0, 3]", "place: front-right", 1)), `there is no "fl-box"`)
	// An end of a link is where its end is.
	assert.Contains(t, refused(file("0", "  fr-tie: {ends: {x: {on: chassis, at: [1, -9, 3]}, y: {on: fl-arm}}}\nfasteners: {fl-pin: {holds: [fr-tie/x, fr-tie/y]}}")), `there is no "fl-tie/x"`)
}

// The demos hold nothing that only another entry carries over: their mirrored
// items refer to what their own prefix makes, or to what the pattern refers to.
func TestDemosExpandAsEver(t *testing.T) {
	files, err := filepath.Glob("../testdata/builds/*-mended.yaml")
	require.NoError(t, err)
	found, err := filepath.Glob("../testdata/builds/*-asfound.yaml")
	require.NoError(t, err)
	copied := 0
	for _, file := range append(files, found...) {
		b, err := model.Load(file)
		require.NoError(t, err)
		own := strings.NewReplacer("fl-", "fr-", "rl-", "rr-", "stand-fl", "stand-fr")
		for _, item := range b.Of("links") {
			if item.MirroredFrom == "" {
				continue
			}
			ends, _ := b.Item(item.MirroredFrom).Record.Record("ends")
			for _, end := range ends.Names() {
				was, _ := ends.Text(end + ".on")
				is, _ := item.Text("ends." + end + ".on")
				assert.Equal(t, own.Replace(was), is, item.ID)
				copied++
			}
		}
	}
	assert.Greater(t, copied, 20)
}
