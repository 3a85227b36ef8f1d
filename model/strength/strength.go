// Package strength holds the methods that say what a part bears: one method a
// file, each with its equation, symbols, units, domain and source, and each
// checked against published values in testdata/published.
//
// Numbers in, numbers and errors out, in SI units: m, N, Pa, rad. A strength is
// the force at which the part yields, buckles or reaches its maker's rating. It
// holds no design factor: whoever compares it with a load multiplies the load.
// Outside the domain of a method the answer is an error and never a number.
package strength

import (
	"fmt"
	"math"
)

// Result is a strength and how it was found, so complete that it can be retraced
// by hand.
type Result struct {
	Value       float64 // N, or Pa where the method says so
	Method      string
	Source      string
	Assumptions []string
	Working     []Step
}

// Step is a named intermediate figure in the unit in which a person would
// calculate.
type Step struct {
	Name  string
	Value float64
	Unit  string
}

// DomainError says that a method does not apply.
type DomainError struct{ Method, Why string }

func (e *DomainError) Error() string { return e.Method + " does not apply: " + e.Why }

func outside(method, format string, args ...any) error {
	return &DomainError{method, fmt.Sprintf(format, args...)}
}

// positive fails when a measure is not a number above zero.
func positive(names string, values ...float64) error {
	for _, v := range values {
		if !(v > 0) || math.IsInf(v, 0) {
			return fmt.Errorf("%s: a measure is not above zero", names)
		}
	}
	return nil
}

// finite fails when a force or moment, which may be zero or less, is no number.
func finite(names string, values ...float64) error {
	for _, v := range values {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%s: a force or moment is not a number", names)
		}
	}
	return nil
}

func mm(m float64) float64   { return m * 1e3 }
func mm2(m2 float64) float64 { return m2 * 1e6 }
func mpa(pa float64) float64 { return pa * 1e-6 }
