package vehicle

import (
	"cmp"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/statics"
)

// Spring is a spring as the file has it, and the link that it is the spring of.
type Spring struct {
	*model.Item
	Kind string      // coil-over, coil, leaf or torsion bar; "" where nobody recorded it
	Link *model.Item // nil of a leaf or torsion bar that holds a joint
	// Joint is that in which a torsion bar turns, one of an arm's bearings; else nil.
	Joint *model.Item
	// Anchor is the face by which the socket of a torsion bar's far end is held; nil where none is listed.
	Anchor *model.Item
}

// Coil reports whether it pushes along its link, so that its rate and seats say how long that is.
func (s *Spring) Coil() bool { return s.Link != nil && (s.Kind == "coil-over" || s.Kind == "coil") }

// Damps reports whether a link is a damper by itself. It hangs what hangs on it at full droop, as a droop strap
// does; between its stops it passes nothing, and its gas, which pushes with a few hundred newtons at the most,
// counts for nothing.
func (v *Vehicle) Damps(link *model.Item) bool {
	role, _ := link.Text("role")
	return role == "damper" && v.SpringOf(link) == nil
}

// springs reads the springs of a build state, in file order.
func springs(b *model.Build) []*Spring {
	var list []*Spring
	for _, item := range b.Of("springs") {
		s := &Spring{Item: item}
		s.Kind, _ = item.Text("kind")
		for _, name := range item.Texts("holds") {
			id, _, _ := strings.Cut(name, "/")
			held := b.Item(id)
			if held != nil && held.Kind.Name == "links" {
				if _, drawn := held.Lookup("ends"); drawn {
					s.Link = held
				}
			} else if held != nil && held.Kind.Name == "joints" && s.Kind == "torsion bar" {
				switch kind, _ := held.Text("kind"); {
				case s.Joint == nil:
					s.Joint = held
				case motions[kind] == face:
					s.Anchor = held
				}
			}
		}
		list = append(list, s)
	}
	return list
}

// Free is the length of its link at which it just pushes no more, m: its free length and its
// seats. The link of a coil by itself is drawn from seat to seat.
func (s *Spring) Free() (float64, *Unknown) {
	free, written := s.Quantity("free_length")
	seats, measured := s.Quantity("found.seats")
	var missing []string
	if !written {
		missing = append(missing, s.Path()+".free_length")
	}
	if !measured && s.Kind != "coil" {
		missing = append(missing, s.Path()+".found.seats")
	}
	if missing != nil {
		return 0, NotRecorded(missing...)
	}
	return free.Value + seats.Value, nil
}

// Rate is its rate, N/m.
func (s *Spring) Rate() (float64, *Unknown) {
	if rate, written := s.Quantity("rate"); written {
		return rate.Value, nil
	}
	return 0, NotRecorded(s.Path() + ".rate")
}

// Open is the length of its link at full droop, m. A coil of its own hangs from nothing: it
// comes off its seat where it is free.
func (s *Spring) Open() (float64, *Unknown) {
	if open, written := s.Quantity("open_length"); written {
		return open.Value, nil
	}
	if s.Kind == "coil" {
		return s.Free()
	}
	return 0, NotRecorded(s.Path() + ".open_length")
}

// Closed is the length of its link with its damper closed, m; of a coil of its own, with its
// coils touching.
func (s *Spring) Closed() (float64, *Unknown) {
	name := "closed_length"
	if s.Kind == "coil" {
		name = "solid_length"
	}
	if closed, written := s.Quantity(name); written {
		return closed.Value, nil
	}
	return 0, NotRecorded(s.Path() + "." + name)
}

// Under is the length of its link under a push along it, N; pulled, it is at full droop, and so
// it is until the push is more than its preload.
func (s *Spring) Under(push float64) (float64, *Unknown) {
	free, unknown := s.Free()
	if unknown != nil {
		return 0, unknown
	}
	open, unknown := s.Open()
	if unknown != nil {
		return 0, unknown
	}
	rate, unknown := s.Rate()
	if unknown != nil {
		return 0, unknown
	}
	length := min(open, free-max(0, push)/rate)
	if closed, written := s.Quantity("closed_length"); written {
		length = max(length, closed.Value)
	}
	return length, nil
}

// Springs lists the springs in file order.
func (v *Vehicle) Springs() []*Spring { return v.springs }

// SpringOf is the spring of an item of the springs, or the one in a link; nil where there is none.
func (v *Vehicle) SpringOf(item *model.Item) *Spring {
	for _, s := range v.springs {
		if s.Item == item || s.Link == item {
			return s
		}
	}
	return nil
}

