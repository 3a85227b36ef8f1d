package engine

import (
	"maps"
	"slices"
	"sync"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/env"
	"github.com/google/cel-go/common/operators"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/facts"
)

const lengthDim = quantity.Length

// Limits of one expression. No loop can be written, so the cost of an
// expression is known from its text and the lengths of lists and words.
const (
	maxCharacters = 4_000
	maxDepth      = 50
	maxCost       = 10_000
	maxList       = 1_000 // entries of a list that a fact holds
	maxWord       = 2_000 // characters of a text that a fact holds
)

// kindOf holds the descriptor of each kind of item, and of the policy.
var kindOf = sync.OnceValue(func() map[string]*descriptor {
	byName := map[string]*descriptor{}
	for name, k := range kinds() {
		byName[name] = describe(name, k.Fields)
	}
	return byName
})

// describedBy finds the descriptor of a type, or nil when it is none of an item.
func describedBy(t *cel.Type) *descriptor { return byType()[t.TypeName()] }

var byType = sync.OnceValue(func() map[string]*descriptor {
	all := map[string]*descriptor{}
	for _, d := range kindOf() {
		for _, inner := range d.all() {
			all[inner.TypeName()] = inner
		}
	}
	return all
})

// kinds are those of all items, and the policy, by their names.
var kinds = sync.OnceValue(func() map[string]*schema.Kind {
	byName := map[string]*schema.Kind{facts.Policy.Name: facts.Policy}
	for _, k := range facts.Kinds() {
		byName[k.Name] = k
	}
	return byName
})

// shared are the variables that every expression may read, with their kinds.
var shared = map[string]string{"step": "steps", "move": "moves", "vehicle": "vehicle", "site": "site", "policy": "policy"}

// today is the variable with the day of the check.
const today = "today"

// baseEnv is what all expressions share: types, operators and the variables
// that are the same for every rule.
var baseEnv = sync.OnceValues(func() (*cel.Env, error) {
	// Of the language's own operators only those stay that have nothing to do
	// with numbers. The rest is declared below for numbers and quantities alike,
	// so that 0.9 * torque is found as torque * 0.9 is.
	kept := env.NewLibrarySubset().SetDisableMacros(true).AddIncludedFunctions(
		env.NewFunction(operators.LogicalAnd), env.NewFunction(operators.LogicalOr), env.NewFunction(operators.LogicalNot),
		env.NewFunction(operators.Conditional), env.NewFunction(operators.Equals), env.NewFunction(operators.NotEquals),
		env.NewFunction(operators.In), env.NewFunction(operators.Index), env.NewFunction("contains"), env.NewFunction("startsWith"), env.NewFunction("endsWith"),
	)
	options := []cel.EnvOption{
		cel.StdLib(cel.StdLibSubset(kept)),
		cel.ParserExpressionSizeLimit(maxCharacters),
		cel.ParserRecursionLimit(maxDepth),
		cel.Variable(today, dateType),
	}
	for name, d := range kindOf() {
		for _, inner := range d.all() {
			options = append(options, cel.Types(inner))
		}
		for variable, kind := range shared {
			if kind == name {
				options = append(options, cel.Variable(variable, d.Type))
			}
		}
	}
	options = append(options, cel.Types(screwFields{threadType}))
	return cel.NewCustomEnv(append(options, operatorsOf()...)...)
})

// scope says what the expressions of a rule may read besides the shared
// variables: one item of a kind, or nothing when the kind is empty.
type scope struct {
	kind, variable string
	isText         bool // it may use the functions that make words
}

// env is the environment of the expressions in the scope.
func (s scope) env() (*cel.Env, error) {
	env, err := baseEnv()
	if err == nil && s.kind != "" {
		env, err = env.Extend(cel.Variable(s.variable, kindOf()[s.kind].Type))
	}
	if err == nil && s.isText {
		env, err = env.Extend(wording()...)
	}
	return env, err
}

// knows reports whether the expressions may name a variable.
func (s scope) knows(name string) bool {
	return shared[name] != "" || name == today || s.kind != "" && name == s.variable
}

// variables lists what the expressions may name.
func (s scope) variables() []string {
	list := append(slices.Collect(maps.Keys(shared)), today)
	if s.kind != "" {
		list = append(list, s.variable)
	}
	slices.Sort(list)
	return list
}
