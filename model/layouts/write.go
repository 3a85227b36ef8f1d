package layouts

import (
	"fmt"
	"slices"
	"strings"
)

// Write writes a build file of the second format for a vehicle with those axles,
// and the table of its points: every part, joint, link and holder by name, alike
// ones said once, and no measure. points is the file name of the table.
func Write(front, rear *Layout, points string) (car, table []byte) {
	w := &writer{bodies: map[string][]string{}, bases: map[string]string{}}
	w.common()
	for _, a := range both(front, rear) {
		w.axle(a)
	}
	w.moves()
	return w.file(front, rear, points), []byte("point,x,y,z,plus_minus,how,day,by\n" + strings.Join(w.points, ",,,,,,,\n") + ",,,,,,,\n")
}

// axle is one axle that is written.
type axle struct {
	letter, left, right, end string
	*Layout
}

// both are the axles of a vehicle, front first.
func both(front, rear *Layout) []axle {
	return []axle{{"f", "fl-", "fr-", "front", front}, {"r", "rl-", "rr-", "rear", rear}}
}

// id is the id of a part that a layout names, seen from the side with that prefix.
func (a axle) id(name, side string) string {
	switch {
	case name == "frame" || name == "engine":
		return name
	case strings.HasPrefix(name, "~"):
		return a.letter + "-" + name[1:]
	}
	for word, prefix := range map[string]string{"left ": a.left, "right ": a.right} {
		if rest, ok := strings.CutPrefix(name, word); ok {
			return prefix + rest
		}
	}
	return side + name
}

// sections of a build file in the order in which people read them.
var sections = []string{"parts", "joints", "links", "springs", "fasteners", "stud_nuts", "spacers", "welds", "wheels", "brakes", "supports", "restraints", "moves"}

type writer struct {
	bodies map[string][]string
	bases  map[string]string // the first of each class of alike things, by section and class
	points []string
	// What the moves rest on, by end.
	bearers, stands, hubs, contacts, wheels [2][]string
	ties                                    []string
}

// add writes one item. What the things of a class have in common is said by the
// first and taken over by the others; own is of this one alone, and fill what the
// builder adds to the first.
func (w *writer) add(section, class, id, common, own, fill string) {
	key := section + " " + class
	if base := w.bases[key]; base != "" {
		common, fill = "like: "+base, ""
	} else {
		w.bases[key] = id
	}
	if fill != "" {
		fill = "  # " + fill
	}
	parts := slices.DeleteFunc([]string{common, own}, func(s string) bool { return s == "" })
	w.bodies[section] = append(w.bodies[section], fmt.Sprintf("  %s: {%s}%s", id, strings.Join(parts, ", "), fill))
}

// kin is the name of a thing without the words that only say where it is: what bears one name
// so is of one class. Arms above and below may be alike; an arm that swings is no wishbone.
func kin(name string) string {
	words := slices.DeleteFunc(strings.Split(name, "-"), func(word string) bool {
		return slices.Contains([]string{"lower", "upper", "front", "rear", "inner", "outer", "left", "right", "top", "bottom"}, word)
	})
	return strings.Join(words, "-")
}

// common writes what every vehicle has.
func (w *writer) common() {
	w.add("parts", "frame", "frame", "role: frame, place: body", "", "mass, with its ±")
	w.add("parts", "drivetrain", "engine", "role: drivetrain, place: body", "", "mass")
	w.points = append(w.points, "frame/cg", "engine/cg", "engine-mounts")
	w.add("joints", "face", "engine-mounts", "kind: bolted face", "between: [engine, frame]", "")
	w.add("fasteners", "mount", "engine-mount-bolts", "role: engine mount", "holds: [engine-mounts], needed: 4", bracketBolt)
	w.add("welds", "mount", "engine-mount-brackets", "role: mount", "holds: [engine-mounts], needed: 4", weldFill)
	w.add("welds", "node", "frame-nodes", "role: frame node, place: body", "", "needed: how many, at most 8 a group; "+weldFill)
}