// drawnPush is a coil with what it pushes where its link is as long as it is drawn. That may be more or less by
// the ± of the two ends, each along its line, and of what is written of the coil; and it is no less than it would
// be at the length that somebody measured.
func (v *Vehicle) drawnPush(spring *Spring) (p pressed, unknown *Unknown) {
	free, unknown := spring.Free()
	if unknown != nil {
		return p, unknown
	}
	rate, unknown := spring.Rate()
	if unknown != nil {
		return p, unknown
	}
	tol := 0.0
	for _, e := range v.Ends(spring.Link) {
		if e.At == nil {
			return p, NotRecorded(e.Path("at"))
		}
		tol += within(*e.At)
	}
	long := v.drawn(spring)
	shortest := long - tol
	if found, measured := spring.Link.Quantity("found.length"); measured {
		shortest = min(shortest, found.Value-cmp.Or(found.Tol, Tape))
	}
	for _, field := range []string{"free_length", "found.seats"} {
		q, _ := spring.Quantity(field)
		shortest -= q.Tol
	}
	ofRate, _ := spring.Quantity("rate")
	p = pressed{Spring: spring, push: rate * max(0, free-long)}
	p.more = (rate+ofRate.Tol)*max(0, free-shortest) - p.push
	return p, nil
}

// rated is a coil in its link as statics wants it, with the ± of what is written and of the ends of its link.
func (v *Vehicle) rated(spring *Spring) (r statics.Rated, unknown *Unknown) {
	if in, known := spring.Bool("found.fitted"); known && !in {
		return r, NotComputed("%s is out", spring.ID)
	}
	free, unknown := spring.Free()
	if unknown != nil {
		return r, unknown
	}
	if _, unknown = spring.Rate(); unknown != nil {
		return r, unknown
	}
	if _, unknown = spring.Open(); unknown != nil {
		return r, unknown
	}
	rate, _ := spring.Quantity("rate")
	r = statics.Rated{Rate: rate.Value, RateTol: rate.Tol, Free: free}
	for _, field := range []string{"free_length", "found.seats"} {
		q, _ := spring.Quantity(field)
		r.FreeTol += q.Tol
	}
	for _, end := range v.Ends(spring.Link) {
		r.FreeTol += within(*end.At)
	}
	return r, nil
}

// travels reports whether a coil that is pressed so is neither at full droop nor closed.
func (s *Spring) travels(p statics.Pressed) bool {
	rate, _ := s.Rate()
	free, _ := s.Free()
	open, _ := s.Open()
	closed, written := s.Closed()
	return p.Push-p.More > rate*(free-open) && (written != nil || p.Push+p.More < rate*(free-closed))
}

// drawn is how long the link of a coil is drawn, m, whose ends are.
func (v *Vehicle) drawn(spring *Spring) float64 {
	ends := v.Ends(spring.Link)
	return r3.Norm(r3.Sub(Point(*ends[0].At), Point(*ends[1].At)))
}

// twistedBy is the torsion bar that turns in a joint, where it is not known to be out; nil without
// one.
func (v *Vehicle) twistedBy(m *Meet) *Spring {
	return v.bar(func(s *Spring) bool { return s.Joint == m.Item })
}

// bar is the first spring of some that is not known to be out; nil without one.
func (v *Vehicle) bar(of func(*Spring) bool) *Spring {
	for _, s := range v.springs {
		if in, known := s.Bool("found.fitted"); of(s) && (in || !known) {
			return s
		}
	}
	return nil
}

// freedWith are a joint and what goes with it: with the anchor of a torsion bar the bearing in which that turns.
func (v *Vehicle) freedWith(joint *model.Item) []*model.Item {
	if bar := v.bar(func(s *Spring) bool { return s.Anchor == joint }); bar != nil {
		return []*model.Item{joint, bar.Joint}
	}
	return []*model.Item{joint}
}

// barTakes is the axis about which a torsion bar takes the moment of a joint in the place of what holds
// that; zero without one, and where its axis is not known.
func (v *Vehicle) barTakes(m *Meet) r3.Vec {
	if axis := v.twistAxis(m); axis != nil && v.twistedBy(m) != nil {
		return *axis
	}
	return r3.Vec{}
}

// twistAxis is the axis of an arm at one of its bearings: the line through both, else the
// direction of the bolt; nil where neither is known.
func (v *Vehicle) twistAxis(m *Meet) *r3.Vec {
	for _, other := range v.Meets {
		same := other.Parts == m.Parts || other.Parts[0] == m.Parts[1] && other.Parts[1] == m.Parts[0]
		if other != m && !other.Link && same && other.At != nil {
			if line := r3.Sub(Point(*other.At), Point(*m.At)); r3.Norm(line) > 0 {
				return &line
			}
		}
	}
	if m.Axis == nil {
		return nil
	}
	axis := Point(*m.Axis)
	return &axis
}
