package page

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/model/layouts"
	"setdown/reports/browser"
	"setdown/reports/golden"
	"setdown/reports/svg"
	"setdown/rules/ask"
	"setdown/rules/verdict"
)

// phone is somebody at a page.
type phone struct {
	*browser.Page
	t       *testing.T
	shop    *shop
	keys    bool // by the keyboard alone
	answers int
	seen    map[string]bool // screens of which a picture was kept
}

var small = browser.Look{Width: 360, Height: 640}

// eventually waits until an expression is true in the page.
func (p *phone) eventually(script string) {
	p.t.Helper()
	for deadline := time.Now().Add(30 * time.Second); ; time.Sleep(20 * time.Millisecond) {
		var yes bool
		p.Eval("Boolean("+script+")", &yes)
		if yes {
			return
		}
		if time.Now().After(deadline) {
			var text string
			p.Eval("location.hash + ' ' + document.body.innerText", &text)
			p.t.Fatalf("not so: %s\n%s", script, text)
		}
	}
}

// drawn waits until the page has drawn what it was told.
func (p *phone) drawn() {
	p.Eval(`new Promise(done => requestAnimationFrame(() => setTimeout(() => done(true), 20)))`, new(bool))
	p.eventually(`!document.querySelector("main").inert`)
}

// press presses the link or button whose words begin so.
func (p *phone) press(words string) {
	p.t.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll("a,button,summary")].find(e => [e, ...e.querySelectorAll("b")].some(b => b.innerText.trim().startsWith(%s)))`, strconv.Quote(words))
	p.eventually(find)
	if p.keys {
		for range 200 {
			var there bool
			p.Eval(`document.activeElement === `+find, &there)
			if there {
				p.Press("Enter")
				p.drawn()
				return
			}
			p.Press("Tab")
		}
		p.t.Fatalf("no key leads to %q", words)
	}
	var at struct {
		X, Y    float64
		Covered string
	}
	p.Eval(`(e => { e.scrollIntoView({block: "center"}); const r = e.getBoundingClientRect(); const x = r.x + r.width / 2, y = r.y + r.height / 2;
		const top = document.elementFromPoint(x, y); return {x, y, covered: e.contains(top) ? "" : String(top?.outerHTML)} })(`+find+`)`, &at)
	require.Empty(p.t, at.Covered, "%q is covered", words)
	p.Click(at.X, at.Y)
	p.drawn()
}

func (p *phone) typed(text string) {
	p.t.Helper()
	p.Eval(`document.querySelector("input[type=text]").focus() ?? true`, new(any))
	for _, r := range text {
		p.Press(string(r))
	}
}

func (p *phone) hash() string {
	var hash string
	p.Eval(`decodeURIComponent(location.hash)`, &hash)
	return hash
}

// keep looks at a kind of screen, once, and keeps a picture of it.
func (p *phone) keep(name string) {
	p.t.Helper()
	if p.seen[name] {
		return
	}
	p.seen[name] = true
	p.inspect(name)
	browser.Keep(p.t, "page-"+name+".png", p.Shot())
}

// defects lists what is too small for a finger (WCAG 2.2, 2.5.5 asks for 44 px; answers
// here have 72), too faint (1.4.6 asks for 7 to 1), outside the window, or without a name.
const defects = `(() => {
	const list = [];
	const channel = c => (c /= 255) <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
	const light = ([r, g, b]) => 0.2126 * channel(r) + 0.7152 * channel(g) + 0.0722 * channel(b);
	const rgb = text => text.match(/[\d.]+/g).map(Number);
	const ground = e => { for (; e; e = e.parentElement) { const c = rgb(getComputedStyle(e).backgroundColor); if (c[3] !== 0) return c; } return [255, 255, 255]; };
	for (const e of document.querySelectorAll("a,button,input,textarea")) {
		const r = (e.type === "file" ? e.parentElement : e).getBoundingClientRect();
		if (r.height === 0) continue;
		const least = e.matches(".answer,.row,.move,.keys button,.file input") ? 72 : 44;
		if (r.height < least || r.width < 44) list.push("small: " + e.outerHTML.slice(0, 80) + " " + r.width + " x " + r.height);
		if (r.left < 0 || r.right > innerWidth) list.push("outside: " + e.outerHTML.slice(0, 80));
	}
	for (const e of document.querySelectorAll("body *")) {
		const own = [...e.childNodes].some(n => n.nodeType === 3 && n.data.trim());
		if (!own || e.closest("svg,.unseen,script,noscript") || e.getBoundingClientRect().height === 0) continue;
		const a = light(rgb(getComputedStyle(e).color)), b = light(ground(e));
		const contrast = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
		if (contrast < 7) list.push("faint: " + e.innerText.slice(0, 40) + " " + contrast.toFixed(1));
		if (parseFloat(getComputedStyle(e).fontSize) < 15) list.push("small letters: " + e.innerText.slice(0, 40));
	}
	if (document.documentElement.scrollWidth > innerWidth) list.push("wider than the window: " + document.documentElement.scrollWidth);
	if (document.querySelectorAll("main,[role=main]").length !== 1) list.push("not one main");
	if (document.querySelectorAll("h1").length !== 1) list.push("not one h1");
	if (!document.title || document.documentElement.lang !== "en") list.push("no title or language");
	return list;
})()`

// inspect looks at a screen as it is shown and as it is read out.
func (p *phone) inspect(name string) {
	p.t.Helper()
	var list []string
	p.Eval(defects, &list)
	assert.Empty(p.t, list, name)
	for _, n := range p.Nodes() {
		switch n.Role {
		case "button", "link", "textbox", "heading", "image", "img", "main":
			assert.True(p.t, n.Name != "" || n.Role == "main", "%s: a %s without a name", name, n.Role)
		}
	}
}

func newPhone(t *testing.T, s *shop, page *browser.Page, by string) *phone {
	p := &phone{Page: page, t: t, shop: s, seen: map[string]bool{}}
	p.eventually(`document.querySelector("h1")?.innerText === "Who looks?"`)
	p.typed(by)
	p.press("Begin")
	return p
}

// question is the one that is asked now, as it was judged.
func (p *phone) question(move string) *verdict.Question {
	p.t.Helper()
	_, key, _ := strings.Cut(p.hash(), "/q/")
	key, _, _ = strings.Cut(key, "/")
	round := p.shop.desk.judged(move).round
	for i := range round.Screens {
		for j := range round.Screens[i].Questions {
			if q := question(&round.Screens[i], &round.Screens[i].Questions[j], round); q.Key == key {
				return &round.Screens[i].Questions[j]
			}
		}
	}
	return nil
}

// answer answers the question on the screen as somebody does who finds all as drawn.
func (p *phone) answer(move string) {
	p.t.Helper()
	q := p.question(move)
	if q == nil { // judged away meanwhile
		p.t.Logf("gone: %s", p.hash())
		p.press("Next: ")
		return
	}
	p.answers++
	if q.Fact == "" {
		p.keep("card")
		var all bool
		p.Eval(`[...document.querySelectorAll("button")].some(b => b.innerText.startsWith("All "))`, &all)
		if all {
			p.press("All ")
		} else {
			p.press("Good")
		}
		return
	}
	l := q.Lines[0]
	good := slices.DeleteFunc(slices.Clone(l.Words), func(w string) bool { return slices.Contains(l.Bad, w) })
	var toggles int
	p.Eval(`document.querySelectorAll("button[aria-pressed=false]").length`, &toggles)
	switch {
	case len(l.Words) > 0 && toggles > 0:
		p.keep("one-by-one")
		for range toggles {
			var name string
			p.Eval(`document.querySelector("button[aria-pressed=false]").innerText`, &name)
			p.press(strings.TrimSpace(name))
		}
		p.answers += toggles - 1
		p.press("Write: ")
	case len(l.Words) > 0:
		p.keep("word")
		var many bool
		p.Eval(`[...document.querySelectorAll("button")].some(b => b.innerText.startsWith("All "))`, &many)
		if many {
			p.press("All ")
		} else {
			p.press(good[0])
		}
	case l.Text:
		p.typed("TN")
		p.press("Write it down")
	default:
		value := "2"
		if l.Drawn != "" {
			value, _, _ = strings.Cut(l.Drawn, " ")
		}
		p.keep("measure")
		for _, r := range value {
			p.press(string(r))
		}
		p.press("Write ")
	}
}

// settled waits until nothing waits and a verdict stands on top.
func (p *phone) settled() { p.eventually(`document.querySelector(".verdict.go,.verdict.nogo")`) }

// round goes round until the end of it.
func (p *phone) round(move string) {
	p.t.Helper()
	for range 300 {
		var changes string
		p.eventually(`document.querySelector("h1")`)
		hash := p.hash()
		switch {
		case strings.HasSuffix(hash, "/end"):
			p.settled()
			p.Eval(`document.querySelector("h1").innerText`, &changes)
			if strings.HasPrefix(changes, "The round is done") {
				return
			}
			p.press("Next: ")
		case strings.Contains(hash, "/q/"):
			p.settled()
			p.answer(move)
		case strings.Contains(hash, "/p/"):
			p.settled()
			p.keep("place")
			var next bool
			p.Eval(`[...document.querySelectorAll("a")].some(b => b.innerText.startsWith("Next: "))`, &next)
			if next {
				p.press("Next: ")
			} else {
				p.press("The move")
			}
		default:
			p.settled()
			p.keep("move")
			var go_ bool
			p.Eval(`[...document.querySelectorAll("a")].some(b => b.innerText.startsWith("Go round"))`, &go_)
			if go_ {
				p.press("Go round")
			} else {
				p.press("Nothing is left")
			}
		}
	}
	p.t.Fatal("the round does not come to an end")
}

// The checklist goes from an empty log to its verdict by a thumb alone, at 360 by 640.
func TestChecklistByThumb(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml"))
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "TN")
	p.eventually(`document.querySelector(".move")`)
	p.keep("board")
	p.press("Rear off its jack")
	p.round("onto-stands")
	p.keep("end")
	var text string
	p.Eval(`document.body.innerText`, &text)
	assert.Contains(t, text, "The round is done: GO", text)
	assert.Contains(t, text, "It stays so until 2026-12-09, with floor, people and supports looked at again on the day: then the look at ")
	t.Logf("%d answers", p.answers)
	assert.LessOrEqual(t, p.answers, 60)
	assert.Empty(t, p.Messages())
	for _, r := range p.Requests() {
		assert.True(t, strings.HasPrefix(r, "http://"+s.on+"/"), r)
	}
	b, err := model.Load(s.file)
	require.NoError(t, err)
	r, err := judge(b, "onto-stands")
	require.NoError(t, err)
	assert.Equal(t, verdict.Go, r.Moves[0].Decision)
	assert.NotContains(t, s.log(), ask.CannotSee)
}

// The same by the keyboard alone, in the dark, to the same looks.
func TestChecklistByKeyboard(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml"))
	dark := small
	dark.Dark = true
	page := browser.Open(t, s.address(), dark)[0]
	p := &phone{Page: page, t: t, shop: s, seen: map[string]bool{}, keys: true}
	p.eventually(`document.querySelector("h1")?.innerText === "Who looks?"`)
	p.eventually(`document.querySelector("main button")`)
	p.press("EA")
	p.press("Rear off its jack")
	p.round("onto-stands")
	p.keep("end-dark")
	p.eventually(`document.querySelector("h1").innerText === "The round is done: GO"`)
	assert.LessOrEqual(t, p.answers, 60)
	assert.Equal(t, strings.Count(s.log(), "\n- "), strings.Count(s.log(), `by: "EA"`))
	assert.Empty(t, p.Messages())
}

// The server ends in the middle. What is answered meanwhile waits in the telephone, shown
// and counted, with no verdict, also when the page is opened anew; when the server is
// there again and the code was scanned again, it goes out in its order and is written once.
func TestServerGoneInTheMiddle(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml"))
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "TN")
	p.press("Rear off its jack")
	p.press("Go round")
	p.press("Next: ")
	p.press("All 2 good")
	p.settled()
	before := strings.Count(s.log(), "\n- ")
	s.stop()
	p.eventually(`document.querySelector(".verdict").innerText.includes("no network since")`)
	for range 2 { // one by one: what is critical
		var name string
		p.Eval(`document.querySelector("button[aria-pressed=false]").innerText`, &name)
		p.press(strings.TrimSpace(name))
	}
	p.press("Write: ")
	p.eventually(`document.querySelector(".verdict").innerText.includes("1 answer waits")`)
	p.press("All 2 good")
	p.eventually(`document.querySelector(".verdict").innerText.includes("2 answers wait")`)
	p.keep("waiting")
	var text string
	p.Eval(`document.body.innerText`, &text)
	assert.Regexp(t, `Last verdict, \d\d:\d\d: NO-GO`, text)
	assert.Contains(t, text, "Save the 2 as a file")
	p.Eval(`document.querySelector(".verdict.go,.verdict.nogo") === null`, new(bool))
	assert.Equal(t, before, strings.Count(s.log(), "\n- "))

	// The page is closed and opened from what the telephone kept of it.
	p.Go("about:blank")
	p.Go("http://" + s.on + "/" + s.version + "/")
	p.eventually(`document.querySelector(".verdict").innerText.includes("2 answers wait")`)
	p.eventually(`Object.keys(localStorage).filter(k => k.startsWith("setdown.wait.")).length === 2`)

	s.start()
	p.Go(s.address())
	p.settled()
	p.eventually(`Object.keys(localStorage).filter(k => k.startsWith("setdown.wait.")).length === 0`)
	assert.Equal(t, before+2, strings.Count(s.log(), "\n- "))
	pawl, behind := strings.Index(s.log(), "found: {locked: yes}"), strings.Index(s.log(), "of: [stand-rear-left, stand-rear-right], good")
	assert.True(t, 0 < pawl && pawl < behind, "in their order:\n%s", s.log())
	p.round("onto-stands")
	p.eventually(`document.querySelector("h1").innerText === "The round is done: GO"`)
}

// Two at one time: what one answers, the other is not asked any more, and is told by whom
// but not what; each takes back only what is theirs.
func TestTwoPhones(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml"))
	pages := browser.Open(t, s.address(), small, small)
	tn, ea := newPhone(t, s, pages[0], "TN"), newPhone(t, s, pages[1], "EA")
	for _, p := range []*phone{tn, ea} {
		p.press("Rear off its jack")
		p.press("Go round")
		p.settled()
	}
	tn.press("Next: ")
	tn.press("All 2 good")
	tn.settled()
	ea.eventually(`[...document.querySelectorAll(".row b")].filter(b => b.innerText === "2 supports" && b.nextSibling.innerText === "not looked at").length === 1`) // those behind
	ea.press("Jack rear")
	ea.press("Good")
	ea.settled()
	tn.press("Back to")
	tn.eventually(`![...document.querySelectorAll(".row b")].some(b => b.innerText === "Jack rear")`)
	tn.press("The move")
	var text string
	tn.Eval(`document.body.innerText`, &text)
	assert.Contains(t, text, "EA: jack-rear\n")
	assert.Contains(t, text, "TN: stand-front-left, -right: good")

	tn.round("onto-stands")
	ea.eventually(`document.querySelector(".verdict.go")`)
	tn.eventually(`document.querySelector(".verdict.go")`)
}

// A fault is said of one, of what is not good, and stops the move; the others are asked on.
// Taken back it stays a stop until somebody has looked at that one alone.
func TestFaultAndUndo(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml"))
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "TN")
	p.press("Rear off its jack")
	p.press("Go round")
	p.press("Next: ")
	p.press("Not good")
	p.keep("which")
	p.press("stand front right")
	p.keep("fault")
	assert.Empty(t, s.log(), "nothing is written before one knows what")
	p.press("Condition? bent")
	p.press("Write it down")
	p.settled()
	assert.Contains(t, s.log(), `of: [stand-front-right], found: {condition: bent}`)
	p.eventually(`document.querySelector(".verdict.nogo").innerText.includes("1 stops it")`)
	p.press("Good")
	p.settled()
	assert.Contains(t, s.log(), "of: [stand-front-left], good: yes")
	p.press("Undo")
	p.settled()
	assert.Equal(t, 1, strings.Count(s.log(), "withdraw:"))
	p.press("Not good")
	p.press("something else")
	p.press("Say in words")
	assert.NotContains(t, s.log(), "good: no", "words are missing")
	p.Eval(`document.querySelector("textarea").focus() ?? true`, new(bool))
	for _, r := range "smells of burning" {
		p.Press(string(r))
	}
	p.press("Write it down")
	p.settled()
	assert.Contains(t, s.log(), `of: [stand-front-left], good: no, note: "smells of burning`)
	p.eventually(`document.querySelector(".verdict.nogo").innerText.includes("2 stop it")`)
	p.press("Undo")
	p.settled()
	p.eventually(`document.querySelector(".verdict.nogo").innerText.includes("2 stop it")`) // it stands until the stand was looked at alone
}

