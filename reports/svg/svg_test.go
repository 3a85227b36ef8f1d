package svg_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/reports/golden"
	"setdown/reports/svg"
	"setdown/rules/verdict"
)

const folder = "../../testdata/golden/"

func report(steps ...*verdict.Step) *verdict.Report {
	r := &verdict.Report{File: "special.yaml", Vehicle: "Hill-climb special"}
	m := verdict.Move{ID: "onto-hub-stands", Title: "from the table onto four stands"}
	for _, s := range steps {
		m.Steps = append(m.Steps, *s)
	}
	r.Moves = []verdict.Move{m}
	return r
}

func file(t *testing.T, p svg.Picture) string {
	var b bytes.Buffer
	require.NoError(t, p.Write(&b))
	return b.String()
}

func TestGolden(t *testing.T) {
	s := sample()
	nothing := &verdict.Step{Name: "bare", Solved: verdict.NotSolved, Reason: "no places are recorded", Supports: []verdict.Reaction{{ID: "stand-1"}}}
	for name, p := range map[string]svg.Picture{
		"svg-plan.svg":    svg.Plan(s),
		"svg-side.svg":    svg.Side(s),
		"svg-corner.svg":  svg.Corner(s, "rear-right"),
		"svg-nothing.svg": svg.Plan(nothing),
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

var elements = []string{"svg", "title", "desc", "style", "rect", "text", "tspan", "line", "circle", "ellipse", "polygon", "path"}

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
			require.Contains(t, []string{"xmlns", "class", "role", "viewBox", "width", "height", "x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "rx", "ry", "points", "d", "dy"}, a.Name.Local)
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
		fill(reflect.ValueOf(s), text)
		for _, p := range append([]svg.Picture{svg.Plan(s), svg.Side(s), svg.Sheet(&verdict.Report{Vehicle: text, File: text}, &verdict.Move{ID: text, Title: text}, s)}, svg.Corner(s, text)) {
			wellFormed(t, file(t, p))
			assert.Empty(t, overlaps(p.Inline()), "%.20q", text)
		}
	}
}

var backs = regexp.MustCompile(`<rect class="back" x="([-\d.]+)" y="([-\d.]+)" width="([-\d.]+)" height="([-\d.]+)"/>`)

// overlaps lists the labels of one view that cover each other or stick out of it.
func overlaps(picture string) []string {
	var bad []string
	// A sheet nests one view after the other, each with its own origin.
	for _, view := range strings.Split(picture, "<svg ")[1:] {
		var boxes [][4]float64
		for _, m := range backs.FindAllStringSubmatch(view, -1) {
			var b [4]float64
			for i := range b {
				b[i], _ = strconv.ParseFloat(m[i+1], 64)
			}
			if b[0] < 0 || b[0]+b[2] > 400 {
				bad = append(bad, fmt.Sprint("outside ", b))
			}
			for _, o := range boxes {
				if b[0]+.2 < o[0]+o[2] && o[0]+.2 < b[0]+b[2] && b[1]+.2 < o[1]+o[3] && o[1]+.2 < b[1]+b[3] {
					bad = append(bad, fmt.Sprint(b, o))
				}
			}
			boxes = append(boxes, b)
		}
	}
	return bad
}

func TestLabelsKeepApart(t *testing.T) {
	s := sample()
	require.Greater(t, len(backs.FindAllString(svg.Plan(s).Inline(), -1)), 8, "the test looks at the labels")
	crowd := sample()
	for i := range 60 {
		place := verdict.Point{X: 800 + float64(i%3), Y: float64(i % 2), Z: 140}
		crowd.Supports = append(crowd.Supports, verdict.Reaction{ID: fmt.Sprintf("stand-%d", i), At: &place})
		crowd.Outline.Joints = append(crowd.Outline.Joints, verdict.OutlineJoint{ID: fmt.Sprintf("joint-%d", i), Place: "front-left", At: place, State: "tack"})
	}
	for _, s := range []*verdict.Step{s, crowd} {
		for _, p := range []svg.Picture{svg.Plan(s), svg.Side(s), svg.Corner(s, "front-left"), svg.Corner(s, "front-right"), svg.Corner(s, "rear-left"), svg.Corner(s, "rear-right")} {
			assert.Empty(t, overlaps(p.Inline()), p.Title)
		}
	}
	// What finds no room is not dropped.
	for i := range 60 {
		assert.Contains(t, svg.Plan(crowd).Inline(), fmt.Sprintf("stand-%d<", i))
	}
}

// Two states never look the same, even where every colour is taken away.
func TestStatesDifferWithoutColour(t *testing.T) {
	dash := regexp.MustCompile(`\.sd \.(tack|missing|loose|unrec)\{([^}]*)\}`)
	seen := map[string]string{}
	for _, m := range dash.FindAllStringSubmatch(svg.Style, -1) {
		assert.Contains(t, m[2], "dasharray")
		assert.Empty(t, seen[m[2]], "%s looks like %s", m[1], seen[m[2]])
		seen[m[2]] = m[1]
	}
	require.Len(t, seen, 4)

	colours := strings.NewReplacer(" bad", "", " warn", "", `"bad"`, `""`, `"warn"`, `""`)
	legend := regexp.MustCompile(`<text class="small quiet".*`)
	pictures := map[string]string{}
	for _, state := range verdict.States {
		s := sample()
		for i := range s.Outline.Members {
			s.Outline.Members[i].State = state
		}
		for i := range s.Outline.Joints {
			s.Outline.Joints[i].State = state
		}
		text := legend.ReplaceAllString(colours.Replace(svg.Corner(s, "front-left").Inline()), "")
		for other, was := range pictures {
			assert.NotEqual(t, was, text, "%s looks like %s", state, other)
		}
		pictures[state] = text
		if state != "sound" {
			assert.Contains(t, text, map[string]string{"missing": "MISSING", "tack": "TACK ONLY", "loose": "LOOSE", "not recorded": "NOT RECORDED"}[state])
		}
	}
}

func TestUnknownStateIsNotSound(t *testing.T) {
	s := sample()
	for i := range s.Outline.Members {
		s.Outline.Members[i].State = "shiny"
	}
	assert.Contains(t, svg.Corner(s, "front-left").Inline(), "NOT RECORDED")
}

func TestWhatHasNoNumberIsNotDrawn(t *testing.T) {
	s := sample()
	bad := verdict.Point{X: math.NaN(), Y: math.Inf(1)}
	s.CG, s.Supports[0].At, s.Stability.Polygon[0], s.Outline.Joints[0].At, s.Outline.Members[0].From = &bad, &bad, bad, bad, bad
	s.Supports[1].Even, s.Supports[1].Worst = nil, nil
	s.Outline.Members[1].Force = nil
	p := svg.Plan(s)
	wellFormed(t, file(t, p))
	assert.Contains(t, p.Desc, "fr-hub-stand: not computed.")
	assert.Contains(t, p.Desc, "The centre of gravity is not computed.")
	wellFormed(t, file(t, svg.Side(s)))
	c := svg.Corner(s, "front-left")
	wellFormed(t, file(t, c))
	assert.Contains(t, c.Inline(), "force not computed")

	for _, s := range []*verdict.Step{{}, {Outline: &verdict.Outline{}, Stability: &verdict.Stability{Edges: []verdict.Edge{{}}}}, {CG: &verdict.Point{}}} {
		for _, p := range []svg.Picture{svg.Plan(s), svg.Side(s), svg.Corner(s, "nowhere")} {
			wellFormed(t, file(t, p))
		}
	}
}

func TestForcesSayTheirDirection(t *testing.T) {
	s := sample()
	text := svg.Corner(s, "rear-left").Inline()
	assert.Contains(t, text, "C 1518 N · 1.82")
	assert.Contains(t, text, "T 45 N · &lt;0.01")
	assert.NotContains(t, text, "-1518")
}

func TestForce(t *testing.T) {
	for v, want := range map[float64]string{-1518: "C 1518 N", 45: "T 45 N", 0: "0 N"} {
		assert.Equal(t, want, svg.Force(verdict.Figure{Value: v, Unit: "N"}))
	}
}

func TestOutsideIsAWord(t *testing.T) {
	s := sample()
	s.Stability.Edges[2].Nominal.Value, s.Stability.Edges[2].Worst.Value = 5, -7
	assert.Contains(t, svg.Plan(s).Inline(), "5 mm, at worst 7 mm OUT")
}

// The left of the vehicle is on the left of the plan, its nose up, and on the
// left of the side view.
func TestViewsAreTheRightWayRound(t *testing.T) {
	s := &verdict.Step{Supports: []verdict.Reaction{
		{ID: "front-left", At: &verdict.Point{X: 2000, Y: 500}}, {ID: "rear-right", At: &verdict.Point{X: 0, Y: -500}},
	}}
	square := regexp.MustCompile(`<rect class="mark ?" x="([\d.]+)" y="([\d.]+)"`)
	at := square.FindAllStringSubmatch(svg.Plan(s).Inline(), -1)
	x := func(i int) float64 { v, _ := strconv.ParseFloat(at[i][1], 64); return v }
	y := func(i int) float64 { v, _ := strconv.ParseFloat(at[i][2], 64); return v }
	require.GreaterOrEqual(t, len(at), 2)
	assert.Less(t, x(0), x(1))
	assert.Less(t, y(0), y(1))

	ring := regexp.MustCompile(`<circle class="mark ?" cx="([\d.]+)"`)
	at = ring.FindAllStringSubmatch(svg.Side(s).Inline(), -1)
	require.Len(t, at, 2)
	assert.Less(t, x(0), x(1))
}

func TestTheStepThatMatters(t *testing.T) {
	fine, held := sample(), sample()
	fine.Name, fine.Decision = "on the table", verdict.Go
	for _, c := range []struct {
		name    string
		reports []*verdict.Report
		want    string
	}{
		{"the one that is held", []*verdict.Report{report(fine, held)}, "step: on four uprights"},
		{"in any report", []*verdict.Report{report(fine), report(held)}, "step: on four uprights"},
		{"else the first", []*verdict.Report{report(fine, fine)}, "step: on the table"},
		{"none", nil, "There is no step to draw."},
		{"no step", []*verdict.Report{report()}, "There is no step to draw."},
	} {
		var b bytes.Buffer
		require.NoError(t, svg.Write(&b, c.reports, ""))
		assert.Contains(t, b.String(), c.want, c.name)
	}
}

func TestPlaces(t *testing.T) {
	assert.Equal(t, []string{"front-left", "front-right", "rear-left", "rear-right"}, svg.Places(sample()))
	assert.Empty(t, svg.Places(&verdict.Step{}))
	s := &verdict.Step{Outline: &verdict.Outline{Joints: []verdict.OutlineJoint{{Place: "body", State: "sound"}, {Place: "rear", State: "tack"}}}}
	assert.Equal(t, []string{"rear"}, svg.Places(s), "a place where all joints are sound and no link is has nothing to show")
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
	for _, p := range []svg.Palette{svg.Light, svg.Dark} {
		for _, ink := range []string{p.Ink, p.Quiet, p.Bad, p.Warn, p.Good} {
			pair := []float64{luminance(ink), luminance(p.Paper)}
			slices.Sort(pair)
			assert.GreaterOrEqual(t, (pair[1]+0.05)/(pair[0]+0.05), 4.5, "%s on %s", ink, p.Paper)
		}
	}
}
