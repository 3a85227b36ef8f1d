package engine

import (
	"bytes"
	"crypto/sha256"
	"encoding/gob"
	"encoding/hex"
	"fmt"
	"io"
	"maps"
	"slices"
	"sync"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/ast"
	exprpb "google.golang.org/genproto/googleapis/api/expr/v1alpha1"
	"google.golang.org/protobuf/proto"

	"setdown/model/schema"
	"setdown/rules/pack"
)

// Parsing and checking the built-in expressions takes a good part of a run that
// lives for a tenth of a second, and comes out the same each time. So it is done
// beforehand and kept. What is kept is found by all that checking depends on: the
// text, what it may read, and the table of facts. A rule that is new or was
// changed since is not found, and is parsed and checked as ever.

// stored is the form in which checked expressions are kept.
type stored struct {
	Facts string // fingerprint of the table of facts they were checked against
	Trees []tree // sorted
}

// tree is one checked expression, as a message of the expression language.
type tree struct {
	Key   string
	Bytes []byte
}

// key names an expression by what it may read, the type that is wanted, and its text.
func key(s scope, src *pack.Expr, want *cel.Type) string {
	return fmt.Sprintf("%s %s %v %s", s.kind, s.variable, want, src.Text)
}

// Checked returns the checked expressions of all rules, for NewChecked. Every rule
// must compile.
func (e *Engine) Checked() ([]byte, error) {
	if err := e.CompileAll(); err != nil {
		return nil, err
	}
	all := map[string][]byte{}
	for _, u := range e.units {
		programs := append(slices.Collect(maps.Values(u.texts)), u.when, u.must)
		for _, p := range programs {
			if p == nil {
				continue
			}
			message, err := ast.ToProto(p.tree)
			if err != nil {
				return nil, fmt.Errorf("rule %s: %w", u.rule.ID, err)
			}
			if all[key(u.scope, p.src, p.want)], err = (proto.MarshalOptions{Deterministic: true}).Marshal(message); err != nil {
				return nil, fmt.Errorf("rule %s: %w", u.rule.ID, err)
			}
		}
	}
	s := stored{Facts: tableHash()}
	for _, k := range slices.Sorted(maps.Keys(all)) {
		s.Trees = append(s.Trees, tree{k, all[k]})
	}
	var b bytes.Buffer
	err := gob.NewEncoder(&b).Encode(s)
	return b.Bytes(), err
}

// NewChecked is New with expressions that Checked gave. What is not among them, was
// checked against another table of facts, or cannot be read is compiled from its text.
func NewChecked(packs []*pack.Pack, checked []byte) (*Engine, error) {
	var s stored
	err := gob.NewDecoder(bytes.NewReader(checked)).Decode(&s)
	known := &trees{bytes: map[string][]byte{}, ready: map[string]*program{}}
	if err == nil && s.Facts == tableHash() { // an error may leave half of it read
		for _, t := range s.Trees {
			known.bytes[t.Key] = t.Bytes
		}
	}
	return assemble(packs, known)
}

// trees are checked expressions, and the programs that were made of them: rules
// often say the same.
type trees struct {
	bytes map[string][]byte
	mu    sync.Mutex
	ready map[string]*program
}

// restore makes an expression ready from its checked form, or returns nil.
func (t *trees) restore(s scope, env *cel.Env, src *pack.Expr, want *cel.Type) *program {
	if t == nil {
		return nil
	}
	k := key(s, src, want)
	t.mu.Lock()
	p := t.ready[k]
	t.mu.Unlock()
	if p == nil {
		var message exprpb.CheckedExpr
		bytes, known := t.bytes[k]
		if !known || proto.Unmarshal(bytes, &message) != nil {
			return nil
		}
		tree, err := ast.ToAST(&message)
		if err != nil {
			return nil
		}
		if p, err = plan(env, src, want, tree); err != nil {
			return nil
		}
		t.mu.Lock()
		t.ready[k] = p
		t.mu.Unlock()
	}
	own := *p
	own.src = src // the same words stand in several files
	return &own
}

// tableHash is the fingerprint of all that the table of facts says of types and words.
func tableHash() string {
	h := sha256.New()
	var write func(fields []schema.Field)
	write = func(fields []schema.Field) {
		for i := range fields {
			f := &fields[i]
			io.WriteString(h, f.Name)
			h.Write([]byte{0, byte(f.Type), byte(f.Dim), byte(len(f.Enum))})
			for _, word := range f.Enum {
				io.WriteString(h, word)
				h.Write([]byte{0})
			}
			if f.Elem != nil {
				write([]schema.Field{*f.Elem})
			}
			write(f.Fields)
		}
		h.Write([]byte{1})
	}
	for _, k := range allKinds() {
		io.WriteString(h, k.Name)
		write(k.Fields)
	}
	return hex.EncodeToString(h.Sum(nil))
}
