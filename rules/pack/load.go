package pack

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"

	"setdown/model/source"
)

// packFile describes a built-in pack; policyFile holds the built-in policy.
const (
	packFile   = "pack.yaml"
	policyFile = "policy.yaml"
)

// LoadFS reads the packs that stand in the folders of dir, one rule a file, and
// the policy beside them, which comes as a pack without rules. An error that
// holds source.Errors lists every mistake of every file. A folder without rules
// is a mistake, and so is a dir without packs.
func LoadFS(fsys fs.FS, dir string) ([]*Pack, error) { return load(fsys, dir, (*loader).whole) }

// LoadRules is LoadFS for a run that judges: it leaves out the examples, which only
// tests and listings need, and puts off the words of a rule until it has something
// to say, as few rules have.
func LoadRules(fsys fs.FS, dir string) ([]*Pack, error) { return load(fsys, dir, (*loader).inParts) }

// ruleReader reads the rule that is the text of a file.
type ruleReader func(l *loader, text []byte) *Rule

func load(fsys fs.FS, dir string, read ruleReader) ([]*Pack, error) {
	entries, err := fs.ReadDir(fsys, dir)
	if err != nil {
		return nil, fmt.Errorf("rules: %w", err)
	}
	var errs source.Errors
	packs, err := loadFolders(fsys, dir, entries, read, &errs)
	if err != nil {
		return nil, err
	}
	for _, entry := range entries {
		name := path.Join(dir, entry.Name())
		if entry.Name() == policyFile && !entry.IsDir() {
			text, err := fs.ReadFile(fsys, name)
			if err != nil {
				return nil, fmt.Errorf("rules: %w", err)
			}
			p := &Pack{Name: "policy", Title: "Policy"}
			l := &loader{parser{name: name, errs: &errs}}
			l.pack(p, l.parse(text), "policy")
			packs = append(packs, p)
		}
	}
	if len(packs) == 0 {
		errs.Add(&source.Error{Span: source.Span{File: dir}, Message: "no rule packs here", Hint: "a pack is a folder with " + packFile + " and one file a rule"})
	}
	slices.SortStableFunc(packs, func(a, b *Pack) int {
		return cmp.Or(cmp.Compare(a.Order, b.Order), cmp.Compare(a.Name, b.Name))
	})
	errs = append(errs, Unique(packs)...)
	return packs, errs.Err()
}

// loadFolders reads the packs side by side and keeps the order of their folders.
func loadFolders(fsys fs.FS, dir string, entries []fs.DirEntry, read ruleReader, errs *source.Errors) ([]*Pack, error) {
	entries = slices.DeleteFunc(slices.Clone(entries), func(e fs.DirEntry) bool { return !e.IsDir() })
	packs := make([]*Pack, len(entries))
	mistakes := make([]source.Errors, len(entries))
	failures := make([]error, len(entries))
	var wait sync.WaitGroup
	for i, entry := range entries {
		wait.Go(func() {
			packs[i], failures[i] = loadFolder(fsys, path.Join(dir, entry.Name()), read, &mistakes[i])
		})
	}
	wait.Wait()
	for _, m := range mistakes {
		*errs = append(*errs, m...)
	}
	return packs, errors.Join(failures...)
}

func (l *loader) whole(text []byte) *Rule { return l.rule(l.parse(text)) }

// inParts reads what the rule judges by, and puts off its words.
func (l *loader) inParts(text []byte) *Rule {
	judges := only(text, judgeKeys)
	if judges == nil {
		return l.whole(text)
	}
	n := l.parse(judges)
	if !l.isBlock(n, "a rule") {
		return nil
	}
	l.need(n, "the rule", "id", "must", "else")
	r := l.judges(n)
	name := l.name
	r.words = sync.OnceValues(func() (*Words, source.Errors) {
		var errs source.Errors
		l := &loader{parser{name: name, errs: &errs}}
		n := l.parse(only(text, wordKeys))
		if !l.isBlock(n, "a rule") {
			return &Words{}, errs
		}
		return l.words(n), errs
	})
	return r
}

// only blanks out the lines of a rule file that stand under other keys, so that
// what is left has its places. It is nil where the file does not begin with the id,
// which is the place of the rule, or a line begins with anything but a key of a rule:
// then the parts cannot be told by their lines.
func only(text []byte, keys []string) []byte {
	var left bytes.Buffer
	left.Grow(len(text))
	begun, keep := false, false
	for line := range bytes.Lines(text) {
		if !bytes.ContainsAny(line[:1], " \n#") {
			key, _, _ := bytes.Cut(line, []byte(":"))
			if begun = begun || string(key) == "id"; !begun || !slices.Contains(ruleKeys, string(key)) {
				return nil
			}
			keep = slices.Contains(keys, string(key))
		}
		if keep {
			left.Write(line)
		} else {
			left.WriteByte('\n')
		}
	}
	return left.Bytes()
}

