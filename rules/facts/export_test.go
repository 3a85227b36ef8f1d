package facts

// Entry is a fact of the table, by its kind and name; hidden ones too.
type Entry struct {
	Kind, Name string
	Hidden     bool
}

// Entries lists the table.
func Entries() []Entry {
	var list []Entry
	for _, k := range Kinds() {
		for _, f := range computed(k.Name) {
			list = append(list, Entry{k.Name, f.Name, f.hidden})
		}
	}
	return list
}

// Declared lists the names of the facts that the table has of a kind alone, each as often as it
// stands there.
func Declared(kind string) []string {
	var names []string
	for _, f := range table[kind] {
		names = append(names, f.Name)
	}
	return names
}

// Result works out a fact of an object, shown or hidden.
func Result(o *Object, name string) (any, *Unknown) { return o.At(o.layout.index[name]) }

// Sources are what a fact was computed from: paths of the build file, items that were read as
// a whole, facts by kind and name, and whether the mechanism was.
type Sources struct {
	Paths, Items map[string]bool
	Facts        map[Entry]bool
	Mechanism    bool
}

// SourcesOf lists what a fact was computed from, to the last recorded field.
func SourcesOf(o *Object, name string) Sources {
	s := Sources{Paths: map[string]bool{}, Items: map[string]bool{}, Facts: map[Entry]bool{}}
	s.add(o, o.layout.index[name])
	return s
}

func (s *Sources) add(o *Object, field int) {
	for _, r := range o.result(o.layout.cell[field]).reads {
		switch {
		case r.field == theDay:
		case r.object == nil:
			s.Mechanism = true
		case r.field < 0:
			s.Items[r.object.Path] = true
		case r.object.layout.cell[r.field] == nowhere:
			s.Paths[r.object.Path+"."+r.object.layout.fields[r.field].Name] = true
		default:
			entry := Entry{Kind: r.object.Kind, Name: r.object.layout.facts[r.object.layout.cell[r.field]].Name}
			s.Facts[entry] = true
			s.add(r.object, r.field)
		}
	}
}