// Who has gone round leaves a second look to somebody else, who is asked what is critical,
// one by one, and is not shown what the first one said.
func TestSecondPairOfEyes(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml"))
	pages := browser.Open(t, s.address(), small, small)
	tn := newPhone(t, s, pages[0], "TN")
	tn.press("Rear off its jack")
	tn.round("onto-stands")
	ea := newPhone(t, s, pages[1], "EA")
	ea.press("Rear off its jack")
	ea.settled()
	ea.press("Go round")
	ea.keep("second")
	var text string
	ea.Eval(`document.body.innerText`, &text)
	assert.Contains(t, text, "Second look: Front")
	ea.press("Next: ")
	ea.Eval(`document.body.innerText`, &text)
	assert.Contains(t, text, "what the first one saw is not shown")
	for range 20 {
		var end bool
		ea.Eval(`location.hash.endsWith("/end")`, &end)
		if end {
			break
		}
		ea.settled()
		ea.second()
	}
	ea.eventually(`document.querySelector("h1").innerText === "The round is done: GO"`)
	assert.Positive(t, strings.Count(s.log(), "blind: yes"))

	tn.press("The move")
	tn.settled()
	tn.press("Nothing is left to ask") // of who was the first
}

// second answers one question of a second look.
func (p *phone) second() {
	p.t.Helper()
	var toggles int
	p.Eval(`document.querySelectorAll("button[aria-pressed=false]").length`, &toggles)
	for range toggles {
		var name string
		p.Eval(`document.querySelector("button[aria-pressed=false]").innerText`, &name)
		p.press(strings.TrimSpace(name))
	}
	if toggles > 0 {
		p.press("Write: ")
		return
	}
	p.press("6")
	p.press("0")
	p.press("Write 60")
}