func loadFolder(fsys fs.FS, dir string, read ruleReader, errs *source.Errors) (*Pack, error) {
	p := &Pack{Name: path.Base(dir)}
	entries, err := fs.ReadDir(fsys, dir)
	if err != nil {
		return nil, fmt.Errorf("rules: %w", err)
	}
	described, files := false, 0
	for _, entry := range entries {
		file := path.Join(dir, entry.Name())
		if path.Ext(file) != ".yaml" {
			continue
		}
		text, err := fs.ReadFile(fsys, file)
		if err != nil {
			return nil, fmt.Errorf("rules: %w", err)
		}
		l := &loader{parser{name: file, errs: errs}}
		if entry.Name() == packFile {
			described = true
			l.pack(p, l.parse(text), "pack", "title", "order", "caution")
			continue
		}
		files++
		r := read(l, text)
		if r == nil {
			continue
		}
		if stem := strings.TrimSuffix(entry.Name(), ".yaml"); r.ID != "" && r.ID != stem {
			l.fail(r.At("id"), "give the file the name "+r.ID+".yaml", "the rule %q stands in the file of %q", r.ID, stem)
		}
		p.Rules = append(p.Rules, r)
	}
	where := source.Span{File: dir}
	if !described {
		errs.Add(&source.Error{Span: where, Message: "the pack has no " + packFile, Hint: "it says pack, title, order and caution"})
	}
	if files == 0 {
		errs.Add(&source.Error{Span: where, Message: "the pack holds no rules"})
	}
	if base := path.Base(dir); described && p.Name != base {
		errs.Add(&source.Error{Span: where, Message: fmt.Sprintf("the pack %q stands in the folder %q", p.Name, base), Hint: "give both the same name"})
	}
	p.finish(dir, errs)
	return p, nil
}

// LoadFile reads a builder's own file of rules. An error that holds
// source.Errors lists every mistake in it.
func LoadFile(name string) (*Pack, error) {
	text, err := source.ReadFile(name, maxBytes, "rule file")
	name = filepath.ToSlash(name)
	if err != nil {
		return nil, source.Errors{{Span: source.Span{File: name}, Message: err.Error()}}
	}
	return loadOwn(name, text)
}

func loadOwn(name string, text []byte) (*Pack, error) {
	var errs source.Errors
	p := &Pack{Own: true}
	p.Name = strings.TrimSuffix(path.Base(name), path.Ext(name))
	l := &loader{parser{name: name, errs: &errs}}
	root := l.parse(text)
	l.pack(p, root, "pack", "title", "order", "caution", "policy", "disable", "rules")
	if root != nil && len(errs) == 0 && len(p.Rules)+len(p.Policy)+len(p.Disable) == 0 {
		l.fail(root.Span, "it may hold rules, policy and disable", "the file holds nothing")
	}
	errs = append(errs, Unique([]*Pack{p})...)
	if p.Title == "" {
		p.Title = p.Name
	}
	p.finish(name, &errs)
	return p, errs.Err()
}

// finish puts the rules in order and tells them which pack they belong to.
func (p *Pack) finish(name string, errs *source.Errors) {
	slices.SortStableFunc(p.Rules, func(a, b *Rule) int { return cmp.Compare(a.ID, b.ID) })
	for _, r := range p.Rules {
		r.Pack, r.Own = p.Name, p.Own
	}
	if len(p.Rules) > maxRules {
		errs.Add(&source.Error{Span: source.Span{File: name}, Message: fmt.Sprintf("more than %d rules", maxRules)})
	}
}

// Unique reports the rules of these packs that share an id.
func Unique(packs []*Pack) source.Errors {
	var errs source.Errors
	first := map[string]*Rule{}
	for _, p := range packs {
		for _, r := range p.Rules {
			other, seen := first[r.ID]
			if !seen {
				first[r.ID] = r
				continue
			}
			errs.Add(&source.Error{Span: r.At("id"), Message: fmt.Sprintf("there are two rules called %q", r.ID), Hint: "give one of them another id",
				Related: []source.Related{{Span: other.At("id"), Message: "first here"}}})
		}
	}
	return errs
}

// loader turns nodes into packs and rules.
type loader struct{ parser }

// strict reports keys that are not among those.
func (l *loader) strict(n *Node, what string, keys ...string) {
	for _, k := range n.Keys {
		if slices.Contains(keys, k.Name) {
			continue
		}
		otherwise := "the keys are " + strings.Join(keys, ", ")
		if k.Value.Null {
			otherwise = "a text with a comma stands in quotes between { and }"
		}
		l.fail(k.Span, source.DidYouMean(k.Name, keys, otherwise), "%q is no key of %s", k.Name, what)
	}
}

