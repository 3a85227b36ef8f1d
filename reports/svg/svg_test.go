package svg_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model/quantity"
	"setdown/reports/golden"
	"setdown/reports/plain"
	"setdown/reports/svg"
	"setdown/rules/punch"
	"setdown/rules/verdict"
)

const folder = "../../testdata/golden/"

// report is a report with one move of those steps; what is wrong in the last step stops it.
func report(steps ...*verdict.Step) *verdict.Report {
	r := &verdict.Report{File: "special.yaml", Vehicle: "Hill-climb special"}
	m := verdict.Move{ID: "onto-hub-stands", Title: "from the table onto four stands", Decision: verdict.Go}
	for _, s := range steps {
		m.Steps = append(m.Steps, *s)
		for _, mark := range marks(s) {
			if s.Decision == verdict.NoGo {
				m.Decision = verdict.NoGo
				item := fmt.Sprintf("item-%d", mark.Number)
				m.Findings = append(m.Findings, verdict.Finding{Rule: "r", Outcome: verdict.Stop, Blocking: true, Item: item, Place: mark.Place, Say: item + ": " + mark.Word, Fix: "mend it", At: []verdict.Point{mark.At}, Steps: []string{s.Name}})
			}
		}
	}
	r.Moves = []verdict.Move{m}
	punch.Fill(r)
	return r
}

// marks are the joints and links of a step that are not sound, numbered.
func marks(s *verdict.Step) []svg.Mark {
	var list []svg.Mark
	add := func(place, state string, at verdict.Point) {
		shapes := map[string]svg.Shape{"missing": svg.Missing, "tack": svg.Tacked, "loose": svg.Loose, "not recorded": svg.Unseen}
		if shape, bad := shapes[state]; bad {
			list = append(list, svg.Mark{Number: len(list) + 1, At: at, Place: place, Shape: shape, Word: state})
		}
	}
	for _, j := range s.Outline.Joints {
		add(j.Place, j.State, j.At)
	}
	for _, m := range s.Outline.Members {
		add(m.Place, m.State, m.From)
	}
	return list
}

const metric = plain.Figures(quantity.Metric)

func file(t *testing.T, p svg.Picture) string {
	var b bytes.Buffer
	require.NoError(t, p.Write(&b))
	return b.String()
}

func TestGolden(t *testing.T) {
	s := sample()
	nothing := &verdict.Step{Name: "bare", Solved: verdict.NotSolved, Reason: "no places are recorded", Supports: []verdict.Reaction{{ID: "stand-1"}}}
	for name, p := range map[string]svg.Picture{
		"svg-overview.svg": svg.Overview(s, marks(s), metric),
		"svg-inch.svg":     svg.Overview(s, nil, plain.Figures(quantity.Inch)),
		"svg-corner.svg":   svg.Corner(s, "rear-right", marks(s), metric),
		"svg-nothing.svg":  svg.Overview(nothing, nil, metric),
	} {
		got := file(t, p)
		wellFormed(t, got)
		golden.Equal(t, folder+name, got)
	}
	var b bytes.Buffer
	require.NoError(t, svg.Write(&b, []*verdict.Report{report(s)}, ""))
	wellFormed(t, b.String())
	golden.Equal(t, folder+"svg-sheet.svg", b.String())

	// The step is kept for the tests of the page, which shows the same pictures.
	step, err := json.MarshalIndent(s, "", " ")
	require.NoError(t, err)
	golden.Equal(t, folder+"svg-sample.step.json", string(step)+"\n")
}

var elements = []string{"svg", "title", "desc", "style", "rect", "text", "circle", "path"}

// wellFormed reads a picture as strict XML and holds its elements, attributes
// and characters to those that a drawing needs.
func wellFormed(t *testing.T, text string) {
	d := xml.NewDecoder(strings.NewReader(text))
	for {
		token, err := d.Token()
		if err == io.EOF {
			break
		}
		require.NoError(t, err, text)
		start, is := token.(xml.StartElement)
		if !is {
			continue
		}
		require.Contains(t, elements, start.Name.Local)
		for _, a := range start.Attr {
			require.Contains(t, []string{"xmlns", "class", "role", "viewBox", "width", "height", "x", "y", "cx", "cy", "r", "d"}, a.Name.Local)
		}
	}
	for _, r := range text {
		require.False(t, unicode.Is(unicode.Cf, r) || unicode.IsControl(r) && r != '\n', "%U", r)
	}
	bare := strings.ReplaceAll(text, `xmlns="http://www.w3.org/2000/svg"`, "")
	for _, no := range []string{"http:", "https:", "url(", "@import", "NaN", "Inf", "<script"} {
		require.NotContains(t, bare, no)
	}
}

