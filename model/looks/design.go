package looks

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"
)

// Drawn is one fact of a design on which looks at the thing hang.
type Drawn struct {
	Path   string
	Text   string // the value; equal where values are, whatever their unit
	Unsaid string // the value that silence stands for; empty where silence says nothing
	Aspect Aspect
	Late   bool // of a setting: written down for the first time it says of none that it was set anew
}

// Aspect is what a fact of a design says of the thing.
type Aspect uint8

// The aspects.
const (
	Identity Aspect = iota // what it is: drawn otherwise, it is another thing
	Asked                  // what its card asks for or takes for good, such as the tag of a temporary bar
	Counted                // how the members of a group are counted: the path says it, and no sum
	Set                    // how it is set from day to day: no other thing, but one to be looked at again
)

// print is a fingerprint taken apart: a sum of what the thing is, one of how it is set where it
// has a setting, and the paths of what was written down then. What was not contradicts no look,
// and no look vouches for it.
type print struct {
	design, setting string
	paths           []string
	early           bool // without paths: of an earlier program, of all that it would sum up today
}

func readPrint(text string) print {
	sums, paths, said := strings.Cut(text, " of")
	p := print{paths: strings.Fields(paths), early: !said}
	p.design, p.setting, _ = strings.Cut(sums, ".")
	return p
}

// knows says whether a fact was written down when the fingerprint was taken.
func (p print) knows(d Drawn) bool {
	if p.early {
		return d.Aspect != Asked
	}
	return slices.Contains(p.paths, d.Path)
}

// inOrder lists what it knows of a design in its own order, so that a line that moves in the table
// of facts makes no other thing of what was looked at.
func (p print) inOrder(design []Drawn) []Drawn {
	known := slices.DeleteFunc(slices.Clone(design), func(d Drawn) bool { return !p.knows(d) })
	if !p.early {
		slices.SortStableFunc(known, func(a, b Drawn) int { return cmp.Compare(slices.Index(p.paths, a.Path), slices.Index(p.paths, b.Path)) })
	}
	return known
}

// Print is the fingerprint of the thing as it is drawn now, such as '3fa1c2b0 of thread class',
// or '3fa1c2b0.9a2e4417 of kind rated height' of what has a setting. It is empty for a thing that
// has no design of its own.
func (t *Thing) Print() string {
	if t.Design == nil {
		return ""
	}
	all := print{}
	for _, d := range t.Design {
		all.paths = append(all.paths, d.Path)
	}
	text := t.sum(all, false)
	if t.IsSet {
		text += "." + t.sum(all, true)
	}
	return text + " of " + strings.Join(all.paths, " ")
}

// sum is eight hex digits of the SHA-256 of what the fingerprint knows of the design, or of the
// setting.
func (t *Thing) sum(p print, setting bool) string {
	h := sha256.New()
	if !setting {
		fmt.Fprintln(h, t.Kind.Name)
	}
	for _, d := range p.inOrder(t.Design) {
		if d.Aspect != Counted && (d.Aspect == Set) == setting {
			fmt.Fprintf(h, "%s = %s\n", d.Path, d.Text)
		}
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// Fits says whether a look with that fingerprint was at the design that is drawn now. What
// was written down since does not make another thing of it, unless silence said otherwise: 'needed: 2'
// adds one that nobody has seen. One without a fingerprint may be of any design.
func (t *Thing) Fits(text string) bool { return text == "" || t.fits(readPrint(text)) }

func (t *Thing) fits(p print) bool {
	return p.design == t.sum(p, false) && !slices.ContainsFunc(t.Design, func(d Drawn) bool {
		return d.Unsaid != "" && d.Unsaid != d.Text && !p.knows(d)
	})
}

// Knew says whether a fact of the design was written down when somebody saw what stands. Of a look
// without a fingerprint nobody can say that it was not.
func (t *Thing) Knew(stands Fact, path string) bool {
	p := readPrint(stands.Print)
	return stands.Print == "" || !slices.ContainsFunc(t.Design, func(d Drawn) bool { return d.Path == path && !p.knows(d) })
}

// setOtherwise says whether a look with that fingerprint was at another setting, or at one of
// which less was written down: it may have been set anew since as well, but for what is written late. One without its setting may
// be of any.
func (t *Thing) setOtherwise(p print) bool {
	since := func(d Drawn) bool { return d.Aspect == Set && !d.Late && !p.knows(d) }
	return p.setting != "" && t.IsSet && (p.setting != t.sum(p, true) || slices.ContainsFunc(t.Design, since))
}

// CountedAs is the part of a design that says how the members of a group are counted.
func CountedAs(words string) Drawn {
	sum := sha256.Sum256([]byte(words))
	return Drawn{Path: countedAs + hex.EncodeToString(sum[:4]), Aspect: Counted}
}

const countedAs = "counted:"

// countedOtherwise says whether the members of a group were counted otherwise, or nobody had said
// how, when that fingerprint was taken: its numbers are of other ones.
func (t *Thing) countedOtherwise(p print) bool {
	other := func(path string) bool {
		return strings.HasPrefix(path, countedAs) && !slices.ContainsFunc(t.Design, func(d Drawn) bool { return d.Path == path })
	}
	since := func(d Drawn) bool { return d.Aspect == Counted && !p.knows(d) }
	return !p.early && (slices.ContainsFunc(p.paths, other) || slices.ContainsFunc(t.Design, since))
}

// as gives the facts of the design as they were written down when a look was taken: 'good' says
// nothing of a line whose drawn value came later.
func (t *Thing) as(p print) func(path string) (any, bool) {
	if t.Design == nil {
		return t.Lookup
	}
	return func(path string) (any, bool) {
		since := slices.ContainsFunc(t.Design, func(d Drawn) bool {
			inside, is := strings.CutPrefix(path, d.Path)
			return is && (inside == "" || inside[0] == '.') && !p.knows(d)
		})
		if since {
			return nil, false
		}
		return t.Lookup(path)
	}
}