// need reports keys that are absent.
func (l *loader) need(n *Node, what string, keys ...string) {
	for _, k := range keys {
		if n.Find(k) == nil {
			l.fail(n.Span, "", "%s has no %q", what, k)
		}
	}
}

func (l *loader) isBlock(n *Node, what string) bool {
	if n == nil || n.refused {
		return false
	}
	if n.Shape != Block {
		l.fail(n.Span, "write one key per line", "%s must be a block of 'key: value' lines", what)
		return false
	}
	return true
}

// text reads a text that must not be empty; "" when the key is absent.
func (l *loader) text(n *Node, key string) string {
	v := n.Find(key)
	if v == nil || v.refused {
		return ""
	}
	if v.Shape != Scalar || strings.TrimSpace(v.Text) == "" || v.Null {
		l.fail(v.Span, "", "%q must be a text", key)
		return ""
	}
	return strings.TrimSpace(v.Text)
}

// texts reads a text or a list of texts.
func (l *loader) texts(n *Node, key string) []string {
	v := n.Find(key)
	if v == nil {
		return nil
	}
	if v.Shape == Scalar {
		if t := l.text(n, key); t != "" {
			return []string{t}
		}
		return nil
	}
	list := []string{}
	for _, e := range v.Items {
		if e.Shape != Scalar || e.Null || strings.TrimSpace(e.Text) == "" {
			l.fail(e.Span, "", "%q must be a list of texts", key)
			continue
		}
		list = append(list, strings.TrimSpace(e.Text))
	}
	if v.Shape == Block {
		l.fail(v.Span, "", "%q must be a text or a list of texts", key)
	}
	return list
}

// word reads one of the words.
func (l *loader) word(n *Node, key string, words []string) string {
	t := l.text(n, key)
	if t == "" || slices.Contains(words, t) {
		return t
	}
	l.fail(n.Find(key).Span, source.DidYouMean(t, words, "write one of: "+strings.Join(words, ", ")), "%q is not an answer for %q", t, key)
	return t
}

// outcome reads what a rule comes to. Rule files of old say hold where others say stop.
func (l *loader) outcome(n *Node, key string, words []string) string {
	if v := n.Find(key); v != nil && v.Text == "hold" {
		v.Text = "stop"
	}
	return l.word(n, key, words)
}

func (l *loader) yes(n *Node, key string) bool {
	switch l.word(n, key, []string{"yes", "no", "true", "false"}) {
	case "yes", "true":
		return true
	}
	return false
}

func (l *loader) pack(p *Pack, root *Node, keys ...string) {
	if !l.isBlock(root, "a rule file") {
		return
	}
	l.strict(root, "this file", keys...)
	if t := l.text(root, "pack"); t != "" {
		p.Name = t
		if !goodName(t) {
			l.fail(root.Find("pack").Span, "use small letters, digits and -", "%q cannot be the name of a pack", t)
		}
	}
	if t := l.text(root, "title"); t != "" {
		p.Title = t
	}
	p.Caution = l.text(root, "caution")
	if t := l.text(root, "order"); t != "" {
		order, err := strconv.Atoi(t)
		if err != nil {
			l.fail(root.Find("order").Span, "", "%q must be a whole number", "order")
		}
		p.Order = order
	}
	if n := root.Find("policy"); l.isBlock(n, "policy") {
		p.Policy = map[string]Setting{}
		for _, k := range n.Keys {
			if k.Value.Shape != Scalar || k.Value.Null {
				l.fail(k.Value.Span, "", "%q must be a value", k.Name)
				continue
			}
			p.Policy[k.Name] = Setting{Text: k.Value.Text, Span: k.Value.Span}
		}
	}
	if n := root.Find("disable"); n != nil {
		l.disable(p, n)
	}
	if n := root.Find("rules"); n != nil {
		if n.Shape != List {
			l.fail(n.Span, "begin each rule with a dash", "%q must be a list", "rules")
		}
		for _, e := range n.Items {
			if r := l.rule(e); r != nil {
				p.Rules = append(p.Rules, r)
			}
		}
	}
}

func (l *loader) disable(p *Pack, n *Node) {
	if n.Shape != List {
		l.fail(n.Span, "begin each entry with a dash", "%q must be a list", "disable")
	}
	for _, e := range n.Items {
		if !l.isBlock(e, "an entry of disable") {
			continue
		}
		keys := []string{"id", "by", "reason"}
		l.strict(e, "an entry of disable", keys...)
		l.need(e, "an entry of disable", keys...)
		p.Disable = append(p.Disable, Disable{ID: l.text(e, "id"), By: l.text(e, "by"), Reason: l.text(e, "reason"), Span: e.Span})
	}
}

// goodName reports whether a text can be an id: small letters, digits and -.
func goodName(s string) bool {
	ok := s != "" && len(s) <= 100 && s[0] != '-'
	for _, c := range s {
		ok = ok && (c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-')
	}
	return ok
}
