// Package browser shows pages in Chromium and measures them. Only tests import it.
//
// One browser without a window serves all tests of a package. It is driven through a
// pair of pipes in the words of the Chrome DevTools Protocol (protocol version 1.3), so
// that a page is measured as it is, under its own security policy.
package browser

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// patience is how long the browser may take for one answer.
const patience = time.Minute

// browser is the one that runs.
type browser struct {
	command *exec.Cmd
	profile string // folder
	in, out *os.File
	answers *bufio.Reader
	last    int // number of the last question
	tabs    map[string]*tab
	shown   *tab // the one in which files are shown
}

// tab is one page with what it did.
type tab struct {
	session  string
	requests []string // addresses that the page asked for
	messages []string // of its console
	loaded   bool
}

var (
	mu      sync.Mutex // one page at a time
	running *browser
)

// Main runs the tests of a package and then ends the browser. It is what TestMain
// calls, and returns the exit code.
func Main(m *testing.M) int {
	code := m.Run()
	if running != nil {
		running.in.Close() // it ends with its pipe
		_ = running.command.Wait()
		_ = os.RemoveAll(running.profile)
	}
	return code
}

// start starts the browser. A machine without one skips the test, except where
// CI_CHROMIUM=1 says that there must be one.
func start(t *testing.T) *browser {
	binary, err := exec.LookPath("chromium")
	if err != nil {
		if os.Getenv("CI_CHROMIUM") == "1" {
			t.Fatal("CI_CHROMIUM=1, but there is no chromium on the path")
		}
		t.Skip("no chromium on the path; the layout was not measured")
	}
	profile, err := os.MkdirTemp("", "setdown-browser-")
	require.NoError(t, err)
	read, in, err := os.Pipe()
	require.NoError(t, err)
	out, write, err := os.Pipe()
	require.NoError(t, err)
	b := &browser{profile: profile, in: in, out: out, answers: bufio.NewReaderSize(out, 1<<20), tabs: map[string]*tab{}}
	b.command = exec.Command(binary, "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
		"--disable-component-update", "--disable-sync", "--hide-scrollbars", "--user-data-dir="+profile, "--remote-debugging-pipe", "about:blank")
	b.command.ExtraFiles = []*os.File{read, write} // the browser reads from 3 and writes to 4
	require.NoError(t, b.command.Start())
	read.Close()
	write.Close()
	b.shown = b.tab(t, "")
	return b
}

// tab opens a tab, in the profile with that id or in the one of the browser.
func (b *browser) tab(t *testing.T, profile string) *tab {
	params := map[string]any{"url": "about:blank"}
	if profile != "" {
		params["browserContextId"] = profile
	}
	var made struct{ TargetID string }
	b.ask(t, nil, "Target.createTarget", params, &made)
	var attached struct{ SessionID string }
	b.ask(t, nil, "Target.attachToTarget", map[string]any{"targetId": made.TargetID, "flatten": true}, &attached)
	n := &tab{session: attached.SessionID}
	b.tabs[n.session] = n
	for _, domain := range []string{"Page", "Runtime", "Network", "Log"} {
		b.ask(t, n, domain+".enable", nil, nil)
	}
	return n
}

// message is one message of the protocol, either way.
type message struct {
	ID        int             `json:"id,omitempty"`
	SessionID string          `json:"sessionId,omitempty"`
	Method    string          `json:"method,omitempty"`
	Params    any             `json:"params,omitempty"`
	Result    json.RawMessage `json:"result,omitempty"`
	Error     *struct{ Message string }
}

// ask asks a tab, or the browser itself, for one thing and reads up to its answer.
func (b *browser) ask(t *testing.T, of *tab, method string, params map[string]any, result any) {
	t.Helper()
	b.last++
	question := map[string]any{"id": b.last, "method": method, "params": params}
	if of != nil {
		question["sessionId"] = of.session
	}
	text, err := json.Marshal(question)
	require.NoError(t, err)
	_, err = b.in.Write(append(text, 0))
	require.NoError(t, err)
	for {
		answer := b.read(t)
		if answer.ID != b.last {
			continue
		}
		require.Nil(t, answer.Error, "%s: %v", method, answer.Error)
		if result != nil {
			require.NoError(t, json.Unmarshal(answer.Result, result))
		}
		return
	}
}

