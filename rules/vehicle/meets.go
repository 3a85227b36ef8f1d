package vehicle

import (
	"slices"

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
	motion motion
}

// Path is the path of a field of the meet in the build file.
func (m *Meet) Path(field string) string { return m.path + "." + field }

// motion is how a joint lets its parts move.
type motion uint8

const (
	turns motion = iota // about every axis
	hinge               // about the axis of its bolt alone
	face                // not at all
)

// turning are the joints that, two between the same parts, make a hinge: each
// of them then passes force and no moment.
var turning = []string{"bush", "pivot", "spherical bearing", "rod end", "ball joint", "taper ball joint"}

// findMeets reads the joints and the link ends.
func (v *Vehicle) findMeets() {
	for _, item := range v.Build.Of("joints") {
		m := &Meet{Name: item.ID, Item: item, record: item.Record, path: item.Path()}
		m.Kind, _ = item.Text("kind")
		copy(m.Parts[:], item.Texts("between"))
		v.addMeet(m)
	}
	for _, item := range v.Build.Of("links") {
		ends, _ := item.Record.Record("ends")
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
	for _, m := range v.Meets {
		m.motion = v.motionOf(m)
	}
}

func (v *Vehicle) addMeet(m *Meet) {
	m.At, m.Axis = vec(m.record, "at"), vec(m.record, "axis")
	v.Meets = append(v.Meets, m)
	v.meets[m.Name] = m
}

func vec(r *schema.Record, name string) *schema.Vec {
	at, ok := r.Vec(name)
	if !ok {
		return nil
	}
	return &at
}

// motionOf says how a joint lets its parts move. A lone pivot or bush turns about its
// axis; beside another joint between the same parts it is one of the two that make a hinge.
func (v *Vehicle) motionOf(m *Meet) motion {
	switch m.Kind {
	case "bolted face", "welded face":
		return face
	case "pivot", "bush":
		if slices.ContainsFunc(v.Meets, func(other *Meet) bool {
			return other != m && !other.Link && samePair(other.Parts, m.Parts) && slices.Contains(turning, other.Kind)
		}) {
			return turns
		}
		return hinge
	}
	return turns
}

func samePair(a, b [2]string) bool {
	return a == b || a == [2]string{b[1], b[0]}
}

// Meet finds a joint by its id or a link end as "link/end"; nil for anything else.
func (v *Vehicle) Meet(name string) *Meet { return v.meets[name] }

// Ends are the two ends of a link, in file order.
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
