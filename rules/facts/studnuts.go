package facts

import (
	"fmt"
	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model/quantity"
	"setdown/model/strength"
	"setdown/rules/vehicle"
)

var ofStudNuts = append(fixed(
	stretched,
	threaded,
	torqueShare,
	yesNo("lock_counts", "its kind of lock keeps the nut of a tapered stud when the clamp is lost: no jam nut, and no circlip", func(it item) bool { return Locks[lockKind.of(it)].Stud }),
	yesNo("over_torque", "tightened past the most it may have", func(it item) bool {
		most, limited := mostTorque.ifStated(it)
		return limited && torqued.of(it) > most
	}),
),
	count("short_by", "how many are missing", item.short),
	text("short_words", "what is missing, for a finding: the nut, or how many of how many; always known", func(it item) string {
		if all, _ := needed.ifStated(it); all > 1 && it.holder().Short > 0 {
			return fmt.Sprintf("%d of %d stud nuts", it.holder().Short, all)
		}
		return "stud nut"
	}),
	text("taper_words", "whether this step seats the stud or pulls it out, for a finding; always known", func(it item) string {
		p, unknown := taper.why(it)
		switch {
		case unknown != nil || p.stud == "":
			return "the joint only sits in its taper"
		case p.pull > 1:
			return "stud " + p.stud + ": this step pulls it out of its taper, and only the nut would keep it in"
		}
		return "stud " + p.stud + ": this step presses the taper home, but a jolt can lift it out"
	}),
	yesNo("pulled_out", "this step pulls the stud out of its taper, so that the nut alone holds it", func(it item) bool { return taper.of(it).pull > 1 }),
	measured("pull", quantity.Force, "worst force along the stud out of the taper; zero when it is always seated", func(it item) float64 { return taper.of(it).pull }),
	yesNo("pulled_open", "the weight pulls open a joint that its maker meant to be pushed shut, or the reverse", func(it item) bool {
		if m := it.taper(); m != nil && m.Link && it.step().NoLoads == nil {
			return false // it follows and is not opened
		}
		p := taper.of(it)
		if it.open() || p.stud == "" {
			return false
		}
		switch meant, _ := carriesIn.ifStated(it.of(it.taper().Item)); meant {
		case "push":
			return p.pull > p.seat
		case "pull":
			return p.seat > p.pull
		case "follower":
			return max(p.seat, p.pull) > smallLoad.of(it.policy())*it.step().Weight()
		}
		return false
	}),
	yesNo("opens_known", "the file says which load its maker meant it for", func(it item) bool {
		m := it.taper()
		if m == nil {
			it.lacks("holds")
			return false
		}
		_, stated := carriesIn.ifStated(it.of(m.Item))
		// A link's follows and is not opened; while no loads are known, that is not asked.
		return stated || it.step().Off(m) || m.Link && it.step().NoLoads == nil
	}),
	working(taper, pullOnTaper),
	// Nobody marks studs and their nuts: class 5.8 is the least in use.
	working(nutBears, func(it item) *Comparison {
		p := taper.of(it)
		if it.open() || p.pull <= 1 {
			return nil
		}
		t := threadOf.of(it)
		if it.open() {
			return nil
		}
		c, err := strength.ClassOf("5.8", t.Diameter, 0)
		var r strength.Result
		if err == nil {
			r, err = strength.BoltTension(t.Diameter, t.Pitch, t.Metric, c)
		}
		r.Assumptions = append(r.Assumptions, "stud and nut taken as class 5.8, because they are not marked")
		return it.compare("nut and stud against pull out of the taper", p.pull, r, err)
	}),
)

// taper is the joint or link end whose stud a nut holds; nil where the file names none.
func (it item) taper() *vehicle.Meet {
	list := it.meets()
	if len(list) == 0 {
		return nil
	}
	return list[len(list)-1]
}

// taperPull is the worst force along a stud, N.
type taperPull struct {
	stud       string // which way it points; "" at a link's end and while the joint is off
	pull, seat float64
}

// pullOnTaper finds the force along the stud. Of a joint's two parts the file names
// the one with the tapered hole first and the one with the ball's housing second
// (between: [upright, arm]); the stud points out of the housing through the hole,
// and the nut is on its tip. At a link's end the stud lies along the recorded direction of
// the bolt; which way it points is not recorded, so what goes along it counts as a pull.
func pullOnTaper(it item) (p taperPull) {
	m, s := it.taper(), it.step()
	switch {
	case m == nil:
		it.lacks("holds")
		return p
	case s.Off(m):
		return p
	}
	it.because(s.NoLoads)
	if it.open() {
		return p
	}
	level := m.Link
	if !m.Link {
		p.stud = studPoints.of(it.of(m.Item))
		level = p.stud == "level"
	}
	if level && m.Axis == nil {
		it.because(vehicle.NotRecorded(m.Path("axis")))
	}
	if it.open() {
		return p
	}
	if m.Link {
		along, _ := s.Pass(m.Name)
		p.pull = along.Along
		return p
	}
	dir := r3.Vec{Z: 1}
	switch p.stud {
	case "down":
		dir.Z = -1
	case "level":
		dir = vehicle.Point(*m.Axis)
	}
	// Along is the force on the second part, the housing, towards the stud's tip. A
	// housing that is drawn towards the tip is held there by the stud, which it
	// draws out of the taper; one that is pushed away from it presses the taper home.
	along := s.Along(m, dir)
	p.pull, p.seat = max(0, along.Most), max(0, -along.Least)
	if level {
		p.pull = max(p.seat, p.pull)
	}
	return p
}
