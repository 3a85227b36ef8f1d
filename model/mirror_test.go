package model_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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
			if kind.Field("found") != nil {
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
	b = read(t, written+`ball_joints: {fl-nut: {torque: 75 N·m}, fr-nut: {torque: not sure, found: {fitted: yes}}}
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
