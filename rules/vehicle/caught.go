package vehicle

import "slices"

// withoutUndone leaves out what is known to be undone where droop straps and stops stand in for it: a
// corner whose strut is out hangs in its strap. Without them the vehicle would not stay up. All that
// is undone of what hangs together goes at once; what it does not hang without stays, so that it is
// asked for as what it is. What a support bears on does not hang: there the vehicle would come down
// on the stop.
func (v *Vehicle) withoutUndone(s setting, supports []string, in situation) setting {
	stands := func(s setting) bool { return v.standing(s, supports, in) != nil }
	for _, t := range s.limits {
		if t.item.Kind.Name == "links" && v.undone(v.Ends(t.item)[0]) {
			continue // a damper that is out itself
		}
		var c Caught
		hangs := v.hangingWith(t, s)
		for _, m := range v.Meets {
			if slices.ContainsFunc(m.Parts[:], func(p string) bool { return hangs[p] }) && !s.isOff(m) && v.undone(m) && !slices.Contains(c.Undone, m.Item) {
				c.Undone = append(c.Undone, m.Item)
			}
		}
		borne := func(id string) bool {
			under, _ := v.Build.Item(id).Text("under")
			return hangs[under]
		}
		if len(c.Undone) == 0 || slices.ContainsFunc(supports, borne) {
			continue
		}
		var others []tie
		for _, t := range s.limits {
			if slices.Contains(c.Undone, t.item) {
				continue
			}
			if hangs[t.parts[0]] || hangs[t.to] {
				c.Limits = append(c.Limits, t.item)
			} else {
				others = append(others, t)
			}
		}
		held := s
		held.caught = append(slices.Clone(s.caught), c)
		falls := held
		falls.limits = others
		if stands(held) && !stands(falls) {
			s = held
		}
	}
	return s
}

// hangingWith is what a strap or stop holds and all that is joined to it, but for what the vehicle is
// built on.
func (v *Vehicle) hangingWith(t tie, s setting) map[string]bool {
	body, hangs := v.body(s), map[string]bool{}
	for next := []string{t.parts[0], t.to}; len(next) > 0; next = next[1:] {
		if p := next[0]; !hangs[p] && !body[p] {
			hangs[p] = true
			next = append(next, v.neighbours(p, s, false)...)
		}
	}
	return hangs
}
