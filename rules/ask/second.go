package ask

import (
	"strings"

	"setdown/model"
	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/rules/verdict"
)

// secondPair is the fact that says who looked a second time.
const secondPair = "seen_by"

// second makes the second look: of the things that the rules want seen by two people, what
// is critical and has been said by one.
func second(b *model.Build, m *verdict.Move, units quantity.System) []verdict.Screen {
	a := &asker{build: b, units: units, wanted: map[string]*want{}}
	for _, f := range m.Findings {
		for _, missing := range f.Missing {
			if strings.HasSuffix(missing.Path, "."+schema.Found+"."+secondPair) {
				a.again(&f, missing.Path)
			}
		}
	}
	return a.screens()
}

// again notes what is critical of a thing and was said by one person alone.
func (a *asker) again(f *verdict.Finding, path string) {
	id, _, found := a.split(path)
	if !found || a.build.Standing[id] == nil {
		return
	}
	facts, first := map[string]bool{}, ""
	for _, known := range a.build.Standing[id].Members {
		for name, fact := range known {
			field := a.build.Things[id].Kind.Found().Field(name)
			if field == nil || !field.Critical || field.Life == schema.OfLook || fact.Fault || fact.Second != "" {
				continue
			}
			if first != "" && first != fact.By {
				return // several have looked at it, each at a part: it has no second one
			}
			first = fact.By
			facts[name] = true
		}
	}
	if len(facts) > 0 {
		w := a.want(id, f)
		w.facts, w.first = facts, first
	}
}