// The car with pictures: a corner, its card, a measure of two ends.
func TestFourCornersOnThePage(t *testing.T) {
	s := open(t, copied(t, "special-mended.yaml", "points.csv"))
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "RT")
	p.press("From the frame stands onto four stands")
	p.settled()
	p.keep("move-pictures")
	p.press("Go round")
	p.press("Front left\n")
	p.keep("place-pictures")
	shown := []string{p.shown()}
	p.press("Next: ")
	for range 4 {
		p.settled()
		p.answer("onto-hub-stands")
	}
	p.keep("card-pictures")
	shown = append(shown, p.shown())
	p.press("Not good")
	p.keep("which-pictures")
	p.press("Back to")
	p.press("Back to")
	p.settled()
	p.Eval(`[...document.querySelectorAll(".row")].find(e => e.innerText.includes("Thread inside")).click() ?? true`, new(bool))
	p.drawn()
	assert.Equal(t, "engaged", p.question("onto-hub-stands").Fact)
	p.press("First end")
	p.press("2")
	p.press("0")
	p.press("Second end")
	p.press("1")
	p.press("9")
	p.keep("two-ends")
	shown = append(shown, p.shown())
	p.press("Write 20, 19 mm")
	p.settled()
	assert.Contains(t, s.log(), `found: {engaged: ["20 mm", "19 mm"]}`)

	// The picture of the README: three screens as they are, as text.
	style, err := static.ReadFile("static/page.css")
	require.NoError(t, err)
	const w, h, gap = 360, 640, 12
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d"><title>Three screens of the page: a corner, its card, a measure</title>`+"\n<style>%s%s%s</style>\n", 3*w+2*gap, h, svg.Colours(), svg.Style, strings.ReplaceAll(string(style), "<", "&lt;"))
	for i, screen := range shown {
		fmt.Fprintf(&b, `<svg x="%d" width="%d" height="%d"><foreignObject width="%d" height="%d">%s</foreignObject><rect x=".5" y=".5" width="%d" height="%d" fill="none" stroke="#7d776a"/></svg>`+"\n", i*(w+gap), w, h, w, h, screen, w-1, h-1)
	}
	b.WriteString("</svg>\n")
	golden.Equal(t, "../../../../testdata/golden/page.svg", b.String())
}

