package facts

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/vehicle"
)

// bare is a fastener of which nothing but its thread is recorded, and its two neighbours: one
// with all that the test asks for, one with nothing.
func bare(t *testing.T) *Set {
	t.Helper()
	b, err := model.Read("bare.yaml", []byte(`format: setdown/1
vehicle: {name: bare}
fasteners:
  here: {thread: M10x1.5}
  full: {hole: 10.5 mm, torque: 60 N·m, shear_planes: 2}
  empty: {}
supports:
  stand: {kind: stand}
moves:
  rest: {kind: rest, steps: [{name: so, supports: [stand]}]}
`), model.Companions{})
	require.NoError(t, err)
	policy := schema.NewRecord(Policy.Fields, source.Span{})
	for _, f := range Policy.Fields {
		policy.Set(f.Name, schema.Value{V: quantity.Of(0.05, f.Dim, "")})
	}
	s := New(b, NewObject(Policy, "policy", policy), looks.Moment{Day: quantity.Date{Year: 2026, Month: 11, Day: 25}})
	return s.Step(s.Vehicle.Move(b.Item("rest")), 0)
}

// TestReader: what is missing makes a fact unknown with its paths, whatever the function returns;
// what may be missing, and what is not computed, are said by calls of their own.
func TestReader(t *testing.T) {
	set := bare(t)
	var items []*model.Item
	for _, o := range set.Items["fasteners"] {
		items = append(items, o.item)
	}
	number := func(f func(item) float64) fact { return measured("x", quantity.Number, "", f) }
	for name, c := range map[string]struct {
		fact fact
		want any
		why  *Unknown
	}{
		"recorded":              {number(func(it item) float64 { return threadOf.of(it).Diameter * 100 }), quantity.Of(1, quantity.Number, ""), nil},
		"not recorded":          {number(func(it item) float64 { return hole.of(it) + 1 }), nil, &Unknown{Missing: []string{"fasteners.here.hole"}}},
		"nothing but the paths": {yesNo("x", "", func(it item) bool { torqued.of(it); hole.of(it); hole.of(it); return true }), nil, &Unknown{Missing: []string{"fasteners.here.found.torqued", "fasteners.here.hole"}}},
		"may be missing":        {yesNo("x", "", func(it item) bool { _, stated := hole.ifStated(it); return stated }), false, nil},
		"preset":                {count("x", "", needed.of), int64(1), nil},
		"no such field":         {yesNo("x", "", func(it item) bool { _, stated := gapLeft.ifStated(it); return stated }), false, nil},
		"of another item":       {number(func(it item) float64 { return hole.of(it.of(items[1])) * 100 }), quantity.Of(1.05, quantity.Number, ""), nil},
		"missing of another":    {number(func(it item) float64 { return hole.of(it.of(items[2])) }), nil, &Unknown{Missing: []string{"fasteners.empty.hole"}}},
		"computed, not known":   {number(func(it item) float64 { return classOf.of(it).Yield }), nil, &Unknown{Missing: []string{"fasteners.here.found.class_mark"}}},
		"computed, and why not": {yesNo("x", "", func(it item) bool { _, unknown := classOf.why(it); return unknown != nil }), true, nil},
		"a reason":              {number(func(it item) float64 { it.not("too %s", "slender"); return 1 }), nil, &Unknown{Reason: "too slender"}},
		"first the reason":      {number(func(it item) float64 { it.not("too slender"); return hole.of(it) }), nil, &Unknown{Reason: "too slender"}},
		"first what is missing": {number(func(it item) float64 { defer it.not("too slender"); return hole.of(it) }), nil, &Unknown{Missing: []string{"fasteners.here.hole"}}},
		"no number":             {number(func(it item) float64 { return math.NaN() }), nil, &Unknown{Reason: "it came out as no number"}},
		"one of several is":     {yesNo("x", "", func(it item) bool { return anyOf(it, items, func(o item) bool { return shearPlanes.of(o) == 2 }) }), true, nil},
		"none of several is": {yesNo("x", "", func(it item) bool { return anyOf(it, items, func(o item) bool { return shearPlanes.of(o) == 1 }) }), nil,
			&Unknown{Missing: []string{"fasteners.empty.shear_planes", "fasteners.here.shear_planes"}}},
		"an unbalanced step": {number(func(it item) float64 { it.because(&vehicle.Unknown{Reason: "it falls", Falls: true}); return 1 }), nil, &Unknown{Reason: "it falls", Falls: true}},
	} {
		r := c.fact.compute(set.Items["fasteners"][0])
		assert.Equal(t, c.want, r.V, name)
		assert.Equal(t, c.why, r.Unknown, name)
	}
}

// TestReadOfNothing: a field that a kind does not have is a mistake of ours.
func TestReadOfNothing(t *testing.T) {
	o := bare(t).Items["fasteners"][0]
	wrong := measured("x", quantity.Length, "", gapLeft.of)
	assert.PanicsWithValue(t, `facts: fasteners has no field "found.gap_left"`, func() { wrong.compute(o) })
}

// TestGiven: an object that stands alone has the facts that it is given, and no others.
func TestGiven(t *testing.T) {
	o := NewObject(KindOf("fasteners"), "fasteners.x", nil)
	o.Derive("short_by", Known(int64(2)))
	v, unknown := o.Get("short_by")
	require.Nil(t, unknown)
	assert.Equal(t, int64(2), v)
	_, unknown = o.Get("all_fitted")
	assert.Equal(t, &Unknown{Reason: "not computed: as many are there as are needed"}, unknown)
	_, unknown = o.Get("thread")
	assert.Equal(t, &Unknown{Missing: []string{"fasteners.x.thread"}}, unknown)
	assert.Panics(t, func() { o.Derive("thread", Known(1)) })
	assert.Panics(t, func() { o.Get("nonsense") })
}
