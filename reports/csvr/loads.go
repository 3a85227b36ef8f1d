package csvr

import (
	"encoding/csv"
	"io"

	"setdown/rules/verdict"
)

// Loads writes what each link, joint and bent part passes, a line an item and step:
// forces in N, moments in N·m, a link's pull positive. use is the highest share of what it
// bears, with the design factor; empty where nothing was compared.
func Loads(w io.Writer, r *verdict.Report) error {
	rows := [][]string{{"move", "step", "kind", "item", "place", "straight_down_n", "most_pull_n", "most_push_n", "along_bolt_n", "across_bolt_n", "worst_n", "bent_nm", "pushed_n", "twisted_nm", "use", "if_lost"}}
	for _, m := range r.Moves {
		for _, s := range m.Steps {
			use := map[string]string{}
			for _, c := range s.Strengths {
				if _, seen := use[c.Item]; !seen && c.NotComputed == "" { // the tightest comes first
					use[c.Item] = decimal(c.Utilisation)
				}
			}
			row := func(kind, item, place, lost string, figures ...*verdict.Figure) {
				cells := []string{harmless(m.ID), harmless(s.Name), kind, harmless(item), harmless(place)}
				for _, f := range figures {
					if f == nil {
						cells = append(cells, "")
					} else {
						cells = append(cells, decimal(f.Value))
					}
				}
				rows = append(rows, append(cells, use[item], lost))
			}
			for _, l := range s.Loads {
				row(l.Kind, l.Item, l.Place, l.LetsGo, &l.Nominal, l.Tension, l.Compression, l.Axial, l.Radial, &l.Worst, nil, nil, nil)
			}
			for _, b := range s.Bends {
				row("part", b.Item, b.Place, "", nil, nil, nil, nil, nil, nil, &b.Moment, &b.Thrust, &b.Torsion)
			}
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}
