package vehicle

import (
	"fmt"
	"slices"
	"strings"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
)

// HolderKinds are the kinds that hold joints, link ends and supports.
var HolderKinds = []string{"fasteners", "stud_nuts", "spacers", "welds", "wheels", "springs"}

// Holder is a bolt, nut, weld, set of spacers, wheel or spring as it was found, worked out
// once for all that ask whether it holds.
type Holder struct {
	*model.Item
	Short   int64    // how many of it are known not to be there
	Missing []string // what nobody recorded of how many are there; empty where that is known
	Made    string   // of a weld: none, tack, part or full; "" where nobody recorded it
	Tight   string   // loose, finger, snug or torqued, of a clevis pin as soon as it is kept; "" where nobody recorded it
	Size    WeldSize
	cracked bool   // a weld, or the tab that a bolt bears in
	comes   string // what was found of it so that it keeps no parts together; "" where nothing was
	small   bool   // of a weld: smaller than policy allows
}

// WeldSize is what was measured of a weld against what is drawn. Nobody has to measure it: what
// nobody did is as drawn.
type WeldSize struct {
	Undercut                float64 // m deep
	LegLost                 float64 // m, leg as drawn less leg as measured
	LegShare, Length, Sides float64 // leg, length and sides as measured and counted, as shares of those drawn
}

// Lookup finds a recorded value by its dotted path, also where items of this kind have no
// such field: it is then not there.
func Lookup[T any](item *model.Item, path string) (T, bool) {
	var zero T
	field := item.Kind.Field
	for name := range strings.SplitSeq(path, ".") {
		f := field(name)
		if f == nil {
			return zero, false
		}
		field = f.Field
	}
	v, ok := item.Lookup(path)
	if !ok {
		return zero, false
	}
	t, ok := v.V.(T)
	return t, ok
}

func (v *Vehicle) findHolders() {
	for _, kind := range HolderKinds {
		for _, item := range v.Build.Of(kind) {
			h := v.newHolder(item)
			v.holder[item] = h
			for _, name := range item.Texts("holds") {
				v.holds[name] = append(v.holds[name], h)
			}
		}
	}
}

func (v *Vehicle) newHolder(item *model.Item) *Holder {
	h := &Holder{Item: item, comes: v.comesApart(item)}
	switch item.Kind.Name {
	case "welds":
		h.Made, _ = item.Text("found.made")
		h.cracked, _ = item.Bool("found.crack")
		h.Size = weldSize(item)
		p := v.policy // as rule weld-too-small has it
		h.small = h.Size.Undercut > p.Undercut || h.Size.LegLost > p.LegShort || min(h.Size.LegShare, h.Size.Length, h.Size.Sides) < p.WeldShare
		if h.Made == "" {
			h.Missing = []string{item.Path() + ".found.made"}
		}
	case "spacers":
		h.count("needed", "found.fitted")
	case "wheels":
		h.count("nuts", "found.nuts")
	default:
		h.fitted(v.Build)
		h.cracked, _ = Lookup[bool](item, "tab.cracked")
	}
	word, said := Lookup[string](item, "found.tightness")
	_, torqued := Lookup[quantity.Quantity](item, "found.torqued")
	switch {
	case said:
		h.Tight = word // what was found loose is loose, whatever was once reached on it
	case torqued:
		h.Tight = "torqued"
	}
	if _, pin := Lookup[*schema.Record](item, "pin"); pin {
		h.Tight = "" // nothing of a plain pin is tight: it is held while its lock is on
		if kept, _ := item.Bool("found.lock_fitted"); kept {
			h.Tight = "torqued"
		}
	}
	return h
}

// count compares how many are needed with how many were counted.
func (h *Holder) count(needed, counted string) {
	n, okN := h.Count(needed)
	have, okH := h.Count(counted)
	if !okN {
		h.Missing = append(h.Missing, h.Path()+"."+needed)
	}
	if !okH {
		h.Missing = append(h.Missing, h.Path()+"."+counted)
	}
	if okN && okH {
		h.Short = max(0, n-have)
	}
}

