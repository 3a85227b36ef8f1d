package jsonschema_test

import (
	"encoding/json"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gopkg.in/yaml.v3"

	"setdown/model/jsonschema"
	"setdown/model/source"
	"setdown/rules/pack"
	"setdown/rules/packs"
	"setdown/rules/verdict"
)

func TestBuiltInRulesFollowTheSchema(t *testing.T) {
	s := compile(t, jsonschema.Pack())
	n := 0
	require.NoError(t, fs.WalkDir(packs.FS, ".", func(path string, _ fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".yaml" {
			return err
		}
		text, err := fs.ReadFile(packs.FS, path)
		require.NoError(t, err)
		assert.NoError(t, s.Validate(instance(tree(t, text))), path)
		n++
		return nil
	}))
	assert.Greater(t, n, 50)
}

// unseen are parts of messages about what the schema of rule files cannot see.
var unseen = []string{
	"so mistakes in it would have no place", // quotes are gone once the file is read
	"appears twice here", "stands here twice", "a second rule is called", "anchors or aliases", "cannot begin with !", "the file holds nothing",
	"brace", "expression", "cannot be read as YAML", "more than one document", "is larger than", "UTF-8",
}

func TestRuleFilesAgree(t *testing.T) {
	s := compile(t, jsonschema.Pack())
	text, err := os.ReadFile("../../testdata/packs/good.yaml")
	require.NoError(t, err)
	values := []string{"", "~", "yes", "5", "text", "\"\"", "[]", "{}", "[a, b]", "[lower]", "{a: b}", "stop", "hold", "not recorded", "bolts as bolt", "bolts as step", "a-b", "A_b", "fit"}
	var count int
	var change func(root, n *yaml.Node)
	change = func(root, n *yaml.Node) {
		step := 1
		if n.Kind == yaml.MappingNode {
			step = 2
		}
		for i := 0; i < len(n.Content); i += step {
			at := i + step - 1
			kept := n.Content[at]
			for _, v := range values {
				n.Content[at] = tree(t, []byte("v: "+v)).Content[1]
				ruleAgrees(t, s.Validate, root, "line "+kept.Value+" set to "+v)
				count++
			}
			n.Content[at] = kept
			if step == 2 {
				name := n.Content[i].Value
				n.Content[i].Value = name + "x"
				ruleAgrees(t, s.Validate, root, name+" renamed")
				n.Content[i].Value = name
				all := n.Content
				n.Content = append(append([]*yaml.Node{}, all[:i]...), all[i+2:]...)
				ruleAgrees(t, s.Validate, root, name+" taken out")
				n.Content = all
			}
			change(root, kept)
		}
	}
	root := tree(t, text)
	change(root, root)
	assert.Greater(t, count, 500)
}

func ruleAgrees(t *testing.T, validate func(any) error, root *yaml.Node, what string) {
	t.Helper()
	text, err := yaml.Marshal(root)
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "own.yaml")
	require.NoError(t, os.WriteFile(file, text, 0o644))
	_, err = pack.LoadFile(file)
	refused := validate(instance(tree(t, text)))
	if err == nil {
		// Words of these keys are the engine's business, which refuses them later.
		if refused != nil && !strings.Contains(refused.Error(), "/in") && !strings.Contains(refused.Error(), "/phase") {
			t.Errorf("%s: the reader takes this, the schema must too: %v", what, refused)
		}
		return
	}
	var errs source.Errors
	if refused != nil || !errors.As(err, &errs) {
		return
	}
	for _, e := range errs {
		if !contains(e.Message, unseen) {
			t.Errorf("%s: the schema takes what the reader refuses: %v", what, e.Message)
		}
	}
}

func TestTheWordsAreThoseOfTheRules(t *testing.T) {
	var doc struct {
		Defs struct {
			Rule struct {
				Properties struct {
					Else struct{ Enum []string }
					Work struct {
						Properties struct{ Phase struct{ Enum []string } }
					}
					Examples struct {
						Items struct {
							Properties struct{ Expect struct{ Enum []string } }
						}
					}
				}
			}
		} `json:"$defs"`
	}
	require.NoError(t, json.Unmarshal(jsonschema.Pack(), &doc))
	rule := doc.Defs.Rule.Properties
	assert.ElementsMatch(t, append(pack.Severities, "hold"), rule.Else.Enum, "and the older word for stop")
	assert.Equal(t, verdict.Phases, rule.Work.Properties.Phase.Enum)
	assert.ElementsMatch(t, append(pack.Expected, "hold"), rule.Examples.Items.Properties.Expect.Enum)
}
