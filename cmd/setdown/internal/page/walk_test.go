package page

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/model"
	"setdown/reports/browser"
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

// keep keeps a picture of a kind of screen, once.
func (p *phone) keep(name string) {
	if p.seen[name] {
		return
	}
	p.seen[name] = true
	browser.Keep(p.t, "page-"+name+".png", p.Shot())
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