var hostile = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `]]>`, `&amp;&`, `' onload='x`, `</text></svg><svg onload=x>`, `<!--`, `</style>`,
	"\u202egnitset\u202c", "\u200f\u200e\u2066x", "a\x00b\x1b[31m\r\n", "\xff\xfe", "\ufffe\uffff", strings.Repeat("a-long-name-", 17), strings.Repeat("漢", 200), strings.Repeat("م", 90), "",
}

// fill sets every text in a value.
func fill(v reflect.Value, text string) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			fill(v.Elem(), text)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			fill(v.Field(i), text)
		}
	case reflect.Slice:
		for i := range v.Len() {
			fill(v.Index(i), text)
		}
	case reflect.String:
		v.SetString(text)
	}
}

func TestNamesStayText(t *testing.T) {
	for _, text := range hostile {
		s := sample()
		list := marks(s)
		fill(reflect.ValueOf(s), text)
		for i := range list {
			list[i].Place, list[i].Word = text, text
		}
		r := report(s)
		fill(reflect.ValueOf(r), text)
		for _, p := range []svg.Picture{svg.Overview(s, list, metric), svg.Sheet(r, &r.Moves[0]), svg.Corner(s, text, list, metric)} {
			wellFormed(t, file(t, p))
			assert.Empty(t, meet(t, p), "%.20q", text)
		}
	}
}

var (
	rings   = regexp.MustCompile(`<circle class="(?:mk|ring)" cx="([-\d.]+)" cy="([-\d.]+)" r="([\d.]+)"/>`)
	signs   = regexp.MustCompile(`<path class="(?:mk|sup)" d="([^"]+)"/>`)
	leaders = regexp.MustCompile(`<path class="thin" d="M([-\d.]+) ([-\d.]+)L([-\d.]+) ([-\d.]+)"/>`)
	numbers = regexp.MustCompile(`[-\d.]+`)
)

// floats reads numbers of a picture.
func floats(t *testing.T, texts []string) []float64 {
	var list []float64
	for _, text := range texts {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		list = append(list, v)
	}
	return list
}

// covered lists the texts of a view on which a sign, a number in its ring or a line to one
// lies. The number of a ring is its own.
func covered(t *testing.T, p svg.Picture) []string {
	view := p.Inline()
	var boxes [][4]float64 // left, top, right, bottom
	for _, m := range rings.FindAllStringSubmatch(view, -1) {
		v := floats(t, m[1:])
		boxes = append(boxes, [4]float64{v[0] - v[2], v[1] - v[2], v[0] + v[2], v[1] + v[2]})
	}
	for _, m := range signs.FindAllStringSubmatch(view, -1) {
		v := floats(t, numbers.FindAllString(m[1], -1))
		b := [4]float64{v[0], v[1], v[0], v[1]}
		for i := 0; i < len(v); i += 2 {
			b = [4]float64{min(b[0], v[i]), min(b[1], v[i+1]), max(b[2], v[i]), max(b[3], v[i+1])}
		}
		boxes = append(boxes, b)
	}
	for _, m := range leaders.FindAllStringSubmatch(view, -1) {
		v := floats(t, m[1:])
		for i := range 65 {
			x, y := v[0]+(v[2]-v[0])*float64(i)/64, v[1]+(v[3]-v[1])*float64(i)/64
			boxes = append(boxes, [4]float64{x, y, x, y})
		}
	}
	var bad []string
	for _, m := range texts.FindAllStringSubmatch(view, -1) {
		if _, err := strconv.Atoi(m[4]); err == nil && strings.Contains(m[1], "mid") {
			continue
		}
		at := floats(t, m[2:4])
		wide := 6.3 * float64(utf8.RuneCountInString(html.UnescapeString(m[4])))
		switch {
		case strings.Contains(m[1], "mid"):
			at[0] -= wide / 2
		case strings.Contains(m[1], "end"):
			at[0] -= wide
		}
		for _, b := range boxes {
			if at[0]+.5 < b[2] && b[0] < at[0]+wide-.5 && at[1]-9+.5 < b[3] && b[1] < at[1]+2-.5 {
				bad = append(bad, fmt.Sprint(m[4], " ", at, b))
			}
		}
	}
	return bad
}

