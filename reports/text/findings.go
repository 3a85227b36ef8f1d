package text

import (
	"fmt"
	"slices"
	"strings"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// findings prints what blocks, place by place. What several findings of a rule
// ask for in the same words is said once, after the last of them.
func (p *page) findings(title string, m *verdict.Move, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	list = plain.ByPlace(list)
	same := 1
	said := map[string]bool{}
	for i, f := range list {
		if i == 0 || list[i-1].Place != f.Place {
			p.sub(placeName(f.Place))
		}
		p.finding(m, f, said)
		if i+1 < len(list) && list[i+1].Place == f.Place && list[i+1].Rule == f.Rule && list[i+1].Fix == f.Fix {
			same++
			continue
		}
		fix := clean(f.Fix)
		switch {
		case same == 2:
			fix = "both: " + fix
		case same > 2:
			fix = fmt.Sprintf("all %d: %s", same, fix)
		}
		p.wrap("    fix     ", "            ", fix)
		same = 1
	}
}

func placeName(place string) string {
	if place == "" {
		return "the move as a whole, and items with no place"
	}
	return clean(place)
}

// finding prints one finding without its fix. What was said of its item before,
// such as what happens when it lets go, is not said again.
func (p *page) finding(m *verdict.Move, f verdict.Finding, said map[string]bool) {
	of := func(label, text string) {
		if key := f.Item + "\x00" + label + text; !said[key] {
			said[key] = true
			p.wrap("    "+label, "            ", text)
		}
	}
	p.wrap("  "+p.mark(f.Outcome)+" ", "    ", clean(plain.Say(&f))+"  ["+clean(f.Rule)+inSteps(m, f)+"]")
	for _, b := range plain.Reasons(&f, p.o.Detail) {
		p.wrap("    because ", "            ", clean(b))
	}
	if f.Goes != "" && f.LetsGo != "holds" {
		of("lets go ", clean(f.Goes))
	}
	if s := f.Load; s != nil && s.NotComputed == "" {
		of("loaded  ", fmt.Sprintf("%s × %s of %s: %s of what it can take (%s)", p.shown(plain.OnPlate(s, s.Load)), number(s.Factor), p.shown(plain.OnPlate(s, s.Strength)), plain.Percent(s.Utilisation), clean(s.Check)))
	}
	if w := f.Waiver; w != nil && !w.Counts {
		p.wrap("    waiver  ", "            ", fmt.Sprintf("by %s does not count: %s", clean(w.By), clean(w.Refused)))
	}
}

// inSteps names by number the steps in which a finding came up, where it is not
// all of them.
func inSteps(m *verdict.Move, f verdict.Finding) string {
	var numbers []string
	for i, s := range m.Steps {
		if slices.Contains(f.Steps, s.Name) {
			numbers = append(numbers, fmt.Sprint(i+1))
		}
	}
	switch len(numbers) {
	case 0, len(m.Steps):
		return ""
	case 1:
		return ", step " + numbers[0]
	}
	return ", steps " + strings.Join(numbers, " ")
}

func (p *page) waived(list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head("Waived: stops that somebody answers for")
	for _, f := range list {
		text := clean(f.Say) + "  [" + clean(f.Rule) + "]"
		if w := f.Waiver; w != nil {
			text += fmt.Sprintf(" by %s until %s: %s", clean(w.By), w.Until, clean(w.Reason))
		}
		p.item("", text)
	}
}

// brief prints findings that do not block: one line a rule and what it says, with the items.
func (p *page) brief(title string, list []verdict.Finding) {
	if len(list) == 0 {
		return
	}
	p.head(title)
	for _, b := range plain.Briefly(list) {
		p.item("", cleanAll(b.Items)+": "+clean(b.Text)+"  ["+clean(b.Rule)+"]")
	}
}

func (p *page) passed(m *verdict.Move) {
	p.head("What passed")
	for _, pass := range m.Passed {
		p.wrap("  ", "      ", clean(pass.Rule)+": "+cleanAll(pass.Items))
	}
}