// shown is the page as a part of a picture.
func (p *phone) shown() string {
	p.t.Helper()
	p.settled()
	var text string
	p.Eval(`(() => {
		const body = document.createElementNS("http://www.w3.org/1999/xhtml", "body");
		body.style.height = "640px";
		body.style.overflow = "hidden";
		for (const id of ["strip", "undo", "wait", "main"]) body.append(document.getElementById(id).cloneNode(true));
		for (const a of body.querySelectorAll("a")) a.removeAttribute("href");
		return new XMLSerializer().serializeToString(body);
	})()`, &text)
	return text
}

// What 'setdown new --checklist' writes comes to its verdict as the README says: by the
// page, and by what no look answers, written into the file while the page is open.
func TestFromAnEmptyFolder(t *testing.T) {
	text, err := os.ReadFile("../app/starter-checklist.yaml")
	require.NoError(t, err)
	file := filepath.Join(t.TempDir(), "car.yaml")
	require.NoError(t, os.WriteFile(file, text, 0o644))
	s := open(t, file)
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "AB")
	p.press("Off the table onto stands")
	p.round("onto-stands")
	var shown string
	p.Eval(`document.body.innerText`, &shown)
	assert.Contains(t, shown, "The round is done: NO-GO")
	assert.Contains(t, shown, "No look answers these: write them into the file")
	assert.Contains(t, shown, "what was counted at the vehicle")
	assert.LessOrEqual(t, p.answers, 20)

	none := "{bolts: 0, stud nuts: 0, spacers: 0, welds: 0, links: 0, wheel nuts: 0}"
	counted := strings.NewReplacer(
		"# frame: welded  ", "frame: one piece #", `{front: "?", rear: "?"}`, "{front: other, rear: other}",
		"# listed:\n#   day: 2026-11-25\n#   by: AB\n#   front-left:", "listed:\n  day: 2026-11-25\n  by: AB\n  front-right: "+none+"\n  rear-left: "+none+"\n  rear-right: "+none+"\n  body: "+none+"\n  front-left:").Replace(string(text))
	require.NoError(t, os.WriteFile(file, []byte(counted), 0o644))
	p.eventually(`document.querySelector(".verdict.go")`)
	p.eventually(`document.querySelector("h1").innerText === "The round is done: GO"`)
}