var texts = regexp.MustCompile(`<text class="([a-z ]*)" x="([-\d.]+)" y="([-\d.]+)">([^<]*)</text>`)

// meet lists the texts of one view that cover each other or stick out of it, with letters
// as wide as those of a common sans-serif face.
func meet(t *testing.T, p svg.Picture) []string {
	var bad []string
	view := p.Inline()
	if strings.Count(view, "<svg") > 1 {
		return nil // a sheet is made of views
	}
	type box struct {
		x, y, w, h float64
		text       string
	}
	var boxes []box
	for _, m := range texts.FindAllStringSubmatch(view, -1) {
		x, err := strconv.ParseFloat(m[2], 64)
		require.NoError(t, err)
		y, err := strconv.ParseFloat(m[3], 64)
		require.NoError(t, err)
		b := box{x, y - 9, 6.3 * float64(utf8.RuneCountInString(html.UnescapeString(m[4]))), 11, m[4]}
		switch {
		case strings.Contains(m[1], "mid"):
			b.x -= b.w / 2
		case strings.Contains(m[1], "end"):
			b.x -= b.w
		}
		if b.x < 0 || b.x+b.w > p.W || b.y < 0 || b.y+b.h > p.H {
			bad = append(bad, fmt.Sprint("outside ", b))
		}
		for _, o := range boxes {
			if b.x+.5 < o.x+o.w && o.x+.5 < b.x+b.w && b.y+.5 < o.y+o.h && o.y+.5 < b.y+b.h {
				bad = append(bad, fmt.Sprint(b, o))
			}
		}
		boxes = append(boxes, b)
	}
	return bad
}

func TestTextsKeepApart(t *testing.T) {
	s := sample()
	require.Greater(t, len(texts.FindAllString(svg.Overview(s, marks(s), metric).Inline(), -1)), 15, "the test looks at the texts")
	crowd := sample()
	for i := range 60 {
		place := verdict.Point{X: 800 + float64(i%3), Y: float64(i % 2), Z: 140}
		crowd.Supports = append(crowd.Supports, verdict.Reaction{ID: fmt.Sprintf("stand-%d", i), At: &place})
		crowd.Outline.Joints = append(crowd.Outline.Joints, verdict.OutlineJoint{ID: fmt.Sprintf("joint-%d", i), Place: "front-left", At: place, State: "tack"})
	}
	for name, s := range map[string]*verdict.Step{"sample": s, "crowd": crowd} {
		views := []svg.Picture{svg.Overview(s, marks(s), metric)}
		for _, place := range svg.Places(s) {
			views = append(views, svg.Corner(s, place, marks(s), metric))
		}
		for _, view := range views {
			assert.Empty(t, meet(t, view), "%s %s", name, view.Title)
			if name != "crowd" { // of sixty supports in one place the lines to their names cross some
				assert.Empty(t, covered(t, view), "%s %s", name, view.Title)
			}
		}
	}
	// What finds no room is told in words.
	for i := range 60 {
		assert.Contains(t, svg.Overview(crowd, nil, metric).Desc, fmt.Sprintf("stand-%d: ", i))
	}
}

// Two shapes never look the same, even where every colour is taken away.
func TestShapesDifferWithoutColour(t *testing.T) {
	s := sample()
	seen := map[string]svg.Shape{}
	for _, shape := range []svg.Shape{svg.Missing, svg.Tacked, svg.Loose, svg.Over, svg.Unseen, svg.Other} {
		text := regexp.MustCompile(`class="[^"]*"`).ReplaceAllString(svg.Corner(s, "front-left", []svg.Mark{{Number: 1, At: s.Outline.Joints[0].At, Place: "front-left", Shape: shape}}, metric).Inline(), "")
		assert.Empty(t, seen[text], "%s looks like %s", shape, seen[text])
		seen[text] = shape
	}
	require.Len(t, seen, 6)
}

