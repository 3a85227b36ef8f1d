package layouts

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// WriteShort writes the short kind of a build file for a vehicle with those axles: what holds
// it together in groups of both sides, what it stands on, a strap for each corner or axle and
// the move onto stands, without joints, masses of parts or measures.
func WriteShort(front, rear *Layout) []byte {
	w := &writer{bodies: map[string][]string{}, bases: map[string]string{}}
	w.add("fasteners", "engine-mount-bolts", "engine-mount-bolts", "place: body, role: engine mount, needed: 4", "", shortBolt)
	w.add("welds", "mount", "engine-mount-brackets", "place: body, role: mount, needed: 4", "", shortWeld)
	w.add("welds", "node", "frame-nodes", "place: body, role: frame node", "", "needed: how many, at most 8 a group; "+shortWeld)
	var tables, stands, ties []string
	for _, a := range both(front, rear) {
		w.held(a)
		straps := 2
		if a.Single() {
			straps = 1
		}
		w.add("restraints", "strap", a.end+"-straps", "", fmt.Sprintf("ties: [%s], to: car, needed: %d", a.end, straps), "kind, rated")
		ties = append(ties, a.end+"-straps")
		w.add("supports", "table", "table-"+a.end, "kind: table, bears_on: frame node", "under: car, place: "+a.end+", needed: 2", "along, rated, rated_per, height")
		tables = append(tables, "table-"+a.end)
		for _, side := range []string{"left", "right"} {
			id := "stand-" + a.end + "-" + side
			w.add("supports", "stand", id, "kind: stand, bears_on: frame node", "under: car, place: "+a.end, "rated, rated_per, height")
			stands = append(stands, id)
		}
		w.add("supports", "jack", "jack-"+a.end, "kind: jack, bears_on: frame node", "under: car, place: "+a.end, "rated, rated_per, closed_height, clearance_after")
	}
	step := func(name string, supports ...string) string {
		return fmt.Sprintf("      - {name: %s, supports: [%s]}", name, strings.Join(supports, ", "))
	}
	w.bodies["moves"] = []string{
		"  onto-stands:", "    kind: lower", "    title: off the table onto four stands under the frame, corners tied up",
		"    restraints: [" + strings.Join(ties, ", ") + "]", "    steps:",
		step("on the table", tables...),
		step("rear raised", tables[0], "jack-rear"),
		step("rear on stands", tables[0], stands[2], stands[3]),
		step("front raised", "jack-front", stands[2], stands[3]),
		step("on four stands", stands...) + "  # beside steps: people_needed, people_under, stop_at, stage; in a step on unlike heights its pitch and roll",
	}
	var b strings.Builder
	b.WriteString(`# What holds this vehicle together, in groups of both sides. Say what each group is where
# a comment asks for it, and add what no line names. What your car has not, take out here and
# strike in the log: struck: {item: ..., why: ...}. What you see goes into the log:
# setdown walk FILE --move onto-stands --by NAME
format: setdown/2
`)
	fmt.Fprintf(&b, "vehicle: {checklist: yes, frame: \"?\"%s}  # frame: welded, bolted or one piece\npeople: []\n", wheels(front, rear))
	b.WriteString(counts("front", "rear", "body"))
	fmt.Fprintf(&b, "axles: {front: %q, rear: %q}\nparts:\n  car: {role: frame, place: body}  # mass of the whole vehicle, with its ±\n", front.Name, rear.Name)
	for _, section := range sections {
		if len(w.bodies[section]) > 0 {
			b.WriteString(section + ":\n" + strings.Join(w.bodies[section], "\n") + "\n")
		}
	}
	return []byte(b.String())
}

// What a builder adds to a group of the short kind.
const (
	shortBolt = "thread, class, torque, lock, tapped_into"
	shortNut  = "thread, torque, torque_max, lock"
	shortWeld = "parent"
)

// mostPressed is how many members a group may have of which each is looked at by itself.
const mostPressed = 8

// Holders are alike things that hold an axle, as the short kind lists them: a group of both sides.
type Holders struct {
	ID, End, Section, Role string
	Pieces                 int
	Once                   bool // they hold a bar that locates the axle, of which a vehicle may have none
	sides                  int  // of wheel nuts, which are listed a wheel at a time
}