// A fault is said of anything, also when the move is GO and nothing asks for it.
func TestFaultAllTheSame(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml", "checklist-mended.looks.yaml"))
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "MK")
	p.press("Rear off its jack")
	p.eventually(`document.querySelector(".verdict.go")`)
	p.press("A fault all the same")
	p.eventually(`document.querySelectorAll(".row").length > 20`)
	p.keep("things")
	p.typed("pivot brackets")
	p.press("pivot brackets")
	p.keep("fault-all-the-same")
	p.press("Any crack")
	p.press("Write it down")
	p.settled()
	assert.Contains(t, s.log(), `of: [pivot-brackets], found: {crack: yes}`)
	p.eventually(`document.querySelector(".verdict.nogo")`)
}

// What the server will never write is not called written, is asked again, and is listed.
func TestRefusedIsSaid(t *testing.T) {
	s := open(t, copied(t, "checklist-mended.yaml"))
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "TN")
	p.press("Rear off its jack")
	p.press("Go round")
	p.press("Front\n")
	p.press("Next: ")
	assert.Equal(t, "torqued", p.question("onto-stands").Fact)
	for range 6 {
		p.press("9")
	}
	p.press("Write 999999 N·m")
	p.eventually(`document.querySelector("#undo").innerText.startsWith("Not written: ")`)
	p.settled()
	assert.Empty(t, s.log())
	p.keep("refused")
	p.press("Back to")
	var text string
	p.Eval(`document.body.innerText`, &text)
	assert.Contains(t, text, "Not written\n")
	assert.Contains(t, text, "999999 N·m")
}

