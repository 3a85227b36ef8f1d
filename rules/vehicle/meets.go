package vehicle

import (
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r3"

	"setdown/model"
	"setdown/model/schema"
)

// Meet is a place where two parts meet: a joint, or one end of a link. A link
// is there as a whole or not at all, so both of its ends share the item.
type Meet struct {
	Name  string      // joint id, or "link/end"
	Item  *model.Item // the joint or the link
	Link  bool
	Kind  string // kind of joint; "rod end" for a link end
	Parts [2]string
	At    *schema.Vec
	Axis  *schema.Vec // direction of its bolt
	Shear string      // of a link end: "single", "double", or "" when nobody recorded it

	record *schema.Record // that holds its fields
	path   string         // of that record
	comes  string         // what was found of the joint or link so that it keeps no parts together
	motion motion
}

// Path is the path of a field of the meet in the build file.
func (m *Meet) Path(field string) string { return m.path + "." + field }

// motion is how a joint lets its parts move.
type motion uint8

const (
	turns  motion = iota // about every axis
	hinge                // about its axis alone
	slides               // along its axis, and turns about it
	rack                 // along its axis
	face                 // not at all
)

// findMeets reads the joints and the link ends.
func (v *Vehicle) findMeets() {
	for _, item := range v.Build.Of("joints") {
		m := &Meet{Name: item.ID, Item: item, record: item.Record, path: item.Path()}
		m.Kind, _ = item.Text("kind")
		copy(m.Parts[:], item.Texts("between"))
		v.addMeet(m)
	}
	for _, item := range v.Build.Of("links") {
		ends, written := item.Record.Record("ends")
		if !written {
			continue // a bar of a checklist, of which nothing says what it joins
		}
		names := ends.Names()
		for i, name := range names {
			end, _ := ends.Record(name)
			other, _ := ends.Record(names[1-i])
			m := &Meet{Name: item.ID + "/" + name, Item: item, Link: true, Kind: "rod end", record: end, path: item.Path() + ".ends." + name}
			m.Parts[0], _ = end.Text("on")
			m.Parts[1], _ = other.Text("on")
			m.Shear, _ = end.Text("shear")
			v.addMeet(m)
			v.ends[item.ID] = append(v.ends[item.ID], m)
		}
	}
	for _, ends := range v.ends {
		square(ends)
	}
	for _, m := range v.Meets {
		m.motion = motions[m.Kind]
	}
}

func (v *Vehicle) addMeet(m *Meet) {
	m.At, m.Axis = vec(m.record, "at"), vec(m.record, "axis")
	m.comes = v.comesApart(m.Item)
	v.Meets = append(v.Meets, m)
	v.meets[m.Name] = m
}

// comesApart says what was found of an item so that it keeps no parts together, however tight what
// holds it is; "" where nothing was.
func (v *Vehicle) comesApart(item *model.Item) string {
	found := item.Kind.Found()
	for i := range found.Fields {
		if f := &found.Fields[i]; f.Parts && v.Build.Bad(item, f) {
			value, _ := item.Lookup(schema.Found + "." + f.Name)
			return strings.ReplaceAll(f.Name, "_", " ") + ": " + model.Written(value.V)
		}
	}
	return ""
}

// square gives a bolt that is drawn square to its link a direction across it: which one does
// not matter to a bar that passes force along its length alone.
func square(ends []*Meet) {
	if ends[0].At == nil || ends[1].At == nil {
		return
	}
	along := r3.Sub(Point(*ends[1].At), Point(*ends[0].At))
	across := r3.Cross(along, r3.Vec{Z: 1})
	if r3.Norm(across) < r3.Norm(along)/10 {
		across = r3.Cross(along, r3.Vec{X: 1}) // it stands upright
	}
	if r3.Norm(across) == 0 {
		return
	}
	across = r3.Unit(across)
	for _, m := range ends {
		if is, _ := m.record.Bool("square"); is && m.Axis == nil {
			m.Axis = &schema.Vec{X: across.X, Y: across.Y, Z: across.Z}
		}
	}
}

func vec(r *schema.Record, name string) *schema.Vec {
	at, ok := r.Vec(name)
	if !ok {
		return nil
	}
	return &at
}

// motions says how the kinds of joint let their parts move; the others turn about every axis. A
// pivot or bush is as short as a bush is: two of them make a hinge, and one alone holds no
// part up that turns about it, so that one that is left out of the file is missed. Only what is
// called a long bearing takes a moment.
var motions = map[string]motion{"long bearing": hinge, "slider": slides, "rack": rack, "bolted face": face, "welded face": face}

// axial reports whether a joint is nothing without its axis.
func (m *Meet) axial() bool { return m.motion == hinge || m.motion == slides || m.motion == rack }

// findRigid finds what does not move against the part that the vehicle is built on: what is
// bolted or welded to it face to face, or mounted on it in three places or more, and so on.
func (v *Vehicle) findRigid() {
	const mounts = 3
	v.rigid = map[string]bool{v.base: true}
	for grown := true; grown; {
		grown = false
		for _, p := range v.Build.Of("parts") {
			places := 0
			for _, m := range v.Meets {
				if other, joined := m.Other(p.ID); !joined || m.Link || !v.rigid[other] {
					continue
				}
				places++
				if m.Face() {
					places += mounts
				}
			}
			if places >= mounts && !v.rigid[p.ID] {
				v.rigid[p.ID], grown = true, true
			}
		}
	}
}

// spread lists a part and all that next leads to from it, and from there, each once.
func spread(part string, next func(part string) []string) []string {
	list := []string{part}
	for i := 0; i < len(list); i++ {
		for _, p := range next(list[i]) {
			if !slices.Contains(list, p) {
				list = append(list, p)
			}
		}
	}
	return list
}

// Rigid reports whether a part does not move against the part that the vehicle is built on.
func (v *Vehicle) Rigid(part string) bool { return v.rigid[part] }

// AtEnd reports whether a part meets one other part at the most.
func (v *Vehicle) AtEnd(part string) bool {
	first := ""
	for _, m := range v.Meets {
		if other, joined := m.Other(part); joined && first != "" && other != first {
			return false
		} else if joined {
			first = other
		}
	}
	return true
}

// Of reports whether this is a joint of a part, or the end of a link that is on it.
func (m *Meet) Of(part string) bool { return m.Parts[0] == part || !m.Link && m.Parts[1] == part }

// Other is the part that another one meets here, and whether that is here at all.
func (m *Meet) Other(part string) (other string, joined bool) {
	switch part {
	case m.Parts[0]:
		return m.Parts[1], true
	case m.Parts[1]:
		return m.Parts[0], true
	}
	return "", false
}

// Meet finds a joint by its id or a link end as "link/end"; nil for anything else.
func (v *Vehicle) Meet(name string) *Meet { return v.meets[name] }

// Ends are the two ends of a link, in file order; none of a bar of a checklist that has none written.
func (v *Vehicle) Ends(link *model.Item) []*Meet { return v.ends[link.ID] }

// Far is the other end of the link that a meet is an end of.
func (v *Vehicle) Far(m *Meet) *Meet {
	ends := v.Ends(m.Item)
	if ends[0] == m {
		return ends[1]
	}
	return ends[0]
}

// Face reports whether parts meet face to face, so that they do not move at all.
func (m *Meet) Face() bool { return m.motion == face }
