package html_test

import (
	"context"
	_ "embed"
	"encoding/json"
	"flag"
	"fmt"
	htmlpkg "html"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/reports/svg"
	"setdown/rules/verdict"
)

var shots = flag.String("shots", "", "folder in which to keep the pictures of the pages")

// browse runs a browser without a window. A machine without one skips the test,
// except where CI_CHROMIUM=1 says that there must be one.
func browse(t *testing.T, args ...string) (stdout, stderr string) {
	binary, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI_CHROMIUM") == "1" {
			t.Fatal("CI_CHROMIUM=1, but there is no chromium on the path")
		}
		t.Skip("no chromium on the path; the layout was not measured")
	}
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	all := append([]string{"--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync",
		"--hide-scrollbars", "--user-data-dir=" + t.TempDir()}, args...)
	var out, log strings.Builder
	cmd := exec.CommandContext(ctx, binary, all...)
	cmd.Stdout, cmd.Stderr = &out, &log
	require.NoError(t, cmd.Run(), "%s", &log)
	return out.String(), log.String()
}

// save writes a page to a file and returns its address.
func save(t *testing.T, page string) string {
	path := filepath.Join(t.TempDir(), "page.html")
	require.NoError(t, os.WriteFile(path, []byte(page), 0o600))
	return "file://" + path
}

// frame is a page that shows another at a width that a window cannot have.
func frame(address string, width, height int) string {
	return fmt.Sprintf(`<!DOCTYPE html><body style="margin:0"><iframe src="%s" style="border:0;width:%dpx;height:%dpx;display:block"></iframe><pre id="measured"></pre>
<script>onmessage=e=>{document.getElementById("measured").textContent=e.data}</script>`, address, width, height)
}

const policy = `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">`

// measuring runs in a copy of the page whose policy was taken out.
//
//go:embed testdata/measure.js
var measuring string

// measured is what the script finds.
type measured struct {
	Width, Pictures, Texts int
	Smallest               float64 // height of the smallest letters in a picture, px
	Bad                    []string
}

func measure(t *testing.T, page string, width int) measured {
	require.Contains(t, page, policy)
	copied := strings.Replace(page, policy, "", 1) + "<script>" + measuring + "</script>"
	dom, _ := browse(t, "--virtual-time-budget=5000", "--dump-dom", save(t, frame(save(t, copied), width, 900)))
	found := regexp.MustCompile(`(?s)<pre id="measured">(.*?)</pre>`).FindStringSubmatch(dom)
	require.NotNil(t, found, dom)
	var m measured
	require.NoError(t, json.Unmarshal([]byte(htmlpkg.UnescapeString(found[1])), &m), found[1])
	return m
}

// long is a report whose every text is one word of 200 letters, apart from the
// units, which the build file does not choose.
func long(t *testing.T) *verdict.Report {
	r := sample(t)
	fill(reflect.ValueOf(r), strings.Repeat("a_long_name_", 17), reflect.TypeFor[verdict.Figure]())
	return r
}

// printed turns what is meant for paper into what is shown.
func printed(page string) string { return strings.ReplaceAll(page, "@media print", "@media all") }

func TestNothingOverflows(t *testing.T) {
	board, names := write(t, sample(t), single(t)), write(t, long(t))
	for _, c := range []struct {
		name  string
		page  string
		width int
		least float64 // height of letters in pictures, px; 8 px are 6 points on paper
	}{
		{"telephone", board, 360, 9},
		{"screen", board, 1200, 9},
		{"telephone, long names", names, 360, 9},
		{"screen, long names", names, 1200, 9},
		{"A4 less its margins", printed(board), 695, 8},
		{"Letter less its margins", printed(board), 717, 8},
		{"A4, long names", printed(names), 695, 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := measure(t, c.page, c.width)
			assert.Equal(t, c.width, m.Width)
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
	wide := strings.Replace(page, "<h3>Notes</h3>", `<h3 style="width:2000px">Notes</h3>`, 1)
	assert.NotEmpty(t, measure(t, wide, 360).Bad)
	text := regexp.MustCompile(`(<text [^>]*>)([^<]*nose)</text>`)
	doubled := text.ReplaceAllString(page, "$0$1$2</text>")
	require.NotEqual(t, page, doubled)
	assert.NotEmpty(t, measure(t, doubled, 1200).Bad)
}

func TestLooks(t *testing.T) {
	address := save(t, write(t, sample(t)))
	for _, c := range []struct {
		name  string
		width int
		dark  bool
		paper string
	}{
		{"narrow-light", 360, false, svg.Light.Paper}, {"narrow-dark", 360, true, svg.Dark.Paper},
		{"wide-light", 1200, false, svg.Light.Paper}, {"wide-dark", 1200, true, svg.Dark.Paper},
	} {
		folder := *shots
		if folder == "" {
			folder = t.TempDir()
		}
		path := filepath.Join(folder, c.name+".png")
		scheme := "1"
		if c.dark {
			scheme = "0"
		}
		_, log := browse(t, fmt.Sprintf("--window-size=%d,%d", max(c.width, 500), 6000), "--blink-settings=preferredColorScheme="+scheme, "--screenshot="+path,
			"--enable-logging=stderr", save(t, frame(address, c.width, 6000)))
		assert.NotContains(t, log, "Content Security Policy", "the page keeps to its own policy")
		f, err := os.Open(path)
		require.NoError(t, err)
		defer f.Close()
		picture, err := png.Decode(f)
		require.NoError(t, err)
		r, g, b, _ := picture.At(2, 2).RGBA()
		assert.Equal(t, c.paper, fmt.Sprintf("#%02x%02x%02x", r>>8, g>>8, b>>8), c.name)
	}
}

var sheets = regexp.MustCompile(`/Type\s*/Page\b`)

func TestPrints(t *testing.T) {
	for _, size := range []string{"A4", "letter"} {
		count := func(name string, reports ...*verdict.Report) int {
			folder := *shots
			if folder == "" {
				folder = t.TempDir()
			}
			path := filepath.Join(folder, name+"-"+size+".pdf")
			page := strings.Replace(write(t, reports...), "@page{", "@page{size:"+size+";", 1)
			browse(t, "--no-pdf-header-footer", "--print-to-pdf="+path, save(t, page))
			data, err := os.ReadFile(path)
			require.NoError(t, err)
			return len(sheets.FindAll(data, -1))
		}
		r := sample(t)
		all := count("board", r)
		assert.Greater(t, all, len(r.Moves), "a move begins a sheet of its own")
		assert.Less(t, all, 14)
	}
}