// fitted counts what is there of bolts, nuts and springs. Of a group that nobody counts only those
// that the log has as there, one by one, are.
func (h *Holder) fitted(b *model.Build) {
	fitted, known := h.Bool("found.fitted")
	have, counted := Lookup[int64](h.Item, "found.count")
	n := h.Needed()
	switch {
	case known && !fitted:
		h.Short = n
		if !counted && b.Logged(h.Item, "fitted") {
			for _, piece := range b.Standing[h.Item.ID].Members {
				if piece["fitted"].V == true {
					h.Short--
				}
			}
		}
	case counted:
		h.Short = max(0, n-have)
	case known && (n == 1 || h.Kind.Found().Field("count") == nil):
	case known: // several are needed, and somebody wrote 'fitted' without counting
		h.Missing = []string{h.Path() + ".found.count"}
	default:
		h.Missing = []string{h.Path() + ".found.fitted"}
	}
}

// Needed is how many bolts, nuts or springs there are to be; one unless the file says so.
func (h *Holder) Needed() int64 {
	for _, field := range []string{"needed", "nuts"} {
		if n, ok := Lookup[int64](h.Item, field); ok {
			return n
		}
	}
	return 1
}

// There reports whether all of it is known to be there.
func (h *Holder) There() bool { return len(h.Missing) == 0 && h.Short == 0 }

// Sound reports whether it is known to be there, all of it, and done up, if only snug as a
// bonded bush wants it, or made in full.
func (h *Holder) Sound() bool {
	switch {
	case h.cracked || h.comes != "":
		return false
	case h.Kind.Name == "welds":
		return h.Made == "full" && !h.small
	case h.Kind.Name == "spacers":
		return true // a missing spacer leaves the joint in its place, only loose
	}
	return h.There() && (h.Tight == "snug" || h.Tight == "torqued")
}

// Joins reports whether it keeps parts together that hang in straps: what is sound does, and a bolt
// in its hole with its nut on, if only finger tight. What holds by its grip has to be done up.
func (h *Holder) Joins() bool {
	return h.Sound() || h.Kind.Name != "welds" && h.There() && h.Tight == "finger" && !h.grips() && !h.cracked && h.comes == ""
}

// grips reports whether what it holds is kept by the grip of its bolts alone.
func (h *Holder) grips() bool { return h.Item.Is(schema.Gripping) }

// parted says what is known to be wrong with something so that it keeps nothing together; "" where
// it may do so.
func (h *Holder) parted() string {
	switch {
	case h.Kind.Name == "spacers" || h.Joins():
		return ""
	case h.Short > 0:
		return fmt.Sprintf("%d out", h.Short)
	case h.cracked:
		return "cracked"
	case h.comes != "":
		return h.comes
	case h.Made == "none":
		return "not welded"
	case h.Made == "tack":
		return "only tacked"
	case h.Made == "part":
		return "welded in part"
	case h.small:
		return "welded too small"
	case h.Tight == "finger":
		return "finger tight: nip it up"
	}
	return h.Tight // loose, or nothing recorded
}

// wanting is what nobody recorded of it that may show that it joins.
func (h *Holder) wanting() []string {
	missing := slices.Clone(h.Missing)
	if h.Kind.Name != "welds" && h.Kind.Name != "spacers" && h.Tight == "" {
		missing = append(missing, h.Path()+".found.tightness")
	}
	return missing
}

// weldSize compares what was measured of a weld with what is drawn.
func weldSize(item *model.Item) WeldSize {
	share := func(was, is float64, drawn, found bool) float64 {
		switch {
		case found && is == 0:
			return 0 // nothing, whatever was to be
		case !drawn || !found:
			return 1
		}
		return is / was
	}
	made := func(drawn, found string) (made, lost float64) {
		was, okD := item.Quantity(drawn)
		is, okF := item.Quantity(found)
		made = share(was.Value, is.Value, okD, okF)
		if made < 1 {
			lost = was.Value - is.Value
		}
		return made, lost
	}
	undercut, _ := item.Quantity("found.undercut")
	leg, lost := made("fillet.leg", "found.leg")
	length, _ := made("fillet.length", "found.made_length")
	drawn, okD := item.Count("fillet.sides")
	sides, okF := item.Count("found.sides")
	return WeldSize{Undercut: undercut.Value, LegLost: lost, LegShare: leg, Length: length, Sides: share(float64(drawn), float64(sides), okD, okF)}
}

// Holder is an item of one of HolderKinds as it was found.
func (v *Vehicle) Holder(item *model.Item) *Holder { return v.holder[item] }

