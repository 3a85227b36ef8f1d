package derive

import (
	"setdown/model"
	"setdown/model/statics"
	"setdown/model/strength"
	"setdown/rules/facts"
)

// nutStrength compares the worst pull along a tapered stud with what its nut
// bears. The stud points away from the joint's body; a pull along it out of the
// taper is carried by the nut alone.
func (f *floor) nutStrength(item *model.Item, o *facts.Object) {
	var m *meet
	for _, name := range item.Texts("holds") {
		if at := f.byName[name]; at != nil {
			m = at
		}
	}
	switch {
	case m == nil:
		why := facts.NotRecorded(item.Path() + ".holds")
		for _, n := range []string{"pulled_out", "pull", "pulled_open", "opens_known"} {
			o.Derive(n, why)
		}
		return
	case f.setting.isOff(m):
		o.Derive("pulled_out", facts.Known(false))
		o.Derive("pull", known(force(0)))
		o.Derive("pulled_open", facts.Known(false))
		o.Derive("opens_known", facts.Known(true))
		return
	case f.none != nil:
		for _, n := range []string{"pulled_out", "pull", "pulled_open"} {
			o.Derive(n, *f.none)
		}
		_, ok := look[string](m.item, "carries_in")
		o.Derive("opens_known", facts.Known(ok))
		return
	case m.link:
		f.linkStud(m, item, o)
		return
	}
	f.studPull(m, item, o)
}

// linkStud is for the taper at a link's end. Its stud lies along the recorded
// direction of the bolt; which way it points is not recorded, so what goes along
// it counts as a pull. Such joints follow and are not opened.
func (f *floor) linkStud(m *meet, item *model.Item, o *facts.Object) {
	o.Derive("pulled_open", facts.Known(false))
	o.Derive("opens_known", facts.Known(true))
	if m.axis == nil {
		why := facts.NotRecorded(m.path("axis"))
		f.unknownStrength(o, why, "pulled_out", "pull")
		return
	}
	f.nutPull(item, o, f.pass(m).axial)
}

// nutPull compares a pull along a stud with what a nut and stud of class 5.8 bear,
// because nobody marks them.
func (f *floor) nutPull(item *model.Item, o *facts.Object, pull float64) {
	o.Derive("pulled_out", facts.Known(pull > 1))
	o.Derive("pull", known(force(pull)))
	if pull <= 1 {
		o.Derive("utilisation", known(number(0)))
		return
	}
	t, ok := item.Thread("thread")
	if !ok {
		f.unknownStrength(o, facts.NotRecorded(item.Path()+".thread"))
		return
	}
	c, err := strength.ClassOf("5.8", t.Diameter)
	var r strength.Result
	if err == nil {
		r, err = strength.BoltTension(t.Diameter, t.Pitch, t.Metric, c)
	}
	r.Assumptions = append(r.Assumptions, "stud and nut of class 5.8, as nobody marks them")
	f.compare(item, o, "nut and stud against the pull out of the taper", pull, r, err)
}

// studPull finds the force along the stud. Of the joint's two parts the file names
// the one with the tapered hole first and the one with the ball's housing second
// (between: [upright, arm]); the stud points out of the housing through the hole,
// and the nut is on its tip.
func (f *floor) studPull(m *meet, item *model.Item, o *facts.Object) {
	meant, ok := m.item.Text("carries_in")
	o.Derive("opens_known", facts.Known(ok))
	stud, ok := m.item.Text("stud")
	if !ok {
		why := facts.NotRecorded(m.path("stud"))
		o.Derive("pulled_out", why)
		o.Derive("pull", why)
		o.Derive("pulled_open", why)
		return
	}
	dir := statics.Vec{Z: 1}
	switch {
	case stud == "down":
		dir.Z = -1
	case stud == "level" && m.axis == nil:
		why := facts.NotRecorded(m.path("axis"))
		o.Derive("pulled_out", why)
		o.Derive("pull", why)
		o.Derive("pulled_open", why)
		return
	case stud == "level":
		dir = point(*m.axis)
	}
	// Along is the force on the second part, the housing, towards the stud's tip. A
	// housing that is drawn towards the tip is held there by the stud, which it
	// draws out of the taper; one that is pushed away from it presses the taper home.
	along := f.step.Along(f.assembly.joints[m.name], dir)
	pull, seat := max(0, along.Most), max(0, -along.Least)
	if stud == "level" {
		pull = max(seat, pull)
	}
	f.nutPull(item, o, pull)
	words := "stud " + stud + ": this step seats it, but a jolt lifts it off its taper"
	if pull > 1 {
		words = "stud " + stud + ": this step pulls it out of its taper, and only the nut would hold it"
	}
	o.Derive("taper_words", facts.Known(words))
	switch meant {
	case "push":
		o.Derive("pulled_open", facts.Known(pull > seat))
	case "pull":
		o.Derive("pulled_open", facts.Known(seat > pull))
	case "follower":
		o.Derive("pulled_open", facts.Known(max(seat, pull) > f.number("small_load")*f.step.Weight()))
	default:
		o.Derive("pulled_open", facts.Known(false))
	}
}