// What a builder adds to the first of a class.
const (
	bracketBolt = "thread, class, torque, lock, surface, hole, tab; spread of a group"
	bareBolt    = "thread, class, torque, lock, surface, hole, tab with integral: yes where no weld of it is listed; spread of a group"
	nutFill     = "thread, torque, torque_max, lock"
	weldFill    = "fillet, base, parent"
	linkFill    = "tube or bar, rod_ends, temporary, adjusted_in_place; " + endFill
	endFill     = "shear of each end, and axis: square or where its bolt points"
	// A coil-over is a link between its bolts, and a spring that holds it.
	springLinkFill = "can_pull: yes where its damper is bolted at both ends; " + endFill
	springFill     = "rate, free_length, solid_length of the coil; open_length and closed_length of the damper; collar_pitch"
)

// axle writes one axle: what there is once, and the left side, which mirror turns.
func (w *writer) axle(a axle) {
	n := 0
	if a.end == "rear" {
		n = 1
	}
	place := "body"
	if a.Single() {
		place = a.end
	}
	w.group(a, a.Axle, a.letter+"-", place)
	if !a.Single() {
		w.group(a, a.Side, a.left, a.end+"-left")
	}
	group, prefix, sides := a.Side, a.left, []string{a.left, a.right}
	if a.Single() {
		group, prefix, sides = a.Axle, a.letter+"-", []string{a.letter + "-"}
	}
	hub, role := w.hub(a, group, prefix)
	w.add("brakes", "", prefix+"brake", "on: "+hub, "", "")
	w.add("supports", "bearer", a.left+"bearer", "kind: table, bears_on: frame node", "under: frame", "along, rated, rated_per, height")
	w.add("supports", "jack", "jack-"+a.end, "kind: jack, bears_on: frame node", "under: frame", "rated, rated_per, closed_height, clearance_after, along")
	w.add("supports", "stand", a.left+"stand", "kind: stand, bears_on: frame node", "under: frame", "rated, rated_per, height")
	bearsOn := map[string]string{"upright": "upright", "axle": "axle"}[role]
	if bearsOn == "" {
		bearsOn = "arm"
	}
	w.add("supports", "hub stand "+bearsOn, prefix+"hub-stand", "kind: stand, bears_on: "+bearsOn, "under: "+hub, "rated, rated_per, height")
	w.add("supports", "contact", prefix+"contact", "kind: wheel, bears_on: tyre", "under: "+prefix+"wheel, wheel: "+prefix+"wheel-nuts", "")
	w.points = append(w.points, a.left+"bearer", "jack-"+a.end, a.left+"stand", prefix+"hub-stand", prefix+"contact")
	for _, side := range []string{a.left, a.right} {
		w.bearers[n] = append(w.bearers[n], side+"bearer")
		w.stands[n] = append(w.stands[n], side+"stand")
	}
	for _, side := range sides {
		w.hubs[n] = append(w.hubs[n], side+"hub-stand")
		w.contacts[n] = append(w.contacts[n], side+"contact")
		w.wheels[n] = append(w.wheels[n], side+"wheel")
	}
	w.straps(a)
}

// hub is the part that a wheel is bolted to, and its role.
func (w *writer) hub(a axle, g Group, prefix string) (id, role string) {
	for _, j := range g.Joints {
		for i, name := range j.Value.Between {
			if strings.TrimPrefix(name, "~") != "wheel" {
				continue
			}
			other := j.Value.Between[1-i]
			for _, parts := range []Ordered[string]{a.Side.Parts, a.Axle.Parts} {
				for _, p := range parts {
					if p.Name == strings.TrimPrefix(other, "~") {
						role = p.Value
					}
				}
			}
			return a.id(other, prefix), role
		}
	}
	panic("layouts: " + a.Name + " has no wheel")
}

