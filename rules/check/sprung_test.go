package check_test

import (
	"flag"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

const sprung = "../../testdata/sprung/special.yaml"

// sprungBuild is the four-corner demo on coil springs, in its short form.
func sprungBuild(t *testing.T) *model.Build {
	t.Helper()
	b, err := model.Load(sprung)
	require.NoError(t, err)
	return b
}

// TestSprungDemo judges the four-corner demo on its springs: hanging from frame stands, let down
// on its wheels, and standing on them, it is GO.
func TestSprungDemo(t *testing.T) {
	if flag.Lookup("update").Value.String() == "true" {
		stamp(t, sprung, "../../testdata/sprung/special.looks.yaml")
	}
	for _, m := range judge(t, rules(t), sprungBuild(t)).Moves {
		require.Equal(t, verdict.Go, m.Decision, "%s: %v", m.ID, said(m.Findings))
	}
}

// TestScales weighs the sprung demo: what four scales read is held against its masses.
func TestScales(t *testing.T) {
	e := rules(t)
	weighed := func(fl, fr, rl, rr float64) verdict.Move {
		b := sprungBuild(t)
		for id, kg := range map[string]float64{"fl-contact": fl, "fr-contact": fr, "rl-contact": rl, "rr-contact": rr} {
			found, _ := b.Item(id).Record.Record("found")
			found.Set("scale", schema.Value{V: quantity.Of(kg*9.80665, quantity.Force, "kg")})
		}
		return judge(t, e, b, "standing").Moves[0]
	}
	fine := weighed(81, 79, 132, 131)
	require.Equal(t, verdict.Go, fine.Decision, "%v", said(fine.Findings))
	support := fine.Steps[0].Supports[0]
	require.Equal(t, "81 kg", support.Scale.String())
	require.InDelta(t, 81, support.Sprung.Value, 0.5)
	require.InDelta(t, 50, fine.Steps[0].Cross.Value, 0.2)
	require.Equal(t, verdict.Go, weighed(91, 69, 122, 141).Decision, "a diagonal shifts with every millimetre of floor")
	for _, off := range [][4]float64{{95, 93, 150, 149}, {65, 63, 110, 109}, {100, 98, 113, 112}, {98, 62, 149, 114}} {
		m := weighed(off[0], off[1], off[2], off[3])
		require.Len(t, said(m.Findings), 1, "%v", off)
		require.Contains(t, said(m.Findings)[0], "scales-agree")
	}
}

// TestSprungFaults takes from the sprung demo what carries it, one thing at a time.
func TestSprungFaults(t *testing.T) {
	e := rules(t)
	for _, row := range []struct {
		item, field string
		v           any
		move, rule  string
	}{
		{"rl-spring", "rate", nil, "standing", "spring-bind"},
		{"rl-spring", "kind", nil, "standing", "spring-bind"},
		{"rl-spring", "solid_length", nil, "standing", "spring-bind"},
		{"rl-spring", "solid_length", quantity.Of(.240, quantity.Length, "mm"), "standing", "spring-bind"},
		{"rl-spring", "open_length", nil, "off-table-hanging", "spring-loose"},
		{"rl-spring", "open_length", quantity.Of(.490, quantity.Length, "mm"), "off-table-hanging", "spring-loose"},
		{"rl-spring", "found.seats", nil, "standing", "stands-on-springs"},
		{"rl-spring", "found.seats", quantity.Of(.120, quantity.Length, "mm"), "standing", "spring-pose-far"},
		{"rl-spring", "found.fitted", false, "standing", "spring-fitted"},
	} {
		b := sprungBuild(t)
		r, name := b.Item(row.item).Record, row.field
		if under, in, nested := strings.Cut(row.field, "."); nested {
			r, _ = r.Record(under)
			name = in
		}
		if row.v == nil {
			r.Delete(name)
		} else {
			r.Set(name, schema.Value{V: row.v})
		}
		m := judge(t, e, b, row.move).Moves[0]
		require.Equal(t, verdict.NoGo, m.Decision, "%s.%s", row.item, row.field)
		require.Contains(t, strings.Join(said(m.Findings), "\n"), row.rule+": ", "%s.%s", row.item, row.field)
	}
}