// Holders lists what holds a joint, a link end or a support, by its name.
func (v *Vehicle) Holders(name string) []*Holder { return v.holds[name] }

// Held reports whether the file lists what holds a joint or link end.
func (v *Vehicle) Held(m *Meet) bool {
	return slices.ContainsFunc(v.holds[m.Name], func(h *Holder) bool { return Fastens(h, m) })
}

// Fastened reports whether a checklist lists a bolt, nut or weld that fastens a part.
func (v *Vehicle) Fastened(part string) bool {
	return slices.ContainsFunc([]string{"fasteners", "stud_nuts", "welds"}, func(kind string) bool {
		return slices.ContainsFunc(v.Build.Of(kind), func(item *model.Item) bool {
			on, _ := item.Text("part")
			return on == part
		})
	})
}

// Fastens reports whether what holds a joint or link end keeps its parts together: a bolt or
// nut, at a welded face a weld. Spacers and springs alone hold nothing, and the weld of a
// bracket holds no bolt in it.
func Fastens(h *Holder, m *Meet) bool {
	return h.Kind.Name != "spacers" && h.Kind.Name != "springs" && (h.Kind.Name != "welds" || m.Kind == "welded face")
}

// sound reports whether everything that holds a joint or link end is known to be
// there and made.
func (v *Vehicle) sound(m *Meet) bool {
	holders := v.holds[m.Name]
	return len(holders) > 0 && m.comes == "" && !slices.ContainsFunc(holders, func(h *Holder) bool { return !h.Sound() })
}

// soundLink reports the same of a link with both of its ends, and of the spring in it.
func (v *Vehicle) soundLink(link *model.Item) bool {
	fitted, _ := link.Bool("found.fitted")
	fitted = fitted && !slices.ContainsFunc(v.holds[link.ID], func(h *Holder) bool { return !h.Sound() })
	return fitted && !slices.ContainsFunc(v.Ends(link), func(e *Meet) bool { return !v.sound(e) })
}

// shown reports whether a joint, or a link with both its ends, is known to be there and to join
// what hangs in straps, and what nobody recorded of it that may make it so; nothing where something
// of it is known to be wrong.
func (v *Vehicle) shown(m *Meet) (joins bool, missing []string) {
	if m.comes != "" {
		return false, nil
	}
	ends := []*Meet{m}
	if m.Link {
		ends = v.Ends(m.Item)
		if fitted, known := m.Item.Bool("found.fitted"); !known {
			missing = append(missing, m.Item.Path()+".found.fitted")
		} else if !fitted {
			return false, nil
		}
	}
	joins = true
	for _, e := range ends {
		joins = joins && len(v.holds[e.Name]) > 0
		for _, h := range v.holds[e.Name] {
			switch {
			case h.Joins():
			case h.parted() != "":
				return false, nil
			default:
				missing = append(missing, h.wanting()...)
			}
		}
	}
	return joins && len(missing) == 0, missing
}

// Unlocated names what leaves a part free to move in a step: the first link, or the first
// bolt, nut or weld of a joint or link of the part, that is not shown to be fitted, tight and
// made in full; "nothing" when there is none. A part of the frame needs nothing to locate it.
func (v *Vehicle) Unlocated(part string, off func(*Meet) bool) string {
	if part == v.base {
		return "nothing"
	}
	for _, m := range v.Meets {
		if off(m) || !slices.Contains(m.Parts[:], part) {
			continue
		}
		ends := []*Meet{m}
		if m.Link {
			if fitted, _ := m.Item.Bool("found.fitted"); !fitted {
				return m.Item.ID
			}
			ends = v.Ends(m.Item)
		}
		for _, e := range ends {
			if id := v.unsound(e); id != "" {
				return id
			}
		}
	}
	return "nothing"
}

// unsound names what holds a joint or link end and is not shown to do so, tight; the
// joint itself when nothing holds it.
func (v *Vehicle) unsound(m *Meet) string {
	if len(v.holds[m.Name]) == 0 || m.comes != "" {
		return m.Item.ID
	}
	for _, h := range v.holds[m.Name] {
		if !h.Sound() || h.Kind.Name == "fasteners" && h.Tight == "snug" {
			return h.ID
		}
	}
	return ""
}