// straps ties up what hangs: each side, with the axle where that joins both. An axle and what hangs
// on links alone may turn round their straps: whether they do is worked out from the points of
// these, which stand in the table.
func (w *writer) straps(a axle) {
	const fill = "kind, rated"
	var parts []string
	for _, p := range a.Axle.Parts {
		if p.Value != "wheel" {
			parts = append(parts, a.letter+"-"+p.Name)
		}
	}
	if a.Single() {
		w.add("restraints", "strap", a.letter+"-tie", "", "ties: ["+strings.Join(parts, ", ")+"], to: frame", fill)
		w.ties = append(w.ties, a.letter+"-tie")
		return
	}
	toFrame := func(j Named[Joint]) bool { return slices.Contains(j.Value.Between[:], "frame") }
	if len(parts) > 0 || !slices.ContainsFunc(a.Side.Joints, toFrame) {
		w.points = append(w.points, a.left+"tie", a.left+"tie/to_at")
	}
	for _, p := range a.Side.Parts {
		if p.Value != "wheel" {
			parts = append(parts, a.left+p.Name)
		}
	}
	w.add("restraints", "strap", a.left+"tie", "", "ties: ["+strings.Join(parts, ", ")+"], to: frame", fill)
	w.ties = append(w.ties, a.left+"tie", a.right+"tie")
}

// group writes the parts of an axle or of its left side and what joins them.
func (w *writer) group(a axle, g Group, prefix, place string) {
	for _, p := range g.Parts {
		class := p.Value + " " + kin(p.Name)
		if p.Value == "axle" {
			class += " " + a.end // one of the two may have a differential in it
		}
		w.add("parts", class, prefix+p.Name, "role: "+p.Value, "place: "+place, "mass, section")
		if p.Value != "arm" {
			w.points = append(w.points, prefix+p.Name+"/cg")
		}
	}
	for _, j := range g.Joints {
		id := prefix + j.Name
		common, fill := "kind: "+j.Value.Kind, "ratings by its maker"
		switch j.Value.Kind {
		case "bush":
			fill = "bush: bonded or plain, ratings by its maker"
		case "bolted face":
			fill = ""
		case "taper ball joint":
			fill = "stud: up or down, ratings by its maker"
		case "long bearing", "slider":
			fill = "spread of its bearings, ratings by its maker"
			if j.Value.Axis == "" {
				fill = "axis: the direction of its pin, " + fill
			}
		}
		if axis, ok := map[string]string{"x": "[1, 0, 0]", "y": "[0, 1, 0]", "z": "[0, 0, 1]"}[j.Value.Axis]; ok {
			common += ", axis: " + axis
		}
		w.add("joints", j.Value.Kind+j.Value.Axis, id, common, fmt.Sprintf("between: [%s, %s]", a.id(j.Value.Between[0], prefix), a.id(j.Value.Between[1], prefix)), fill)
		w.points = append(w.points, id)
		w.holders(a, id, id, j.Value.HeldBy, prefix, "pivot")
	}
	for _, l := range g.Links {
		name, role, ends := l.Name, l.Value.Role, l.Value.Ends
		if name == "steer" {
			name, role, ends = a.steer(ends)
		}
		id := prefix + name
		var own []string
		for _, e := range ends {
			own = append(own, fmt.Sprintf("%s: {on: %s}", e.Name, a.id(e.Value.On, prefix)))
		}
		says, fill := "role: "+role, linkFill
		if a.CoilOvers && name == strut {
			says, fill = says+", temporary: no", springLinkFill
			w.add("springs", "coil-over "+a.Name, prefix+"spring", "kind: coil-over", "holds: ["+id+"]", springFill)
		}
		w.add("links", role+" "+kin(name)+" "+a.Name, id, says, "ends: {"+strings.Join(own, ", ")+"}", fill)
		for _, e := range ends {
			w.points = append(w.points, id+"/"+e.Name)
			w.holders(a, id+"/"+e.Name, id+"-"+e.Name, e.Value.HeldBy, prefix, does(role))
		}
	}
}

// does is what a bolt does that holds a link of that role.
func does(role string) string {
	switch role {
	case "track rod", "toe link":
		return "track rod"
	case "strut":
		return springMount
	}
	return "pivot"
}

