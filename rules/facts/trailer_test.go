package facts_test

import (
	"fmt"
	"math"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/rules/engine"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/packs"
)

// trailer is a frame on two stands and on an arm that a bar props: an invented
// vehicle small enough to follow by hand. The frame weighs 100 kg with its centre
// of gravity 1 m ahead of the arm's pivots and 1 m behind the stands.
const trailer = `format: setdown/1
vehicle: {name: trailer, built_on: frame}
parts:
  frame: {mass: 100 kg, cg: [1000, 0, 500], role: frame}
  arm: {mass: 0 kg, cg: [-300, 0, 300], role: arm}
joints:
  pivot-left: {kind: spherical bearing, between: [arm, frame], at: [0, 300, 300], axis: [0, 1, 0]}
  pivot-right: {kind: spherical bearing, between: [arm, frame], at: [0, -300, 300], axis: [0, 1, 0]}
links:
  bar: {role: strut, ends: {top: {on: frame, at: [-300, 0, 800]}, bottom: {on: arm, at: [-300, 0, 300]}}, found: {fitted: yes}}
supports:
  left: {kind: stand, under: frame, at: [2000, 400, 300], rated: 1 t, rated_per: each}
  right: {kind: stand, under: frame, at: [2000, -400, 300], rated: 1 t, rated_per: each}
  under-arm: {kind: crib, under: arm, at: [-600, 0, 300], rated: 1 t, rated_per: each}
restraints:
  strap: {ties: [arm], to: frame, kind: strap, rated: 500 kg, found: {fitted: yes, sound: yes}}
moves:
  rest: {kind: rest, steps: [{name: on three, supports: [left, right, under-arm]RESTRAINTS}]}
`

// policy is that of the built-in rules, read once.
var policy = sync.OnceValues(func() (*facts.Object, error) {
	all, err := pack.LoadFS(packs.FS, ".")
	if err != nil {
		return nil, err
	}
	e, err := engine.New(all)
	if err != nil {
		return nil, err
	}
	return e.Policy(), nil
})

func steps(t *testing.T, text string) []*facts.Set {
	t.Helper()
	b, err := model.Read("test.yaml", []byte(text), model.Companions{})
	require.NoError(t, err)
	p, err := policy()
	require.NoError(t, err)
	state := facts.New(b, p, looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: 25}})
	move := state.Vehicle.Move(b.Item("rest"))
	var sets []*facts.Set
	for i := range move.Steps {
		sets = append(sets, state.Step(move, i))
	}
	return sets
}

func item(t *testing.T, s *facts.Set, kind, id string) *facts.Object {
	t.Helper()
	for _, o := range s.Items[kind] {
		if o.Path == kind+"."+id {
			return o
		}
	}
	t.Fatalf("no %s %s", kind, id)
	return nil
}

func text(t *testing.T, o *facts.Object, name string) string {
	t.Helper()
	v, unknown := o.Get(name)
	require.Nil(t, unknown, "%s.%s: %+v", o.Path, name, unknown)
	return fmt.Sprint(v)
}

// TestTrailerByHand retraces the forces with moments about one axis. Straight
// down the crib carries W·1000/2600; about the pivots the bar then carries
// 600/300 of that, as a push.
func TestTrailerByHand(t *testing.T) {
	s := steps(t, strings.Replace(trailer, "RESTRAINTS", "", 1))[0]
	weight := 100 * 9.80665
	crib := weight * 1000 / 2600
	require.InDelta(t, crib, value(t, item(t, s, "supports", "under-arm"), "reaction"), 1e-6)
	require.InDelta(t, -2*crib, s.Now.Link(s.Now.Vehicle.Build.Item("bar")).Nominal, 1e-6)
	bar := item(t, s, "links", "bar")
	require.Equal(t, "vehicle", text(t, bar, "carries"))
	require.Equal(t, "falls", text(t, bar, "lets_go"))
	push, unknown := bar.Quantity("compression")
	require.Nil(t, unknown)
	require.Greater(t, push.Value, 2*crib, "the sideways push adds to it")
}

// TestStrapCarriesNoVehicle ties the arm to the frame with a strap. The crib
// stands under the arm, so the strap must not take over what the bar carries.
func TestStrapCarriesNoVehicle(t *testing.T) {
	s := steps(t, strings.Replace(trailer, "RESTRAINTS", ", restraints: [strap]", 1))[0]
	require.Equal(t, "falls", text(t, item(t, s, "links", "bar"), "lets_go"))
	require.Equal(t, "false", text(t, item(t, s, "restraints", "strap"), "used"))
}

