// Package layouts knows how axles are laid out: which parts an axle has, what joins
// them and what holds each joint. The layouts are data, one file each; they hold no
// measures. From them 'new' writes a build file that says by name all there is to
// record, and a file that keeps its layout can be asked for a member that is not
// listed.
package layouts

import (
	"bytes"
	"embed"
	"fmt"
	"io/fs"
	"regexp"
	"slices"
	"strings"
	"sync"

	"gopkg.in/yaml.v3"

	"setdown/model/source"
)

//go:embed *.yaml
var files embed.FS

// Layout is one way to locate two wheels, or a single one.
type Layout struct {
	Name string
	Also []string // what else it is called
	Only string   // front or rear, where it belongs at one end
	Axle Group    // what there is once
	Side Group    // what there is on each side; empty with a single wheel
	// CoilOvers: its struts are coil springs over their dampers, and no bars.
	CoilOvers bool `yaml:"-"`
}

// onCoilOvers is what a builder writes behind the name of a layout.
const onCoilOvers = " on coil-overs"

var coilOvers = regexp.MustCompile(`( on| with)? coil ?overs?$`)

// strut is the link of a layout that a coil-over can take the place of.
const strut = "strut"

// sprung is the layout with coil-overs for its struts.
func (l *Layout) sprung() (*Layout, error) {
	isStrut := func(link Named[Link]) bool { return link.Name == strut }
	if !slices.ContainsFunc(l.Axle.Links, isStrut) && !slices.ContainsFunc(l.Side.Links, isStrut) {
		return nil, fmt.Errorf("%s has no strut that a coil-over takes the place of", l.Name)
	}
	on := *l
	on.Name, on.CoilOvers = l.Name+onCoilOvers, true
	return &on, nil
}

// Single reports whether it has one wheel.
func (l *Layout) Single() bool { return len(l.Side.Parts) == 0 }

// joinsBoth reports whether an axle joins its two wheels.
func (l *Layout) joinsBoth() bool {
	return slices.ContainsFunc(l.Axle.Parts, func(p Named[string]) bool { return p.Value == "axle" })
}

// TwoPivots reports whether two pivots are all that keeps a wheel, with what it is bolted to, in its
// place: with one out it hangs on a single point. A strut locates nothing.
func (l *Layout) TwoPivots() bool {
	body := []string{"wheel", "~wheel"}
	has := func(part string) bool { return slices.Contains(body, part) }
	for i := 0; i < len(body); i++ {
		for _, j := range slices.Concat(l.Axle.Joints, l.Side.Joints) {
			if j.Value.Kind == "bolted face" && (has(j.Value.Between[0]) != has(j.Value.Between[1])) {
				body = append(body, j.Value.Between[:]...)
			}
		}
	}
	whole := slices.ContainsFunc(body[2:], func(part string) bool { return strings.HasPrefix(part, "~") })
	pivots := 0
	for i, g := range []Group{l.Axle, l.Side} {
		for _, j := range g.Joints {
			if has(j.Value.Between[0]) == has(j.Value.Between[1]) {
				continue
			}
			if pivots++; i == 1 && whole {
				pivots++ // an axle has it on both sides
			}
		}
		if slices.ContainsFunc(g.Links, func(link Named[Link]) bool {
			return link.Value.Role != "strut" && slices.ContainsFunc(link.Value.Ends, func(e Named[End]) bool { return has(e.Value.On) })
		}) {
			return false
		}
	}
	return pivots == 2
}

// Group is a set of parts and what joins them. A part's name in it is that of the
// side; one with ~ is of the axle as a whole, 'left x' and 'right x' are of a side;
// frame and engine are the vehicle's.
type Group struct {
	Parts  Ordered[string] // the role of each
	Joints Ordered[Joint]
	Links  Ordered[Link]
}

// Joint is where two parts meet.
type Joint struct {
	Kind    string
	Between [2]string
	Axis    string   // x, y or z of a hinge; empty where it differs from car to car
	HeldBy  []string `yaml:"held_by"`
}

// Link is a bar between two parts.
type Link struct {
	Role string
	Ends Ordered[End]
}

// End is one end of a link.
type End struct {
	On     string
	HeldBy []string `yaml:"held_by"`
}

// Ordered is a map in the order of its file.
type Ordered[T any] []Named[T]

// Named is one entry.
type Named[T any] struct {
	Name  string
	Value T
}

// UnmarshalYAML keeps the order of the entries.
func (o *Ordered[T]) UnmarshalYAML(n *yaml.Node) error {
	if n.Kind != yaml.MappingNode {
		return fmt.Errorf("line %d: names are wanted here", n.Line)
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		one := Named[T]{Name: n.Content[i].Value}
		if err := n.Content[i+1].Decode(&one.Value); err != nil {
			return err
		}
		*o = append(*o, one)
	}
	return nil
}

// All lists the layouts, by name.
var All = sync.OnceValue(func() []*Layout {
	names, err := fs.Glob(files, "*.yaml")
	if err != nil {
		panic(err) // the pattern above
	}
	var all []*Layout
	for _, name := range names {
		text, err := files.ReadFile(name)
		if err != nil {
			panic(err) // embedded
		}
		decoder := yaml.NewDecoder(bytes.NewReader(text))
		decoder.KnownFields(true)
		layout := &Layout{}
		if err := decoder.Decode(layout); err != nil {
			panic(fmt.Sprintf("layouts: %s: %v", name, err)) // a slip in our own data
		}
		all = append(all, layout)
	}
	slices.SortFunc(all, func(a, b *Layout) int { return strings.Compare(a.Name, b.Name) })
	return all
})

// Find returns the layout that a builder names, whatever its capitals and hyphens; one 'on
// coil-overs' has these for its struts.
func Find(name string) (*Layout, error) {
	fold := func(s string) string {
		return strings.Join(strings.Fields(strings.NewReplacer("-", " ", "_", " ", " and ", " ", "+", " ", "&", " ").Replace(strings.ToLower(s))), " ")
	}
	var names []string
	base := coilOvers.ReplaceAllString(fold(name), "")
	for _, l := range All() {
		for _, called := range append([]string{l.Name}, l.Also...) {
			switch {
			case fold(called) != base:
			case base != fold(name):
				return l.sprung()
			default:
				return l, nil
			}
		}
		names = append(names, l.Name)
	}
	otherwise := "the layouts are: " + strings.Join(names, "; ")
	var with []string
	for _, l := range All() {
		if said := fold(name); strings.Contains(fold(l.Name), said) || strings.HasSuffix(said, " axle") && l.joinsBoth() {
			with = append(with, l.Name)
		}
	}
	if len(with) > 0 {
		otherwise = "write which: " + strings.Join(with, "; ")
	}
	return nil, fmt.Errorf("no layout is called %q (%s)", strings.TrimSpace(name), source.DidYouMean(strings.TrimSpace(name), names, otherwise))
}
