package model

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"gopkg.in/yaml.v3"

	"setdown/model/quantity"
	"setdown/model/schema"
	"setdown/model/source"
	"setdown/model/syntax"
)

// pointRow is one measured point of the table.
type pointRow struct {
	name string
	at   schema.Vec
	span source.Span
}

// columns of a table of points. How and by are for the people who measure.
var pointColumns = []string{"point", "x", "y", "z", "plus_minus", "how", "day", "on", "by"}

// headed takes a head such as 'x (mm)' or 'x [in]' apart.
var headed = regexp.MustCompile(`^([a-z_]+)(?: *[(\[] *([a-zA-Z]+) *[)\]])?$`)

// points reads the table of points that the build file names: point, x, y, z and
// plus_minus, in the unit of the vehicle's coordinates or in that of the head.
func (r *reader) points(read func(name string) ([]byte, error)) []pointRow {
	n := r.pointsNode
	if n == nil {
		return nil
	}
	name := n.Value
	if n.Kind != yaml.ScalarNode || !filepath.IsLocal(name) || strings.ContainsAny(name, `\:`) {
		r.fail(n, "points", "points must be the name of a table beside this file", "write it as points: points.csv")
		return nil
	}
	err := errors.New("the table cannot be had here")
	var text []byte
	if read != nil {
		text, err = read(name)
	}
	if err != nil {
		r.fail(n, "points", fmt.Sprintf("%s: %v", name, err), "")
		return nil
	}
	file := filepath.ToSlash(filepath.Join(filepath.Dir(r.build.File), name))
	t := pointTable{decoder: decoder{file: file, unit: r.unit}}
	rows := t.read(text)
	r.errs = append(r.errs, t.errs...)
	r.build.Measured = t.measured
	return rows
}

type pointTable struct {
	decoder
	measured []Measured
}

func (t *pointTable) read(text []byte) []pointRow {
	if line, column, message, hint := syntax.BadCharacter(bytes.ReplaceAll(text, []byte("\t"), []byte(" "))); message != "" {
		t.cell(line, column, message, hint)
		return nil
	}
	c := csv.NewReader(bytes.NewReader(text))
	c.FieldsPerRecord, c.TrimLeadingSpace, c.Comment = -1, true, '#'
	if head, _, _ := bytes.Cut(text, []byte("\n")); !bytes.ContainsRune(head, ',') && bytes.ContainsRune(head, ';') {
		c.Comma = ';' // what a spreadsheet writes where the comma is the decimal point
	}
	var index map[string]int
	units := map[string]string{}
	var rows []pointRow
	first := map[string]source.Span{}
	for {
		record, err := c.Read()
		if errors.Is(err, io.EOF) {
			return rows
		}
		var syntax *csv.ParseError
		if errors.As(err, &syntax) {
			t.cell(syntax.Line, syntax.Column, "this line is no row of a table: "+syntax.Err.Error(), "")
			return nil
		}
		if len(rows) > maxItems {
			t.cell(1, 1, fmt.Sprintf("the table holds more than %d points", maxItems), "")
			return nil
		}
		if index == nil {
			if index = t.head(c, record, units); index == nil {
				return nil
			}
			continue
		}
		if row, ok := t.row(c, record, index, units); ok {
			if span, twice := first[row.name]; twice {
				t.failAt(row.span, row.name, fmt.Sprintf("the point %s stands in the table twice", shown(row.name)), "keep the one that was measured", source.Related{Span: span, Message: "first here"})
				continue
			}
			first[row.name] = row.span
			rows = append(rows, row)
		}
	}
}

func (t *pointTable) cell(line, column int, message, hint string) {
	t.failAt(source.Span{File: t.file, Start: source.Pos{Line: line, Column: max(column, 1)}}, "points", message, hint)
}

// head reads the names of the columns and their units.
func (t *pointTable) head(c *csv.Reader, record []string, units map[string]string) map[string]int {
	index := map[string]int{}
	for i, cell := range record {
		line, column := c.FieldPos(i)
		m := headed.FindStringSubmatch(strings.ToLower(strings.TrimSpace(cell)))
		if m == nil || !slices.Contains(pointColumns, m[1]) {
			name := strings.TrimSpace(cell)
			t.cell(line, column, fmt.Sprintf("%s is no column of a table of points", shown(name)), meant(name, pointColumns, "the columns are "))
			return nil
		}
		if _, twice := index[m[1]]; twice {
			t.cell(line, column, fmt.Sprintf("the column %s stands here twice", m[1]), "")
			return nil
		}
		index[m[1]] = i
		units[m[1]] = t.unit
		if m[2] != "" {
			units[m[1]] = m[2]
		}
	}
	for _, name := range []string{"point", "x", "y", "z"} {
		if _, ok := index[name]; !ok {
			t.cell(1, 1, fmt.Sprintf("the column %s is missing", name), "the columns are "+strings.Join(pointColumns, ", "))
			return nil
		}
	}
	return index
}

