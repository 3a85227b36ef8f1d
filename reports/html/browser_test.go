package html_test

import (
	"bytes"
	_ "embed"
	"fmt"
	"image/png"
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/reports/browser"
	"setdown/reports/svg"
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
		{"A4 less its margins", board, browser.Look{Width: 695, Paper: true}, 8},
		{"Letter less its margins", board, browser.Look{Width: 717, Paper: true}, 8},
		{"A4, long names", names, browser.Look{Width: 695, Paper: true}, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := measure(t, c.page, c.look)
			assert.Equal(t, c.look.Width, m.Width)
			assert.Empty(t, m.Bad)
			assert.Greater(t, m.Pictures, 5)
			assert.Greater(t, m.Texts, 100)
			assert.GreaterOrEqual(t, m.Smallest, c.least, "letters in pictures")
		})
	}
}

// The measuring finds what it is there to find.
func TestMeasuringCanFail(t *testing.T) {
	page := write(t, single(t))
	text := regexp.MustCompile(`(<text [^>]*>)([^<]*nose)</text>`)
	for name, spoiled := range map[string]string{
		"too wide": strings.Replace(page, "<h3>Notes</h3>", `<h3 style="width:2000px">Notes</h3>`, 1),
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

var sheets = regexp.MustCompile(`/Type\s*/Page\b`)

func TestPrints(t *testing.T) {
	r := sample(t)
	for name, size := range map[string]browser.Size{"A4": browser.A4, "letter": browser.Letter} {
		t.Run(name, func(t *testing.T) {
			pdf := browser.Show(t, write(t, r), browser.Look{Width: 1200}).PDF(size)
			browser.Keep(t, "board-"+name+".pdf", pdf)
			all := len(sheets.FindAll(pdf, -1))
			assert.Greater(t, all, len(r.Moves), "a move begins a sheet of its own")
			assert.Less(t, all, 14)
		})
	}
}