// springMount is what holds a strut, a bolt or the bracket that it is in.
const springMount = "spring mount"

// steer is the bar that keeps a wheel straight: a track rod on the rack in front,
// a toe link on a bracket of its own behind.
func (a axle) steer(ends Ordered[End]) (name, role string, _ Ordered[End]) {
	if a.end == "front" {
		return "track-rod", "track rod", ends
	}
	behind := slices.Clone(ends)
	behind[0].Value.HeldBy = []string{"bolt", "bracket", "spacers"}
	behind[1].Value.HeldBy = []string{"bolt"}
	return "toe-link", "toe link", behind
}

// holders writes what holds a joint or link end. A class of holders is said once:
// the bolts of all pivots, the brackets of all struts.
func (w *writer) holders(a axle, target, name string, heldBy []string, prefix, role string) {
	holds := "holds: [" + target + "]"
	// Axles that are laid out otherwise have bolts and brackets of other sizes. Without a
	// bracket a bolt sits in the part itself, as in the eye of a spring.
	does, fill := role+" of "+a.Name, bareBolt
	if slices.Contains(heldBy, "bracket") {
		does, fill = does+" in a bracket", bracketBolt
	}
	for _, h := range heldBy {
		id := name + "-" + h
		own := holds
		if strings.TrimSuffix(id, "-"+h) == target || strings.Contains(target, "/") {
			own = "" // the name says it
		}
		switch h {
		case "bolts":
			w.add("fasteners", h+" "+does, id, "role: clamp, critical: yes", joined(own, "needed: 4"), fill)
		case "bolt", "cotter":
			w.add("fasteners", h+" "+does, id, "role: "+role+", critical: yes", own, fill)
		case "u-bolts":
			w.add("fasteners", h+" "+does, id, "role: U-bolt, critical: yes", holds+", needed: 4", fill)
		case "pinch-bolt":
			w.add("fasteners", h, id, "role: clamp, critical: yes", holds+", needed: 2", fill)
		case "tube":
			w.add("spacers", h, id, "", holds+", needed: 1", "")
		case "nut":
			w.add("stud_nuts", role+" of "+a.Name, id, "", own, nutFill)
		case "spacers":
			w.add("spacers", h+" of "+a.Name, id, "", joined(own, "needed: 2"), "stack, bore")
		case "bracket":
			class, joins := "bracket "+role+" of "+a.Name, "bracket"
			switch {
			case strings.HasSuffix(name, "perch"):
				class, joins = "perch of "+a.Name, "perch"
			case role == springMount:
				joins = springMount
			}
			w.add("welds", class, id, "role: "+joins, own, weldFill)
		case "wheel-nuts":
			hub, _ := w.hub(a, map[bool]Group{true: a.Axle, false: a.Side}[a.Single()], prefix)
			w.add("wheels", "nuts "+a.end, prefix+"wheel-nuts", "", holds+", on: "+hub, "nuts, torque, stud, seat, shaft_clamps_bearing")
		default:
			panic("layouts: nothing is called " + h)
		}
	}
}

func joined(a, b string) string { return strings.TrimPrefix(a+", "+b, ", ") }

