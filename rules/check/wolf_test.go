package check_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// shorts are the mended demos of the second format, beside those of the first.
var shorts = []string{"../short/special-mended", "../short/checklist-mended"}

// TestNoWolf varies the mended demos, long and short, within what a builder would call fine.
// Every move that is GO must stay GO: a tool that cries wolf is ignored.
func TestNoWolf(t *testing.T) {
	e := rules(t)
	times := 2
	if *long {
		times = 100
	}
	tried, cried := 0, 0
	for _, name := range slices.Concat(mended, shorts) {
		b := load(t, name)
		var moves []string
		for _, m := range judge(t, e, b).Moves {
			if m.Decision == verdict.Go {
				moves = append(moves, m.ID)
			}
		}
		for i := range times {
			c := b.Clone()
			vary(c, rand.New(rand.NewPCG(7, uint64(i))))
			for _, m := range judge(t, e, c, moves...).Moves {
				tried++
				if !assert.Equal(t, verdict.Go, m.Decision, "%s, variation %d, %s: %v", name, i, m.ID, blocking(&m)) {
					cried++
				}
			}
		}
	}
	t.Logf("%d moves of varied states that are fine, %d of them wrongly NO-GO", tried, cried)
}

// TestCraneBesideTheMove has a crane that is not in order beside a move in which it lifts
// nothing: the engine is off from the first step to the last.
func TestCraneBesideTheMove(t *testing.T) {
	for move, want := range map[string]verdict.Decision{"dolly-engine-out": verdict.Go, "engine-out-far": verdict.NoGo} {
		b := load(t, "buggy-mended")
		crane, _ := b.Item("engine-crane").Record.Record("found")
		crane.Set("eye_sound", schema.Value{V: false})
		m := judge(t, rules(t), b, move).Moves[0]
		assert.Equal(t, want, m.Decision, "%s: %v", move, blocking(&m))
	}
}

func blocking(m *verdict.Move) []string {
	var list []string
	for _, f := range m.Findings {
		if f.Blocks() {
			list = append(list, fmt.Sprintf("%s (%s)", f.Say, f.Rule))
		}
	}
	return list
}

// ofToday are the kinds that are looked at on the day of the move.
var ofToday = []string{"vehicle", "site", "moves", "supports", "restraints", "hoists", "dollies", "cranes"}

// vary changes masses by up to 2 %, places by up to 2 mm along each axis, torques to
// 0.95 to 1.1 of the wanted ones, ages to 0 to 6 days but of what is looked at
// on the day, threads past the nut to 2 to 4,
// engaged threads by up to 1 mm more. What is measured on the vehicle follows from the
// places, so that the bars keep the length that was measured between their ends.
func vary(b *model.Build, r *rand.Rand) {
	between := func(low, high float64) float64 { return low + r.Float64()*(high-low) }
	for _, kind := range schema.Kinds() {
		if kind.Found() == nil {
			continue
		}
		for _, item := range b.Of(kind.Name) {
			moved(item.Record, "at", between)
			moved(item.Record, "cg", between)
			if kind.Name == "parts" {
				scale(item.Record, "mass", between(0.98, 1.02))
			}
			found, ok := item.Record.Record("found")
			if !ok {
				continue
			}
			if slices.Contains(found.Names(), "on") && !slices.Contains(ofToday, kind.Name) {
				found.Set("on", schema.Value{V: daysAgo(r.IntN(7))})
			}
			if slices.Contains(found.Names(), "torqued") && slices.Contains(item.Names(), "torque") {
				q, _ := item.Quantity("torque")
				q.Value *= between(0.95, 1.1)
				found.Set("torqued", schema.Value{V: q})
			}
			if found.Field("threads_past") != nil && slices.Contains(found.Names(), "threads_past") {
				found.Set("threads_past", schema.Value{V: int64(2 + r.IntN(3))})
			}
			if kind.Name == "links" {
				varyLink(item, found, between)
			}
		}
	}
}

func varyLink(item *model.Item, found *schema.Record, between func(low, high float64) float64) {
	if ends, ok := item.Record.Record("ends"); ok {
		var at []schema.Vec
		for _, name := range ends.Names() {
			end, _ := ends.Record(name)
			moved(end, "at", between)
			if v, ok := end.Vec("at"); ok {
				at = append(at, v)
			}
		}
		if q, ok := found.Quantity("length"); ok && len(at) == 2 {
			dx, dy, dz := at[0].X-at[1].X, at[0].Y-at[1].Y, at[0].Z-at[1].Z
			q.Value = math.Sqrt(dx*dx+dy*dy+dz*dz) + between(-0.0005, 0.0005)
			found.Set("length", schema.Value{V: q})
		}
	}
	if list, ok := found.List("engaged"); ok {
		list = slices.Clone(list)
		for i := range list {
			q := list[i].V.(quantity.Quantity)
			q.Value += between(0, 0.001)
			list[i].V = q
		}
		found.Set("engaged", schema.Value{V: list})
	}
}

func moved(r *schema.Record, name string, between func(low, high float64) float64) {
	if !slices.Contains(r.Names(), name) {
		return
	}
	v, _ := r.Vec(name)
	const far = 0.002
	v.X, v.Y, v.Z = v.X+between(-far, far), v.Y+between(-far, far), v.Z+between(-far, far)
	r.Set(name, schema.Value{V: v})
}

// daysAgo is a day before today.
func daysAgo(n int) quantity.Date {
	d := time.Date(today.Year, today.Month, today.Day-n, 0, 0, 0, 0, time.UTC)
	return quantity.Date{Year: d.Year(), Month: d.Month(), Day: d.Day()}
}
