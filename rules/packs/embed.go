// Package packs holds the built-in rules, one file a rule, and the policy values.
package packs

import "embed"

// FS holds the packs: a folder each, and policy.yaml.
//
//go:embed */*.yaml policy.yaml
var FS embed.FS

// Stored holds the rules read beforehand, for pack.LoadStored, and Checked their
// expressions parsed and checked, for engine.NewChecked. Both are made of the files
// by 'go test ./rules/packs -run TestMadeBeforehand -update', and both are passed
// over where they cannot be read or do not fit the files: then the files are read and
// the expressions checked as ever.
var (
	//go:embed stored.bin
	Stored []byte
	//go:embed checked.bin
	Checked []byte
)