// row reads one point. One that is not measured yet, with x, y and z empty, is
// none.
func (t *pointTable) row(c *csv.Reader, record []string, index map[string]int, units map[string]string) (pointRow, bool) {
	text := func(name string) (string, int, int) {
		i, ok := index[name]
		if !ok || i >= len(record) {
			line, _ := c.FieldPos(0)
			return "", line, 1
		}
		line, column := c.FieldPos(i)
		return strings.TrimSpace(record[i]), line, column
	}
	name, line, column := text("point")
	row := pointRow{name: name, span: source.Span{File: t.file, Start: source.Pos{Line: line, Column: max(column, 1)}}}
	x, _, _ := text("x")
	y, _, _ := text("y")
	z, _, _ := text("z")
	if x+y+z == "" {
		return row, false
	}
	for _, name := range []string{"day", "on"} {
		cell, line, column := text(name)
		if cell == "" {
			continue
		}
		day, err := quantity.ParseDate(cell)
		if err != nil {
			t.cell(line, column, fmt.Sprintf("%s of %s: %s", name, row.name, err), "")
			return row, false
		}
		t.measured = append(t.measured, Measured{Point: row.name, Day: day, Span: source.Span{File: t.file, Start: source.Pos{Line: line, Column: max(column, 1)}}})
	}
	if name == "" {
		t.cell(line, column, "this row does not say which point it is", "")
		return row, false
	}
	measure := func(name string) (quantity.Quantity, bool) {
		cell, line, column := text(name)
		if cell == "" && name == "plus_minus" {
			return quantity.Quantity{}, true
		}
		if cell != "" && strings.ContainsRune("0123456789.", rune(cell[len(cell)-1])) {
			cell += " " + units[name]
		}
		q, err := quantity.Parse(strings.ReplaceAll(cell, "−", "-"), quantity.Length)
		if err != nil {
			t.cell(line, column, fmt.Sprintf("%s of %s: %s", name, row.name, err), "leave x, y and z empty for a point that is not measured yet")
			return q, false
		}
		if limit := maxCoord; q.Value+q.Tol > limit || q.Value-q.Tol < -limit || name == "plus_minus" && q.Value < 0 {
			t.cell(line, column, fmt.Sprintf("%s of %s is out of all bounds", name, row.name), "bare numbers are in "+units[name])
			return q, false
		}
		return q, true
	}
	tol, ok := measure("plus_minus")
	var at, by [3]float64
	for i, axis := range axes {
		q, good := measure(axis)
		at[i], by[i] = q.Value, q.Tol
		if by[i] == 0 {
			by[i] = tol.Value
		}
		ok = ok && good
	}
	row.at = schema.Vec{X: at[0], Y: at[1], Z: at[2], Tol: by}
	return row, ok
}

// place lays the points into the items that they belong to, and returns those that
// belong to none yet. A point that stands in the build file as well is refused,
// but for one that mirror made: a side that was measured counts as measured.
func (r *reader) place(rows []pointRow) []pointRow {
	var left []pointRow
	for _, row := range rows {
		item, record, field := r.pointOf(row.name)
		if record == nil {
			left = append(left, row)
			continue
		}
		if v, twice := record.Lookup(field); twice && item.MirroredFrom == "" {
			r.failAt(row.span, row.name, fmt.Sprintf("the point %s stands in the build file too", shown(row.name)), "keep one of the two", source.Related{Span: v.Span, Message: "there"})
			continue
		}
		record.Set(field, schema.Value{V: row.at, Span: row.span})
	}
	return left
}

// noPlace refuses points that belong to no item.
func (r *reader) noPlace(rows []pointRow) {
	for _, row := range rows {
		r.failAt(row.span, row.name, fmt.Sprintf("there is no item for the point %s", shown(row.name)),
			source.DidYouMean(row.name, r.pointNames(), "a point is called by its joint, support or weld, link/end, part/cg or strap/to_at"))
	}
}

// pointOf finds the record and field of a point: joint, support or strap, link/end,
// part/cg, strap/to_at, or a weld's middle.
func (r *reader) pointOf(name string) (*Item, *schema.Record, string) {
	id, end, nested := strings.Cut(name, "/")
	item := r.build.byID[id]
	switch {
	case item == nil:
	case !nested && item.Kind.Name == "welds":
		fillet, ok := item.Record.Record("fillet")
		if !ok { // drawn later
			fillet = schema.NewRecord(item.Kind.Field("fillet").Fields, item.Span)
			item.Set("fillet", schema.Value{V: fillet, Span: item.Span})
		}
		return item, fillet, "centre"
	case !nested && item.Kind.Field("at") != nil:
		return item, item.Record, "at"
	case nested && (end == "cg" || end == "to_at") && item.Kind.Field(end) != nil:
		return item, item.Record, end
	case nested && item.Kind.Name == "links":
		if ends, ok := item.Record.Record("ends"); ok {
			if v, ok := ends.Lookup(end); ok {
				return item, v.V.(*schema.Record), "at"
			}
		}
	}
	return nil, nil, ""
}

// pointNames lists what a point may be called.
func (r *reader) pointNames() []string {
	var names []string
	for _, id := range r.build.ids() {
		item := r.build.byID[id]
		switch {
		case item.Kind.Name == "links":
			for _, end := range endNames(item) {
				names = append(names, id+"/"+end)
			}
		case item.Kind.Field("cg") != nil:
			names = append(names, id+"/cg")
		case item.Kind.Field("at") != nil:
			names = append(names, id)
			if item.Kind.Field("to_at") != nil {
				names = append(names, id+"/to_at")
			}
		}
	}
	return names
}
