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
		if r.of == outside {
			s.Mechanism = s.Mechanism || r.at != theDay && r.at != theHour
			continue
		}
		from := o.set.objects[r.of]
		if r.at == asHeld {
			continue
		}
		if r.at < 0 {
			s.Items[from.Path] = true
			continue
		}
		from, i := from.fact(int(r.at))
		n := from.layout.cell[i]
		if n == nowhere {
			s.Paths[from.Path+"."+from.layout.fields[i].Name] = true
			continue
		}
		s.Facts[Entry{Kind: from.Kind, Name: from.layout.facts[n].Name}] = true
		s.add(from, i)
	}
}
