// Package packs holds the built-in rules, one file a rule, and the policy values.
package packs

import "embed"

// FS holds the packs: a folder each, and policy.yaml.
//
//go:embed */*.yaml policy.yaml
var FS embed.FS

// Checked holds the expressions of the rules, parsed and checked beforehand, for
// engine.NewChecked. 'go test ./rules/packs -run TestChecked -update' makes it anew.
//
//go:embed checked.bin
var Checked []byte
