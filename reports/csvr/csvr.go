// Package csvr writes lists as CSV, for a spreadsheet: the punch list, the curves of
// travel, the heights.
package csvr

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"setdown/reports/plain"
	"setdown/rules/verdict"
)

// Punch writes a header, a line for each part to buy, then a line for each job in
// working order; the work of cautions frees nothing.
func Punch(w io.Writer, p verdict.Punch) error {
	rows := [][]string{{"phase", "place", "item", "what", "quantity", "thread", "class", "frees", "write down"}}
	for _, b := range p.Buy {
		rows = append(rows, []string{"buy", "", strings.Join(b.Items, " "), b.Part, strconv.Itoa(b.Quantity), b.Thread, b.Class, strings.Join(b.Moves, " "), ""})
	}
	for _, j := range p.Jobs {
		rows = append(rows, []string{j.Phase, j.Place, j.Item, j.Do, "", "", "", strings.Join(j.Moves, " "), plain.Noted(j)})
	}
	for _, j := range p.Further { // it frees nothing: no move waits for it
		rows = append(rows, []string{j.Phase, j.Place, j.Item, j.Do, "", "", "", "", plain.Noted(j)})
	}
	for _, row := range rows {
		for i, cell := range row {
			row[i] = harmless(cell)
		}
	}
	return csv.NewWriter(w).WriteAll(rows)
}

// formula holds what makes a spreadsheet take a cell for a formula, also in the
// wide forms of some keyboards.
const formula = "=+-@＝＋－＠"

// harmless keeps a cell on one line and keeps a spreadsheet from taking a text of
// the build file for a formula.
func harmless(s string) string {
	s = strings.TrimSpace(plain.Line(s))
	if first, _ := utf8.DecodeRuneInString(s); strings.ContainsRune(formula, first) {
		return "'" + s
	}
	return s
}
