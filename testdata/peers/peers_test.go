package peers

import (
	"context"
	"encoding/json"
	"strconv"
	"syscall"
	"testing"
	"time"

	"github.com/expr-lang/expr/vm"
)

const items = 200

// BenchmarkPeers judges five rules over 200 fasteners that are as they should be.
// 'cpu-ns/verdict' is the processor time of one rule on one item, garbage collection
// included; other work on the machine disturbs it less than the clock.
func BenchmarkPeers(b *testing.B) { peers(b, bolts(items, false)) }

// BenchmarkFaulty does the same with one fastener in ten faulty. Our engine's time then
// holds the words and the evidence of what failed; the others only count.
func BenchmarkFaulty(b *testing.B) { peers(b, bolts(items, true)) }

func peers(b *testing.B, list []bolt) {
	ctx := context.Background()
	want := 0
	for i := range list {
		want += byHand(&list[i])
	}
	per := func(b *testing.B, judge func() int) {
		if got := judge(); got != want {
			b.Fatalf("%d failed, want %d", got, want)
		}
		b.ReportAllocs()
		before := cpu()
		for b.Loop() {
			judge()
		}
		b.ReportMetric(float64(cpu()-before)/float64(b.N)/float64(len(list)*len(ids)), "cpu-ns/verdict")
	}
	must := func(err error) {
		if err != nil {
			b.Fatal(err)
		}
	}
	b.Run("by-hand", func(b *testing.B) {
		per(b, func() (n int) {
			for i := range list {
				n += byHand(&list[i])
			}
			return n
		})
	})
	b.Run("ours", func(b *testing.B) {
		e, set, err := ours(list)
		must(err)
		per(b, func() int { return byOurs(ctx, e, set) })
	})
	b.Run("expr", func(b *testing.B) {
		programs, err := exprPrograms()
		must(err)
		var machine vm.VM
		per(b, func() int {
			n, err := byExpr(programs, &machine, list)
			must(err)
			return n
		})
	})
	b.Run("opa", func(b *testing.B) {
		q, err := policyQuery(ctx)
		must(err)
		input := make([]any, len(list))
		for i, x := range list {
			input[i] = plain(b, x)
		}
		per(b, func() int {
			n, err := byPolicy(ctx, q, input)
			must(err)
			return n
		})
	})
}

// BenchmarkItems shows how the engine's cost grows with the number of items.
func BenchmarkItems(b *testing.B) {
	ctx := context.Background()
	for _, n := range []int{50, 200, 800, 3200} {
		e, set, err := ours(bolts(n, false))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(strconv.Itoa(n), func(b *testing.B) {
			before := cpu()
			for b.Loop() {
				byOurs(ctx, e, set)
			}
			b.ReportMetric(float64(cpu()-before)/float64(b.N)/float64(n*len(ids)), "cpu-ns/verdict")
		})
	}
}

// cpu is the processor time that this process has used so far.
func cpu() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// plain turns a fastener into maps, as the policy engine wants it.
func plain(b *testing.B, x bolt) (m map[string]any) {
	text, err := json.Marshal(x)
	if err == nil {
		err = json.Unmarshal(text, &m)
	}
	if err != nil {
		b.Fatal(err)
	}
	return m
}
