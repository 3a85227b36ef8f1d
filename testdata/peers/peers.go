// Package peers measures the rule engine beside two general expression engines and
// beside hand-written Go: the same five rules over the same 200 fasteners. It is a
// module of its own, so that what it needs is no dependency of the program.
package peers

import (
	"context"
	"fmt"
	"slices"

	"github.com/expr-lang/expr"
	"github.com/expr-lang/expr/vm"
	"github.com/open-policy-agent/opa/v1/rego"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/rules/engine"
	"setdown/rules/facts"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

// ids are the rules that every engine judges.
var ids = []string{"fastener-fitted", "fastener-tight", "fastener-torque", "fastener-lock", "thread-past-nut"}

// bolt is one fastener as plain data, every fact known.
type bolt struct {
	ID              string  `json:"id" expr:"id"`
	Carrying        bool    `json:"carrying" expr:"carrying"`
	AllFitted       bool    `json:"all_fitted" expr:"all_fitted"`
	Suspension      bool    `json:"suspension" expr:"suspension"`
	ClampsBush      bool    `json:"clamps_bonded_bush" expr:"clamps_bonded_bush"`
	Tapped          bool    `json:"tapped" expr:"tapped"`
	LockCounts      bool    `json:"lock_counts" expr:"lock_counts"`
	LockFitted      bool    `json:"lock_fitted" expr:"lock_fitted"`
	TorqueShare     float64 `json:"torque_share" expr:"torque_share"`
	ThreadsPast     float64 `json:"threads_past" expr:"threads_past"`
	Tightness       string  `json:"tightness" expr:"tightness"`
	OnWheels        bool    `json:"on_wheels" expr:"on_wheels"`
	OnHoist         bool    `json:"on_hoist" expr:"on_hoist"`
	Move            string  `json:"move" expr:"move"`
	LeastTorquePart float64 `json:"least" expr:"least"`
}

// bolts makes n fasteners, all as they should be or one in ten with something wrong.
func bolts(n int, faulty bool) []bolt {
	list := make([]bolt, n)
	for i := range list {
		list[i] = bolt{
			ID: fmt.Sprintf("bolt-%d", i), Carrying: true, AllFitted: true, Suspension: true, LockCounts: true, LockFitted: true,
			TorqueShare: 1, ThreadsPast: 3, Tightness: "torqued", OnWheels: true, Move: "lower", LeastTorquePart: 0.9,
		}
		if !faulty {
			continue
		}
		switch i % 50 {
		case 3:
			list[i].AllFitted = false
		case 13:
			list[i].TorqueShare = 0.5
		case 23:
			list[i].LockFitted = false
		case 33:
			list[i].ThreadsPast = 0
		case 43:
			list[i].Carrying = false
		}
	}
	return list
}

// byHand judges one fastener in plain Go; it returns how many rules fail.
func byHand(b *bolt) (failed int) {
	if !b.Carrying {
		return 0
	}
	if !b.AllFitted {
		return 1
	}
	slack := b.Tightness == "loose" || b.Tightness == "finger" || b.Tightness == "snug"
	if !b.ClampsBush && b.Tightness != "torqued" && b.TorqueShare < b.LeastTorquePart {
		failed++
	}
	if b.Suspension && !b.ClampsBush && !slack && b.TorqueShare < b.LeastTorquePart {
		failed++
	}
	if (b.OnWheels || b.OnHoist || b.Move == "roll") && !(b.LockCounts && b.LockFitted) {
		failed++
	}
	if !b.Tapped && b.ThreadsPast < 1 {
		failed++
	}
	return failed
}

// exprRules are the rules as 'it does not apply, or it must'.
var exprRules = []string{
	`!carrying || all_fitted`,
	`!(carrying && all_fitted && !clamps_bonded_bush) || tightness == "torqued" || torque_share >= least`,
	`!(carrying && all_fitted && suspension && !clamps_bonded_bush && !(tightness in ["loose", "finger", "snug"])) || torque_share >= least`,
	`!(carrying && all_fitted && (on_wheels || on_hoist || move == "roll")) || lock_counts && lock_fitted`,
	`!(carrying && all_fitted && !tapped) || threads_past >= 1.0`,
}

func exprPrograms() ([]*vm.Program, error) {
	var list []*vm.Program
	for _, text := range exprRules {
		p, err := expr.Compile(text, expr.Env(&bolt{}), expr.AsBool())
		if err != nil {
			return nil, err
		}
		list = append(list, p)
	}
	return list, nil
}

func byExpr(programs []*vm.Program, machine *vm.VM, list []bolt) (failed int, err error) {
	for i := range list {
		for _, p := range programs {
			v, err := machine.Run(p, &list[i])
			if err != nil {
				return 0, err
			}
			if v == false {
				failed++
			}
		}
	}
	return failed, nil
}

// policy is the same rules for the policy engine: one query gives all that fails.
const policy = `package setdown
import rego.v1

failed contains [b.id, "fitted"] if { some b in input; b.carrying; not b.all_fitted }
failed contains [b.id, "tight"] if {
	some b in input; b.carrying; b.all_fitted; not b.clamps_bonded_bush; b.tightness != "torqued"; b.torque_share < b.least
}
failed contains [b.id, "torque"] if {
	some b in input; b.carrying; b.all_fitted; b.suspension; not b.clamps_bonded_bush
	not b.tightness in ["loose", "finger", "snug"]; b.torque_share < b.least
}
failed contains [b.id, "lock"] if { some b in input; b.carrying; b.all_fitted; needs_lock(b); not locked(b) }
failed contains [b.id, "past"] if { some b in input; b.carrying; b.all_fitted; not b.tapped; b.threads_past < 1 }

needs_lock(b) if b.on_wheels
needs_lock(b) if b.on_hoist
needs_lock(b) if b.move == "roll"
locked(b) if { b.lock_counts; b.lock_fitted }
`

func policyQuery(ctx context.Context) (rego.PreparedEvalQuery, error) {
	return rego.New(rego.Query("data.setdown.failed"), rego.Module("setdown.rego", policy)).PrepareForEval(ctx)
}

func byPolicy(ctx context.Context, q rego.PreparedEvalQuery, input any) (failed int, err error) {
	r, err := q.Eval(ctx, rego.EvalInput(input))
	if err != nil {
		return 0, err
	}
	return len(r[0].Expressions[0].Value.([]any)), nil
}

// ours makes the engine with those rules alone, and the facts of one step.
func ours(list []bolt) (*engine.Engine, *facts.Set, error) {
	all, err := pack.LoadFS(packs.FS, ".")
	if err != nil {
		return nil, nil, err
	}
	for _, p := range all {
		p.Rules = slices.DeleteFunc(p.Rules, func(r *pack.Rule) bool { return !slices.Contains(ids, r.ID) })
	}
	e, err := engine.New(all)
	if err != nil {
		return nil, nil, err
	}
	move := facts.KindOf("moves")
	record := schema.NewRecord(move.Fields, source.Span{})
	record.Set("kind", schema.Value{V: "lower"})
	step := facts.NewObject(facts.KindOf("steps"), "step", nil)
	step.Derive("on_wheels", facts.Known(true))
	step.Derive("on_hoist", facts.Known(false))
	set := &facts.Set{
		Move: facts.NewObject(move, "moves.m", record), Step: step,
		Vehicle: facts.NewObject(facts.KindOf("vehicle"), "vehicle", nil), Site: facts.NewObject(facts.KindOf("site"), "site", nil),
		Policy: e.Policy(), Items: map[string][]*facts.Object{}, Today: quantity.Date{Year: 2026, Month: 11, Day: 25},
	}
	kind := facts.KindOf("fasteners")
	for i := range list {
		b := &list[i]
		r := schema.NewRecord(kind.Fields, source.Span{})
		found := schema.NewRecord(kind.Found().Fields, source.Span{})
		found.Set("tightness", schema.Value{V: b.Tightness})
		found.Set("lock_fitted", schema.Value{V: b.LockFitted})
		r.Set("found", schema.Value{V: found})
		o := facts.NewObject(kind, "fasteners."+b.ID, r)
		for name, v := range map[string]any{
			"id": b.ID, "carrying": b.Carrying, "all_fitted": b.AllFitted, "suspension": b.Suspension, "clamps_bonded_bush": b.ClampsBush,
			"tapped": b.Tapped, "lock_counts": b.LockCounts, "torque_share": quantity.Of(b.TorqueShare, quantity.Number, ""),
			"threads_past": quantity.Of(b.ThreadsPast, quantity.Number, ""),
		} {
			o.Derive(name, facts.Known(v))
		}
		set.Items["fasteners"] = append(set.Items["fasteners"], o)
	}
	return e, set, nil
}

func byOurs(ctx context.Context, e *engine.Engine, set *facts.Set) (failed int) {
	for _, r := range e.Judge(ctx, set) {
		if r.Outcome != verdict.Pass {
			failed++
		}
	}
	return failed
}