// TestMarks: a fault has the shape of the state at its place, but not of what else holds the
// joint there; past its strength it has the triangle; what nobody knows is not taken for sound.
func TestMarks(t *testing.T) {
	s := &verdict.Step{Outline: &verdict.Outline{
		Joints:  []verdict.OutlineJoint{{At: verdict.Point{X: 1}, State: "missing"}, {At: verdict.Point{X: 2}, State: "shiny"}, {At: verdict.Point{X: 6}, State: "loose"}},
		Members: []verdict.OutlineMember{{From: verdict.Point{X: 3}, To: verdict.Point{X: 4}, State: "tack"}},
	}}
	for _, c := range []struct {
		x           float64
		kind, phase string
		want        svg.Shape
	}{
		{1, "fasteners", "", svg.Missing}, {1, "welds", "", svg.Other}, {2, "fasteners", "", svg.Other}, {4, "welds", "weld", svg.Tacked}, {4, "fasteners", "", svg.Other}, {5, "welds", "", svg.Other},
		{1, "fasteners", "fit", svg.Missing}, {1, "fasteners", "torque", svg.Loose}, {6, "wheels", "torque", svg.Loose}, {6, "wheels", "fit", svg.Other}, {6, "fasteners", "", svg.Loose},
	} {
		x, want := c.x, c.want
		stop := plain.Stop{Number: 1, Kind: c.kind, Phase: c.phase, Items: []string{"a"}, Places: []string{"p"}, At: [][]verdict.Point{{{X: x}}}}
		list := svg.Marks([]plain.Stop{stop}, s)
		require.Len(t, list, 1)
		assert.Equal(t, want, list[0].Shape, "%s at %g", c.kind, x)
		stop.Over = true
		if want == svg.Other {
			want = svg.Over
		}
		assert.Equal(t, want, svg.Marks([]plain.Stop{stop}, s)[0].Shape, "%s past its strength at %g", c.kind, x)
	}
	assert.Empty(t, svg.Marks([]plain.Stop{{At: [][]verdict.Point{{{X: math.NaN()}}}, Places: []string{"p"}}}, s))
}

func TestCaption(t *testing.T) {
	assert.Empty(t, svg.Caption(nil))
	assert.Equal(t, "3 missing; 4, 5 not fully welded; 6 see the list", svg.Caption([]svg.Mark{
		{Number: 4, Shape: svg.Tacked}, {Number: 3, Shape: svg.Missing}, {Number: 5, Shape: svg.Tacked}, {Number: 4, Shape: svg.Tacked}, {Number: 6, Shape: svg.Other},
	}))
}

func TestWhatHasNoNumberIsNotDrawn(t *testing.T) {
	s := sample()
	bad := verdict.Point{X: math.NaN(), Y: math.Inf(1)}
	s.CG, s.Supports[0].At, s.Stability.Polygon[0], s.Outline.Joints[0].At, s.Outline.Members[0].From = &bad, &bad, bad, bad, bad
	s.Supports[1].Even, s.Supports[1].Worst = nil, nil
	p := svg.Overview(s, marks(s)[1:], metric)
	wellFormed(t, file(t, p))
	assert.Contains(t, p.Desc, "fr-hub-stand: not computed.")
	assert.NotContains(t, p.Inline(), "c.g.")
	wellFormed(t, file(t, svg.Corner(s, "front-left", nil, metric)))

	for _, s := range []*verdict.Step{{}, {Outline: &verdict.Outline{}, Stability: &verdict.Stability{Edges: []verdict.Edge{{}}}}, {CG: &verdict.Point{}}} {
		for _, p := range []svg.Picture{svg.Overview(s, nil, metric), svg.Corner(s, "nowhere", nil, metric)} {
			wellFormed(t, file(t, p))
		}
	}
}

// numbersIn reads the coordinates of the first element of a class.
func numbersIn(t *testing.T, picture, element string) []float64 {
	found := regexp.MustCompile(element).FindAllStringSubmatch(picture, -1)
	require.NotEmpty(t, found, element)
	var list []float64
	for _, m := range found {
		v, err := strconv.ParseFloat(m[1], 64)
		require.NoError(t, err)
		list = append(list, v)
	}
	return list
}

