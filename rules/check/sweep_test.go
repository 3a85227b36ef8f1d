package check_test

import (
	"flag"
	"fmt"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/engine"
	"setdown/rules/verdict"
)

// fault is one thing that goes wrong with an item, or one fact less about it.
type fault struct {
	name  string
	item  string
	spoil func(*model.Build)
}

// faults lists every single fault that the file can express: every found fact
// deleted, and every found fact made worse.
func faults(b *model.Build) []fault {
	var list []fault
	add := func(item *model.Item, what string, spoil func(*schema.Record)) {
		id := item.ID
		list = append(list, fault{name: id + ": " + what, item: id, spoil: func(c *model.Build) { spoil(c.Item(id).Record) }})
	}
	for _, kind := range schema.Kinds() {
		if kind.Single || kind.Field("found") == nil || kind.Name == "moves" {
			continue
		}
		for _, item := range b.Of(kind.Name) {
			found, ok := item.Record.Record("found")
			if !ok {
				continue
			}
			for _, name := range found.Names() {
				add(item, "found."+name+" not recorded", func(r *schema.Record) { inner(r).Delete(name) })
				for _, w := range worse(kind.Field("found").Field(name), found, item) {
					add(item, "found."+name+" is "+fmt.Sprint(w), func(r *schema.Record) { set(inner(r), name, w) })
				}
			}
		}
	}
	return list
}

func inner(r *schema.Record) *schema.Record {
	found, _ := r.Record("found")
	return found
}

func set(r *schema.Record, name string, v any) { r.Set(name, schema.Value{V: v}) }

// worse lists worse values of a recorded fact: the other side of a yes that is
// good, a word further down, a figure on the wrong side.
func worse(f *schema.Field, found *schema.Record, item *model.Item) []any {
	good := map[string]bool{
		"fitted": true, "lock_fitted": true, "marked": true, "inspected": true, "cold": true, "seated": true, "large_end_right": true,
		"body_held": true, "locked": true, "own_pin": true, "level": true, "contact": true, "padded": true, "bush_fitted": true, "kept": true,
		"bolt_slides": true, "sound": true, "in_groove": true, "retaining_washer": true, "witness_blocked": true, "tagged": true, "clear": true,
		"seats_match": true, "shaft_in": true, "hub_nut": true, "holds": true, "tied": true, "chocked": true, "held": true, "strapped": true,
		"arm_locks": true, "locks_down": true, "legs_locked": true, "slings_rated": true, "eye_sound": true, "rolls_free": true, "grain_flat": true,
	}
	v, _ := found.Lookup(f.Name)
	switch f.Type {
	case schema.Bool:
		if v.V == good[f.Name] {
			return []any{!good[f.Name]}
		}
	case schema.Enum:
		bad := map[string][]string{
			"made": {"none", "tack", "part"}, "tightness": {"loose", "finger", "snug"}, "jam_nuts": {"loose", "none"}, "lined_up": {"backed off"},
			"condition": {"bent", "cracked", "repaired", "worn", "recalled"}, "toes": {"rolled over"}, "adapters": {"none", "tack"},
			"floor": {"earth", "gravel"}, "stack": {"bricks", "logs", "column"}, "kept_by": {"a tack", "nothing"},
		}[f.Name]
		var list []any
		for _, w := range bad {
			if w != v.V {
				list = append(list, w)
			}
		}
		return list
	case schema.Count:
		if n := v.V.(int64); n > 0 && f.Name != "sides" {
			return []any{n - 1}
		}
	case schema.Quantity:
		q := v.V.(quantity.Quantity)
		low, high := q, q
		low.Value, high.Value = q.Value/2, q.Value*2
		switch f.Name {
		case "torqued":
			return []any{low, high}
		case "engaged", "made_length", "leg":
			return []any{low}
		case "undercut", "gap_left":
			high.Value += 0.003
			return []any{high}
		}
	}
	return nil
}

// long runs every fault; without it the tests take a sample.
var long = flag.Bool("long", false, "run every fault of the sweep, not a sample")

func held(m *verdict.Move) bool { return m.Decision == verdict.NoGo }

// TestSweep injects every single fault into every move of the mended
// demos. A fault may hold the move or not matter to it; it must never free a
// move that was held.
func TestSweep(t *testing.T) {
	e := rules(t)
	names := []string{"special-mended", "liveaxle-mended", "checklist-mended", "buggy-mended"}
	if testing.Short() {
		names = names[2:3]
	}
	for _, name := range names {
		t.Run(name, func(t *testing.T) { sweep(t, e, name) })
	}
}

func sweep(t *testing.T, e *engine.Engine, name string) {
	b := load(t, name)
	before := judge(t, e, b)
	all := faults(b)
	require.NotEmpty(t, all)
	stride := 1
	if !*long {
		stride = max(1, len(all)/12)
	}
	tried, heldBy, idle := 0, 0, 0
	for i := 0; i < len(all); i += stride {
		f := all[i]
		c := b.Clone()
		f.spoil(c)
		after := judge(t, e, c)
		for k := range after.Moves {
			m, was := &after.Moves[k], &before.Moves[k]
			tried++
			if held(was) && !held(m) {
				t.Errorf("%s frees %s", f.name, m.ID)
			}
			switch {
			case slices.ContainsFunc(m.Findings, func(x verdict.Finding) bool { return x.Blocks() && x.Item == f.item }):
				heldBy++
			case held(m) && !held(was):
				heldBy++
			default:
				idle++
			}
		}
	}
	t.Logf("%s: %d faults × moves tried, %d hold the move, %d do not matter in it", name, tried, heldBy, idle)
}