// TestTiedUpCarriesNothing takes the crib away from the arm: tied up, the arm
// loads neither its bar nor its pivots.
func TestTiedUpCarriesNothing(t *testing.T) {
	free := strings.Replace(trailer, "under: arm, at: [-600, 0, 300]", "under: frame, at: [-600, 0, 300]", 1)
	free = strings.Replace(free, "arm: {mass: 0 kg", "arm: {mass: 10 kg", 1)
	s := steps(t, strings.Replace(free, "RESTRAINTS", "", 1))[0]
	require.Equal(t, "drops", text(t, item(t, s, "links", "bar"), "lets_go"))
	s = steps(t, strings.Replace(free, "RESTRAINTS", ", restraints: [strap]", 1))[0]
	for kind, id := range map[string]string{"links": "bar", "joints": "pivot-left"} {
		require.Equal(t, "nothing", text(t, item(t, s, kind, id), "carries"), id)
	}
	load, unknown := item(t, s, "restraints", "strap").Quantity("load")
	require.Nil(t, unknown)
	require.InDelta(t, 2*10*9.80665, load.Value, 1e-6, "at 60 degrees from the plumb line")
}

// TestMissingPlaces takes facts away one at a time: what needs them is unknown
// and names them, and nothing is taken as carrying nothing.
func TestMissingPlaces(t *testing.T) {
	whole := strings.Replace(trailer, "RESTRAINTS", "", 1)
	for cut, path := range map[string]string{
		", at: [0, 300, 300], axis: [0, 1, 0]}": "joints.pivot-left.at",
		", cg: [1000, 0, 500]":                  "parts.frame.cg",
		"mass: 100 kg, ":                        "parts.frame.mass",
		", at: [2000, 400, 300]":                "supports.left.at",
		", at: [-300, 0, 800]":                  "links.bar.ends.top.at",
	} {
		with := ""
		if strings.HasSuffix(cut, "}") {
			with = "}"
		}
		require.Contains(t, whole, cut)
		s := steps(t, strings.Replace(whole, cut, with, 1))[0]
		for _, fact := range []string{"carries", "carrying", "load", "compression"} {
			_, unknown := item(t, s, "links", "bar").Get(fact)
			require.NotNil(t, unknown, "%s without %s", fact, path)
			require.Contains(t, unknown.Missing, path, fact)
		}
	}
}

// TestDoubtfulTogether has two bars, each of which could do alone. Neither is
// known to be fitted, so both count as carrying.
func TestDoubtfulTogether(t *testing.T) {
	two := strings.Replace(strings.Replace(trailer, "RESTRAINTS", "", 1), ", found: {fitted: yes}}\nsupports", "}\nsupports", 1)
	two = strings.Replace(two, "supports:", "  bar-2: {role: strut, ends: {top: {on: frame, at: [-300, 100, 800]}, bottom: {on: arm, at: [-300, 100, 300]}}}\nsupports:", 1)
	s := steps(t, two)[0]
	for _, id := range []string{"bar", "bar-2"} {
		require.Equal(t, "vehicle", text(t, item(t, s, "links", id), "carries"), id)
	}
}

// TestPitch raises the nose: seen along gravity the centre of gravity moves back by
// its height above the supports times the tangent (small angle, exact here).
func TestPitch(t *testing.T) {
	level := steps(t, strings.Replace(trailer, "RESTRAINTS", "", 1))[0]
	raised := steps(t, strings.Replace(trailer, "RESTRAINTS", ", pitch: 6 deg", 1))[0]
	crib := func(s *facts.Set) float64 { return value(t, item(t, s, "supports", "under-arm"), "reaction") }
	// Moments about the stands' line: W·(1000 + 200·tan 6°) = crib·2600.
	want := 100 * 9.80665 * (1000 + 200*math.Tan(6*math.Pi/180)) / 2600
	require.InDelta(t, want, crib(raised), 1e-6)
	require.Greater(t, crib(raised), crib(level))
}

// TestMirrorOffsetAcrossItsOwnPlane: what is mirrored front to rear is held against its mirror image
// there, and moved by 3 mm it is 3 mm off.
func TestMirrorOffsetAcrossItsOwnPlane(t *testing.T) {
	for across, at := range map[string]string{"x": "[-400, 30, 500]", "y": "[400, -30, 500]", "z": "[400, 30, -500]"} {
		file := `format: setdown/1
parts: {frame: {}, a-arm: {}}
joints:
  a-pivot: {kind: pivot, between: [a-arm, frame], at: [400, 30, 500]}
  b-pivot: {at: MOVED}
  d-pivot: {kind: pivot, between: [a-arm, frame], at: [400, 30, 500]}
supports: {stand: {kind: stand, under: frame}}
moves: {rest: {kind: rest, steps: [{name: up, supports: [stand]}]}}
mirror: [{from: a-, to: b-, across: ` + across + `}, {from: d-, to: e-, across: ` + across + "}]\n"
		file = strings.Replace(file, "MOVED", strings.Replace(at, "30", "33", 1), 1)
		s := steps(t, file)[0]
		for _, id := range []string{"a-pivot", "b-pivot"} {
			require.InDelta(t, 0.003, value(t, item(t, s, "joints", id), "mirror_offset"), 1e-9, "%s across %s", id, across)
		}
		require.Zero(t, value(t, item(t, s, "joints", "e-pivot"), "mirror_offset"), across)
	}
}
