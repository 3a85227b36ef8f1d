// Package packs holds the built-in rules, one file a rule, and the policy values.
package packs

import "embed"

// FS holds the packs: a folder each, and policy.yaml.
//
//go:embed */*.yaml policy.yaml
var FS embed.FS