// moves writes the usual moves, each end by end: there is always one end on what it
// stood on before.
func (w *writer) moves() {
	all := func(ends [2][]string) string { return strings.Join(slices.Concat(ends[0], ends[1]), ", ") }
	off := "off: [" + all(w.wheels) + "]"
	step := func(name string, supports ...[]string) string {
		return fmt.Sprintf("      - {name: %s, supports: [%s]}", name, strings.Join(slices.Concat(supports...), ", "))
	}
	end := [2]string{"front", "rear"}
	jack := [2][]string{{"jack-front"}, {"jack-rear"}}
	swap := func(id, title, rest string, from, to [2][]string) {
		// Onto one stand behind the front goes first, while two are in there.
		first, last := 1, 0
		if len(to[1]) == 1 {
			first, last = 0, 1
		}
		w.bodies["moves"] = append(w.bodies["moves"],
			fmt.Sprintf("  %s:\n    kind: lower\n    title: %s", id, title))
		if rest != "" {
			w.bodies["moves"] = append(w.bodies["moves"], "    "+strings.ReplaceAll(rest, "; ", "\n    "))
		}
		w.bodies["moves"] = append(w.bodies["moves"], "    steps:",
			step("as it stands", from[0], from[1]),
			step(end[first]+" raised", from[last], jack[first]),
			step(end[first]+" set", from[last], to[first]),
			step(end[last]+" raised", jack[last], to[first]),
			step("all set", to[0], to[1]))
	}
	ties := "restraints: [" + strings.Join(w.ties, ", ") + "]"
	swap("frame-tied", "off the table onto four stands under the frame, corners tied up", off+"; "+ties, w.bearers, w.stands)
	swap("frame-hanging", "off the table onto four stands under the frame, corners hanging", off, w.bearers, w.stands)
	swap("onto-hubs", "from the frame stands onto stands under the wheels' carriers", off, w.stands, w.hubs)
	swap("off-hubs", "back from there onto the frame stands", off, w.hubs, w.stands)
	swap("onto-wheels", "down on its wheels for a fit-up", "", w.stands, w.contacts)
	w.bodies["moves"] = append(w.bodies["moves"], "  roll-out:\n    kind: roll\n    title: rolled out of the shop by hand\n    hand_push: yes\n    steps:", step("on its wheels", w.contacts[0], w.contacts[1]))
}

// counts are the places of the walk round, and what is counted at each.
func counts(places ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "places: [%s]\n", strings.Join(places, ", "))
	b.WriteString("# Counted at the vehicle, in pieces, by somebody who has not looked at the lists below.\n# What belongs there and is missing is counted as well.\nlisted:\n  day: \"?\"\n  by: \"?\"\n")
	for _, place := range places {
		fmt.Fprintf(&b, "  %s: {bolts: \"?\", stud nuts: \"?\", spacers: \"?\", welds: \"?\", links: \"?\", wheel nuts: \"?\"}\n", place)
	}
	return b.String()
}

// wheels says of a vehicle with those axles that it has three wheels, where it has.
func wheels(front, rear *Layout) string {
	if front.Single() || rear.Single() {
		return ", wheels: 3"
	}
	return ""
}

// corners are the places of the walk round: that of one wheel is the whole end.
func corners(front, rear *Layout) []string {
	places := []string{"front-left", "front-right", "rear-right", "rear-left", "body"}
	if rear.Single() {
		places = []string{"front-left", "front-right", "rear", "body"}
	}
	if front.Single() {
		places = append([]string{"front"}, places[2:]...)
	}
	return places
}

// file is the build file.
func (w *writer) file(front, rear *Layout, points string) []byte {
	var b strings.Builder
	b.WriteString(`# What there is on this vehicle, by name. Say what each thing is where a comment
# asks for it: the first of alike ones is filled in, the others are like it. Take out
# what your car has not, and what no line here names is to be added. The points go
# into the table. What you see goes into looks: nobody fills that in beforehand. When a
# stand, trestle or jack was last examined is seen on its sticker (examined).
format: setdown/2
`)
	fmt.Fprintf(&b, "vehicle: {coordinates: mm, built_on: frame, frame: \"?\"%s}  # frame: welded, bolted or one piece\npeople: []\n", wheels(front, rear))
	b.WriteString(counts(corners(front, rear)...))
	fmt.Fprintf(&b, "axles: {front: %q, rear: %q}\npoints: %s\nmirror: [{from: fl-, to: fr-, across: y}, {from: rl-, to: rr-, across: y}]\n", front.Name, rear.Name, points)
	for _, section := range sections {
		if len(w.bodies[section]) > 0 {
			b.WriteString(section + ":\n" + strings.Join(w.bodies[section], "\n") + "\n")
		}
	}
	return []byte(b.String())
}