// The nose is on the left of both views, the left of the vehicle at the bottom of the plan.
func TestViewsAreTheRightWayRound(t *testing.T) {
	s := &verdict.Step{Supports: []verdict.Reaction{
		{ID: "front-left", At: &verdict.Point{X: 2000, Y: 500}}, {ID: "rear-right", At: &verdict.Point{X: 0, Y: -500}},
	}}
	picture := svg.Overview(s, nil, metric).Inline()
	x := numbersIn(t, picture, `<path class="sup" d="M([\d.]+)`)
	y := numbersIn(t, picture, `<path class="sup" d="M[\d.]+ ([\d.]+)`)
	require.Len(t, x, 4, "two from above, two from the left")
	assert.Less(t, x[0], x[1])
	assert.Greater(t, y[0], y[1])
	assert.Less(t, x[2], x[3])
}

// A right corner is the mirror image of the left one, with the front on its other side.
func TestCornersAreMirrorImages(t *testing.T) {
	s := sample()
	for _, end := range []string{"front-", "rear-"} {
		left, right := svg.Corner(s, end+"left", nil, metric), svg.Corner(s, end+"right", nil, metric)
		a, b := numbersIn(t, left.Inline(), `<circle class="eye" cx="([\d.]+)"`), numbersIn(t, right.Inline(), `<circle class="eye" cx="([\d.]+)"`)
		require.Len(t, b, len(a))
		for i := range a {
			assert.InDelta(t, left.W-a[i], b[i], .2)
		}
		assert.Contains(t, left.Inline(), `<text class="" x=`)
		assert.Contains(t, right.Inline(), `<text class="end" x=`)
	}
}

func TestTheStepThatMatters(t *testing.T) {
	fine, stopped := sample(), sample()
	fine.Name, fine.Decision, fine.Stops = "on the table", verdict.Go, 0
	for _, c := range []struct {
		name    string
		reports []*verdict.Report
		want    string
	}{
		{"that in which most stops it", []*verdict.Report{report(fine, stopped, fine)}, "step: on four uprights"},
		{"in any report", []*verdict.Report{report(fine), report(stopped)}, "step: on four uprights"},
		{"else the last", []*verdict.Report{report(fine, fine)}, "step: on the table"},
		{"none", nil, "There is no step to draw."},
		{"no step", []*verdict.Report{report()}, "There is no step to draw."},
	} {
		var b bytes.Buffer
		require.NoError(t, svg.Write(&b, c.reports, ""))
		assert.Contains(t, b.String(), c.want, c.name)
	}
}

func TestViews(t *testing.T) {
	r := []*verdict.Report{report(sample())}
	for _, view := range []string{"plan", "rear-left"} {
		var b bytes.Buffer
		require.NoError(t, svg.Write(&b, r, view))
		wellFormed(t, b.String())
	}
	assert.EqualError(t, svg.Write(io.Discard, r, "roof"), `there is no view "roof"; there are plan, front-left, front-right, rear-left, rear-right`)
}

func TestPlaces(t *testing.T) {
	assert.Equal(t, []string{"front-left", "front-right", "rear-left", "rear-right"}, svg.Places(sample()))
	assert.Empty(t, svg.Places(&verdict.Step{}))
}

// Contrast as WCAG 2.2 computes it (relative luminance, success criterion 1.4.3).
func TestContrast(t *testing.T) {
	luminance := func(hex string) float64 {
		var sum float64
		for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
			v, err := strconv.ParseUint(hex[1+2*i:3+2*i], 16, 8)
			require.NoError(t, err)
			c := float64(v) / 255
			if c <= 0.04045 {
				c /= 12.92
			} else {
				c = math.Pow((c+0.055)/1.055, 2.4)
			}
			sum += weight * c
		}
		return sum
	}
	contrast := func(a, b string) float64 {
		pair := []float64{luminance(a), luminance(b)}
		slices.Sort(pair)
		return (pair[1] + 0.05) / (pair[0] + 0.05)
	}
	for _, p := range []svg.Palette{svg.Light, svg.Dark, svg.Print} {
		for _, ground := range []string{p.Paper, p.Field} {
			for _, ink := range []string{p.Ink, p.Quiet, p.Bad} {
				assert.GreaterOrEqual(t, contrast(ink, ground), 7.0, "%s on %s", ink, ground)
			}
		}
		assert.GreaterOrEqual(t, contrast(p.Good, p.Paper), 7.0)
		assert.GreaterOrEqual(t, contrast(p.OnFill, p.Fill), 7.0)
		assert.GreaterOrEqual(t, contrast(p.Line, p.Paper), 3.0)
	}
}