// held lists what holds the joints and links of an axle, alike things together.
func (a axle) held() (list []Holders) {
	type thing struct {
		class, name, role, by string
		sides                 int
		once                  bool
	}
	var all []thing
	add := func(g Group, sides int) {
		for _, j := range g.Joints {
			part := j.Value.Between[0] // the arm turns on its bolts, whichever part is named first
			if part == "frame" || part == "engine" {
				part = j.Value.Between[1]
			}
			for _, by := range j.Value.HeldBy {
				all = append(all, thing{kin(strings.TrimPrefix(part, "~")), j.Name, "pivot", by, sides, false})
			}
		}
		for _, l := range g.Links {
			name, role, ends := l.Name, l.Value.Role, l.Value.Ends
			if name == "steer" {
				name, role, ends = a.steer(ends)
			}
			for _, e := range ends {
				for _, by := range e.Value.HeldBy {
					all = append(all, thing{kin(name), name + "-" + e.Name, does(role), by, sides, sides == 1 && role == "locating link"})
				}
			}
		}
	}
	add(a.Axle, 1)
	add(a.Side, 2)
	count := func(class, by string) int {
		n := 0
		for _, t := range all {
			if t.class == class && t.by == by {
				n += t.sides * pieces[by].each
			}
		}
		return n
	}
	for _, t := range all {
		name, n := cmp.Or(t.class, "arm"), count(t.class, t.by)
		if n > mostPressed && pieces[t.by].section != "spacers" {
			name, n = t.name, t.sides*pieces[t.by].each // one by one: together they are too many to press
		}
		p := pieces[t.by]
		id, role := a.end+"-"+name+"-"+p.name, ""
		switch p.section {
		case "wheels":
			id = a.end + "-wheel-nuts"
		case "fasteners":
			role = cmp.Or(p.role, t.role)
		case "welds":
			if role = "bracket"; t.role != "pivot" {
				role = t.role
			}
		case "stud_nuts":
			role = t.role
		}
		i := slices.IndexFunc(list, func(h Holders) bool { return h.ID == id })
		if i < 0 {
			list = append(list, Holders{id, a.end, p.section, role, n, t.once, t.sides})
		} else {
			list[i].Once = list[i].Once && t.once
		}
	}
	return list
}

// Held lists what holds a vehicle with those axles, by the ids that WriteShort gives it.
func Held(front, rear *Layout) (all []Holders) {
	for _, a := range both(front, rear) {
		all = append(all, a.held()...)
	}
	return all
}

// held writes what holds the joints and links of an axle.
func (w *writer) held(a axle) {
	for _, h := range a.held() {
		place := "place: " + a.end
		switch h.Section {
		case "wheels":
			for i := range h.sides {
				side := []string{"left", "right"}[i]
				if h.sides == 1 {
					side = "wheel"
				}
				w.add("wheels", "nuts "+a.end, fmt.Sprintf("%s-%s-nuts", a.end, side), "", place, "nuts, torque, stud, seat, shaft_clamps_bearing")
			}
		case "fasteners":
			w.add("fasteners", h.ID, h.ID, fmt.Sprintf("%s, role: %s, critical: yes, needed: %d", place, h.Role, h.Pieces), "", shortBolt)
		case "stud_nuts":
			steers := "no"
			if h.Role == "track rod" {
				steers = "yes"
			}
			w.add("stud_nuts", h.ID, h.ID, fmt.Sprintf("%s, steering: %s, needed: %d", place, steers, h.Pieces), "", shortNut)
		case "welds":
			w.add("welds", h.Role+" "+a.Name, h.ID, "role: "+h.Role, fmt.Sprintf("%s, needed: %d", place, h.Pieces), shortWeld)
		default:
			w.add("spacers", h.ID, h.ID, fmt.Sprintf("%s, needed: %d", place, h.Pieces), "", "")
		}
	}
}

// pieces are what the holders of a layout are in the short kind: how many pieces each is, under
// which heading and by which name.
var pieces = map[string]struct {
	each                int
	section, name, role string
}{
	"bolt":       {1, "fasteners", "bolts", ""},
	"bolts":      {4, "fasteners", "face-bolts", "clamp"},
	"cotter":     {1, "fasteners", "cotters", ""},
	"u-bolts":    {4, "fasteners", "u-bolts", "U-bolt"},
	"pinch-bolt": {2, "fasteners", "pinch-bolts", "clamp"},
	"nut":        {1, "stud_nuts", "nuts", ""},
	"tube":       {1, "spacers", "tubes", ""},
	"spacers":    {2, "spacers", "spacers", ""},
	"bracket":    {1, "welds", "brackets", ""},
	"wheel-nuts": {1, "wheels", "wheel-nuts", ""},
}
