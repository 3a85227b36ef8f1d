package html_test

import (
	"bytes"
	_ "embed"
	"fmt"
	"image/png"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/reports/browser"
	"setdown/reports/svg"

	"setdown/rules/punch"
	"setdown/rules/verdict"
)

func TestMain(m *testing.M) { os.Exit(browser.Main(m)) }

// measuring looks for what runs out of the page or over something else.
//
//go:embed testdata/measure.js
var measuring string

// measured is what the script finds.
type measured struct {
	Width, Pictures, Texts int
	Smallest               float64 // height of the smallest letters in a picture, px
	Bad                    []string
}

func measure(t *testing.T, page string, look browser.Look) (m measured) {
	browser.Show(t, page, look).Eval(measuring, &m)
	return m
}

// long is a report whose every text is one word of 200 letters, apart from the
// units, which the build file does not choose.
func long(t *testing.T) *verdict.Report {
	r := sample(t)
	fill(reflect.ValueOf(r), strings.Repeat("a_long_name_", 17), reflect.TypeFor[verdict.Figure]())
	return r
}

func TestNothingOverflows(t *testing.T) {
	board, names := write(t, sample(t), single(t)), write(t, long(t))
	for _, c := range []struct {
		name  string
		page  string
		look  browser.Look
		least float64 // height of letters in pictures, px; 8 px are 6 points on paper
	}{
		{"telephone", board, browser.Look{Width: 360}, 9},
		{"screen", board, browser.Look{Width: 1200}, 9},
		{"telephone, long names", names, browser.Look{Width: 360}, 9},
		{"screen, long names", names, browser.Look{Width: 1200}, 9},
		{"A4 less its margins", board, browser.Look{Width: 703, Paper: true}, 8},
		{"Letter less its margins", board, browser.Look{Width: 725, Paper: true}, 8},
		{"A4, long names", names, browser.Look{Width: 703, Paper: true}, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := measure(t, c.page, c.look)
			assert.Equal(t, c.look.Width, m.Width)
			assert.Empty(t, m.Bad)
			assert.Greater(t, m.Pictures, 1)
			assert.Greater(t, m.Texts, 25)
			assert.GreaterOrEqual(t, m.Smallest, c.least, "letters in pictures")
		})
	}
}

// The measuring finds what it is there to find.
func TestMeasuringCanFail(t *testing.T) {
	page := write(t, single(t))
	text := regexp.MustCompile(`(<text [^>]*>)(c\.g\.)</text>`)
	for name, spoiled := range map[string]string{
		"too wide": strings.Replace(page, "<h2>Workings</h2>", `<h2 style="width:2000px">Workings</h2>`, 1),
		"doubled":  text.ReplaceAllString(page, "$0$1$2</text>"),
	} {
		t.Run(name, func(t *testing.T) {
			require.NotEqual(t, page, spoiled)
			assert.NotEmpty(t, measure(t, spoiled, browser.Look{Width: 360}).Bad)
		})
	}
}

func TestLooks(t *testing.T) {
	page := write(t, sample(t))
	for name, look := range map[string]browser.Look{
		"narrow-light": {Width: 360, Height: 6000}, "narrow-dark": {Width: 360, Height: 6000, Dark: true},
		"wide-light": {Width: 1200, Height: 6000}, "wide-dark": {Width: 1200, Height: 6000, Dark: true},
	} {
		t.Run(name, func(t *testing.T) {
			shot := browser.Show(t, page, look).Shot()
			browser.Keep(t, name+".png", shot)
			picture, err := png.Decode(bytes.NewReader(shot))
			require.NoError(t, err)
			paper := svg.Light.Paper
			if look.Dark {
				paper = svg.Dark.Paper
			}
			r, g, b, _ := picture.At(2, 2).RGBA()
			assert.Equal(t, paper, fmt.Sprintf("#%02x%02x%02x", r>>8, g>>8, b>>8))
		})
	}
}

var pages = regexp.MustCompile(`/Type\s*/Page\b`)

// TestOneSheetAMove: on both sizes of paper every move is one sheet, with nothing cut,
// whatever there is to say.
func TestOneSheetAMove(t *testing.T) {
	crowded := sample(t)
	for i := range crowded.Moves {
		m := &crowded.Moves[i]
		few := slices.Clone(m.Findings)
		for k := range 40 {
			for _, f := range few {
				f.Item = fmt.Sprintf("%s-%d", f.Item, k)
				f.Say = fmt.Sprintf("%s: fault %d of many, which takes some words to say, and then some more", f.Item, k)
				f.Missing = append(slices.Clone(f.Missing), verdict.Missing{Path: fmt.Sprintf("welds.w.found.x%d", k), Doc: fmt.Sprintf("question %d, which is a rather long one to ask", k)})
				m.Findings = append(m.Findings, f)
			}
			if m.Decision == verdict.Go {
				break // a GO keeps every caution
			}
		}
		for k := range 30 {
			s := m.Steps[0]
			s.Name, s.Watch = fmt.Sprintf("step %d of a long move", k), []string{"the stands, the straps and the floor, one after the other"}
			m.Steps = append(m.Steps, s)
		}
	}
	punch.Fill(crowded)
	for name, r := range map[string]*verdict.Report{"sample": sample(t), "what if": single(t), "long names": long(t), "crowded": crowded} {
		for paper, size := range map[string]browser.Size{"A4": browser.A4, "letter": browser.Letter} {
			t.Run(name+" "+paper, func(t *testing.T) {
				p := browser.Show(t, write(t, r), browser.Look{Width: int((size.Width - 24/25.4) * 96), Paper: true})
				var free []float64
				p.Eval(browser.Room, &free)
				for i, mm := range free {
					assert.GreaterOrEqual(t, mm, 0.0, "sheet %d runs into its foot", i+1)
				}
				pdf := p.PDF(size)
				browser.Keep(t, name+" "+paper+".pdf", pdf)
				assert.Len(t, pages.FindAll(pdf, -1), len(free))
			})
		}
	}
}
