package model

import (
	"crypto/sha256"
	"sync"

	"gopkg.in/yaml.v3"

	"setdown/model/looks"
	"setdown/model/source"
)

// Reader reads one build file again and again, as its log grows: what hangs on no log is read once, and
// so is each line of the log that stays. What it reads is what Load reads. It is safe for concurrent use.
type Reader struct {
	mu    sync.Mutex
	drawn *reader // as draw left it; nil until something was read
	heard *heard  // of the log, with that
}

// heard is what was read of a log.
type heard struct {
	lines  map[string]*yaml.Node      // those beside the file as YAML has them, by their texts
	looks  map[*yaml.Node]*looks.Look // by their nodes
	log    *looks.Log
	folded *looks.Folded
}

func newHeard() *heard {
	return &heard{lines: map[string]*yaml.Node{}, looks: map[*yaml.Node]*looks.Look{}, log: new(looks.Log), folded: new(looks.Folded)}
}

// Load reads the build file at path and what belongs to it. The error is source.Errors.
func (k *Reader) Load(path string) (*Build, error) {
	t, err := textsOf(path)
	if err != nil {
		return nil, err
	}
	k.mu.Lock()
	drawn, before := k.drawn, k.heard
	k.mu.Unlock()
	if drawn == nil || !drawn.isOf(t) {
		drawn, before, t.files = newReader(t.name), newHeard(), t.files[:2] // its tables may be others now
		if root := drawn.draw(t.text, t.Table); root == nil || len(drawn.errs) > 0 || !drawn.second {
			return Load(path) // which says what is wrong, and of the log as well
		}
	}
	r := drawn.again()
	r.before, r.heard = before, newHeard()
	r.see(nil, t.Looks)
	r.check()
	if len(r.errs) > 0 {
		return nil, capped(r.errs.Sorted())
	}
	r.build.Files = t.files
	k.mu.Lock()
	k.drawn, k.heard = drawn, r.heard
	k.mu.Unlock()
	return r.build, nil
}

// isOf reports whether it was drawn from these very texts.
func (r *reader) isOf(t *texts) bool {
	digest := sha256.New()
	digest.Write(t.text)
	for _, name := range r.tables {
		table, _ := t.Table(name)
		digest.Write(table)
	}
	return r.build.File == t.name && r.build.Source == [sha256.Size]byte(digest.Sum(nil))
}

// again is a copy of what was drawn, without a mistake, into which a log may be laid.
func (r *reader) again() *reader {
	c := *r
	c.build = r.build.Clone()
	c.build.Source, c.build.Orders = r.build.Source, nil
	for _, order := range r.build.Orders {
		twin := *order
		twin.Record = order.Record.Clone()
		c.build.Orders = append(c.build.Orders, &twin)
	}
	c.like = make(map[*Item]likeness, len(r.like))
	for item, like := range r.like {
		c.like[c.build.byID[item.ID]] = like
	}
	c.left, c.taken = map[slot]omission{}, map[slot]removal{}
	for _, restraint := range r.build.Of("restraints") {
		if at := (slot{restraint.Record, "ties"}); r.left[at] != 0 { // it ties a place, and names no parts
			c.left[slot{c.build.byID[restraint.ID].Record, "ties"}] = r.left[at]
		}
	}
	c.brackets, c.badRefs = map[string]bool{}, map[source.Span]bool{}
	return &c
}
