package jsonschema

import (
	_ "embed"
	"slices"
)

//go:embed pack.schema.json
var pack []byte

// Pack returns the schema of rule files: of a file with one rule, of the file
// that describes a pack, of the policy, and of a builder's own file with rules.
// Expressions are text to it: only the program knows what they mean.
func Pack() []byte { return slices.Clone(pack) }