// Of a vehicle of which nothing is measured yet the page says first what its loads wait for, and
// asks what is sure to matter before what may.
func TestNewVehicle(t *testing.T) {
	front, err := layouts.Find("double wishbone on coil-overs")
	require.NoError(t, err)
	rear, err := layouts.Find("swinging arm with one wheel")
	require.NoError(t, err)
	car, table := layouts.Write(front, rear, "points.csv")
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "car.yaml"), car, 0o644))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "points.csv"), table, 0o644))
	s := open(t, filepath.Join(dir, "car.yaml"))
	p := newPhone(t, s, browser.Open(t, s.address(), small)[0], "TN")
	p.eventually(`document.querySelector(".move")`)
	p.press("Off the table onto four stands under the frame, corners tied")
	p.settled()
	p.keep("new")
	var text string
	p.Eval(`document.body.innerText`, &text)
	assert.Regexp(t, `NO-GO\s+\d\d to write down first, \d\d to look at\n`, text)
	assert.Regexp(t, `Go round\s+\d\d questions at \d places; \d+ more may follow`, text)
	assert.Contains(t, text, "First, write these into the file: without them no loads are known")
	assert.NotContains(t, text, "Perhaps")
	p.press("Go round")
	p.press("Front left")
	p.drawn()
	p.Eval(`document.body.innerText`, &text)
	assert.Contains(t, text, "Perhaps: what it carries is not known yet.")
}