// read reads one message and remembers what it tells of the page.
func (b *browser) read(t *testing.T) message {
	t.Helper()
	require.NoError(t, b.out.SetReadDeadline(time.Now().Add(patience)))
	text, err := b.answers.ReadBytes(0)
	require.NoError(t, err)
	var m message
	var event struct {
		Request struct{ URL string }
		Entry   struct{ Text string }
	}
	m.Params = &event
	require.NoError(t, json.Unmarshal(text[:len(text)-1], &m))
	of := b.tabs[m.SessionID]
	if of == nil {
		return m
	}
	switch m.Method {
	case "Page.loadEventFired":
		of.loaded = true
	case "Network.requestWillBeSent":
		of.requests = append(of.requests, event.Request.URL)
	case "Log.entryAdded":
		of.messages = append(of.messages, event.Entry.Text)
	}
	return m
}

// Look says how a page is shown.
type Look struct {
	Width  int // of the window, CSS px
	Height int // 0: 900
	Dark   bool
	Paper  bool // as it would be printed
}

// Page is a page on the screen, for the rest of the test.
type Page struct {
	t   *testing.T
	b   *browser
	tab *tab
}

// Show shows a page. It fails where the page asks for anything but itself, or where its
// console has something to say, such as that it broke its own policy.
func Show(t *testing.T, html string, look Look) *Page {
	t.Helper()
	mu.Lock()
	t.Cleanup(mu.Unlock)
	if running == nil {
		running = start(t)
	}
	p := &Page{t, running, running.shown}
	p.show(html, look)
	return p
}

// Open opens pages that are served, each in a profile of its own, as on telephones of
// several people.
func Open(t *testing.T, address string, looks ...Look) []*Page {
	t.Helper()
	mu.Lock()
	t.Cleanup(mu.Unlock)
	if running == nil {
		running = start(t)
	}
	var pages []*Page
	for _, look := range looks {
		var profile struct{ BrowserContextID string }
		running.ask(t, nil, "Target.createBrowserContext", nil, &profile)
		t.Cleanup(func() {
			running.ask(t, nil, "Target.disposeBrowserContext", map[string]any{"browserContextId": profile.BrowserContextID}, nil)
		})
		p := &Page{t, running, running.tab(t, profile.BrowserContextID)}
		p.look(look)
		p.Go(address)
		pages = append(pages, p)
	}
	return pages
}

// Go opens an address, and waits until it is there.
func (p *Page) Go(address string) {
	p.t.Helper()
	p.tab.loaded = false
	p.b.ask(p.t, p.tab, "Page.navigate", map[string]any{"url": address}, nil)
	for deadline := time.Now().Add(patience); !p.tab.loaded; {
		require.True(p.t, time.Now().Before(deadline), "%s does not load", address)
		p.b.read(p.t)
	}
}

// Requests are the addresses that the page asked for, and Messages what its console says.
func (p *Page) Requests() []string { return p.tab.requests }

// Messages are what the console of the page says.
func (p *Page) Messages() []string { return p.tab.messages }

// Click presses with a mouse at a place of the window, CSS px.
func (p *Page) Click(x, y float64) {
	p.t.Helper()
	for _, kind := range []string{"mousePressed", "mouseReleased"} {
		p.b.ask(p.t, p.tab, "Input.dispatchMouseEvent", map[string]any{"type": kind, "x": x, "y": y, "button": "left", "clickCount": 1}, nil)
	}
}

// Press presses a key by its name, such as Tab, Enter or Space, or a letter.
func (p *Page) Press(key string) {
	p.t.Helper()
	named := map[string]struct {
		code int
		text string
	}{"Tab": {9, ""}, "Enter": {13, "\r"}, "Space": {32, " "}, "Backspace": {8, ""}}
	event := map[string]any{"type": "keyDown", "key": key, "code": key, "text": key}
	if n, ok := named[key]; ok {
		event["windowsVirtualKeyCode"], event["text"] = n.code, n.text
		if key == "Space" {
			event["key"] = " "
		}
	}
	p.b.ask(p.t, p.tab, "Input.dispatchKeyEvent", event, nil)
	event["type"] = "keyUp"
	delete(event, "text")
	p.b.ask(p.t, p.tab, "Input.dispatchKeyEvent", event, nil)
}

// Node is one thing as a screen reader finds it.
type Node struct{ Role, Name string }

// Nodes lists what a screen reader finds, in its order.
func (p *Page) Nodes() []Node {
	p.t.Helper()
	var answer struct {
		Nodes []struct {
			Ignored    bool
			Role, Name struct{ Value any }
		}
	}
	p.b.ask(p.t, p.tab, "Accessibility.getFullAXTree", nil, &answer)
	var list []Node
	for _, n := range answer.Nodes {
		if !n.Ignored {
			role, _ := n.Role.Value.(string)
			name, _ := n.Name.Value.(string)
			list = append(list, Node{role, name})
		}
	}
	return list
}

func (p *Page) show(html string, look Look) {
	p.t.Helper()
	path := filepath.Join(p.t.TempDir(), "page.html")
	require.NoError(p.t, os.WriteFile(path, []byte(html), 0o600))
	p.look(look)
	p.tab.requests, p.tab.messages = nil, nil
	address := "file://" + path
	p.Go(address)
	for _, r := range p.tab.requests {
		require.True(p.t, r == address || strings.HasPrefix(r, "data:"), "the page asks for %s", r)
	}
	require.Empty(p.t, p.tab.messages, "the page's console")
}

// look sets how pages are shown.
func (p *Page) look(look Look) {
	p.t.Helper()
	if look.Height == 0 {
		look.Height = 900
	}
	media, scheme := "", "light"
	if look.Paper {
		media = "print"
	}
	if look.Dark {
		scheme = "dark"
	}
	p.b.ask(p.t, p.tab, "Emulation.setDeviceMetricsOverride", map[string]any{"width": look.Width, "height": look.Height, "deviceScaleFactor": 1, "mobile": false}, nil)
	p.b.ask(p.t, p.tab, "Emulation.setEmulatedMedia", map[string]any{"media": media, "features": []map[string]string{{"name": "prefers-color-scheme", "value": scheme}}}, nil)
}

// Eval evaluates an expression in the page and puts what it is worth into result.
func (p *Page) Eval(script string, result any) {
	p.t.Helper()
	var answer struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails *struct {
			Exception struct{ Description string }
		}
	}
	p.b.ask(p.t, p.tab, "Runtime.evaluate", map[string]any{"expression": script, "returnByValue": true, "awaitPromise": true}, &answer)
	require.Nil(p.t, answer.ExceptionDetails, "%+v", answer.ExceptionDetails)
	require.NoError(p.t, json.Unmarshal(answer.Result.Value, result), "%s", script)
}

// Room is a script that says of every sheet of a page how far what stands on it ends above its foot, mm, and how
// far it runs out of it.
const Room = `[...document.querySelectorAll(".sheet")].map(s => {
  const foot = s.querySelector("footer").getBoundingClientRect();
  let low = 0;
  for (const e of s.querySelectorAll("*")) {
    const r = e.getBoundingClientRect();
    if (r.height > 0 && !e.closest("footer")) low = Math.max(low, r.bottom);
  }
  const out = foot.bottom - s.getBoundingClientRect().bottom;
  return (out > 0.5 ? -out : foot.top - low) * 25.4 / 96;
})`

// Shot returns a PNG picture of the window.
func (p *Page) Shot() []byte {
	p.t.Helper()
	var answer struct{ Data []byte }
	p.b.ask(p.t, p.tab, "Page.captureScreenshot", map[string]any{"format": "png"}, &answer)
	return answer.Data
}

// Size is a size of paper in inches.
type Size struct{ Width, Height float64 }

// The two sizes that printers have. ISO 216 and ANSI/ASME Y14.1.
var (
	A4     = Size{210 / 25.4, 297 / 25.4}
	Letter = Size{8.5, 11}
)

// PDF prints the page as its own style says, on that paper.
func (p *Page) PDF(paper Size) []byte {
	p.t.Helper()
	var answer struct{ Data []byte }
	p.b.ask(p.t, p.tab, "Page.printToPDF", map[string]any{"paperWidth": paper.Width, "paperHeight": paper.Height, "marginTop": 0, "marginBottom": 0, "marginLeft": 0, "marginRight": 0,
		"preferCSSPageSize": true, "printBackground": true}, &answer)
	return answer.Data
}

// Keep writes a picture or a print into the folder that KEEP_PAGES names, for somebody
// to look at.
func Keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if folder := os.Getenv("KEEP_PAGES"); folder != "" {
		require.NoError(t, os.WriteFile(filepath.Join(folder, name), data, 0o644), fmt.Sprintf("KEEP_PAGES=%s", folder))
	}
}
