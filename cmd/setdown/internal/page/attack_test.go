package page

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"setdown/cmd/setdown/internal/walkround"
	"setdown/model"
	"setdown/rules/ask"
)

const small2 = `format: setdown/2
vehicle: {name: "<b onclick=\"alert(1)\">x</b>", checklist: yes}
axles: {front: other, rear: other}
places: [front]
parts: {car: {mass: 400 kg}}
welds: {mount: {role: bracket, parent: mild steel, place: front}, lug: {role: bracket, parent: mild steel, place: front}}
supports: {s: {kind: stand, under: car, rated: 2 t, rated_per: each, bears_on: frame node, place: front}}
moves: {stays: {kind: rest, title: "<script>alert(1)</script>", people_needed: 1, steps: [{name: so, supports: [s]}]}}
`

func little(t *testing.T, tune ...func(*Server)) *shop {
	file := filepath.Join(t.TempDir(), "car.yaml")
	require.NoError(t, os.WriteFile(file, []byte(small2), 0o644))
	return open(t, file, tune...)
}

// call asks the server for something, with the token unless headers say otherwise.
func (s *shop) call(method, path string, body any, headers ...string) (status int, text string) {
	s.t.Helper()
	var in io.Reader
	switch body := body.(type) {
	case nil:
	case string:
		in = strings.NewReader(body)
	case io.Reader:
		in = body
	default:
		b, err := json.Marshal(body)
		require.NoError(s.t, err)
		in = bytes.NewReader(b)
	}
	r, err := http.NewRequest(method, "http://"+s.on+path, in)
	require.NoError(s.t, err)
	r.Header.Set(tokenHeader, s.guard.token)
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
		if headers[i] == "Host" {
			r.Host = headers[i+1]
		}
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		return 0, err.Error()
	}
	defer answer.Body.Close()
	all, err := io.ReadAll(answer.Body)
	require.NoError(s.t, err)
	return answer.StatusCode, string(all)
}

// said is an answer as a telephone sends it.
func (s *shop) said(id string, a ask.Answer) map[string]any {
	at := now().UnixMilli()
	return map[string]any{"id": id, "book": s.key, "move": "stays", "by": "TN", "of": a.Of, "fact": a.Fact, "say": a.Say, "note": a.Note, "pressed": at, "sent": at, "after": 0}
}

func (s *shop) say(id string, a ask.Answer) written {
	s.t.Helper()
	status, text := s.call("POST", "/api/look", s.said(id, a))
	require.Equal(s.t, http.StatusOK, status, text)
	var w written
	require.NoError(s.t, json.Unmarshal([]byte(text), &w))
	return w
}

var full = ask.Answer{Of: []string{"mount"}, Fact: "made", Say: "full"}

// Who has no business here gets nothing and writes nothing.
func TestTurnedAway(t *testing.T) {
	s := little(t)
	_, port, err := net.SplitHostPort(s.on)
	require.NoError(t, err)
	for name, c := range map[string]struct {
		headers []string
		status  int
	}{
		"no token":            {[]string{tokenHeader, ""}, http.StatusUnauthorized},
		"another token":       {[]string{tokenHeader, word(16)}, http.StatusUnauthorized},
		"half of it":          {[]string{tokenHeader, s.guard.token[:11]}, http.StatusUnauthorized},
		"foreign name":        {[]string{"Host", "rebound.example:" + port}, http.StatusMisdirectedRequest},
		"foreign address":     {[]string{"Host", "192.0.2.7:" + port}, http.StatusMisdirectedRequest},
		"another port":        {[]string{"Host", "127.0.0.1:1"}, http.StatusMisdirectedRequest},
		"no port":             {[]string{"Host", "127.0.0.1"}, http.StatusMisdirectedRequest},
		"name that begins so": {[]string{"Host", "127.0.0.1.example:" + port}, http.StatusMisdirectedRequest},
		"foreign page":        {[]string{"Origin", "http://elsewhere.example"}, http.StatusForbidden},
		"page of no origin":   {[]string{"Origin", "null"}, http.StatusForbidden},
		"secure twin":         {[]string{"Origin", "https://" + s.on}, http.StatusForbidden},
		"sent across":         {[]string{"Sec-Fetch-Site", "cross-site"}, http.StatusForbidden},
	} {
		status, _ := s.call("POST", "/api/look", s.said("0123456789abcdef", full), c.headers...)
		assert.Equal(t, c.status, status, name)
		if name != "sent across" { // a link to the page may stand anywhere
			status, text := s.call("GET", "/api/board", nil, c.headers...)
			assert.Equal(t, c.status, status, name)
			assert.NotContains(t, text, "moves", name)
		}
	}
	assert.Empty(t, s.log())
	status, _ := s.call("GET", "/api/board", nil, "Host", "localhost:"+port)
	assert.Equal(t, http.StatusOK, status)
	status, _ = s.call("POST", "/api/look", s.said("0123456789abcdef", full), "Origin", "http://"+s.on)
	assert.Equal(t, http.StatusOK, status)
	assert.NotEmpty(t, s.log())
}

// Nothing changes on GET, and there is nothing but what is served.
func TestPaths(t *testing.T) {
	s := little(t)
	for _, method := range []string{"GET", "HEAD", "PUT", "DELETE", "PATCH", "OPTIONS"} {
		status, _ := s.call(method, "/api/look?id=0123456789abcdef&of=mount&fact=made&say=full", nil)
		assert.Equal(t, http.StatusMethodNotAllowed, status, method)
	}
	assert.Empty(t, s.log())
	for _, path := range []string{"/car.yaml", "/api", "/api/", "/static/main.js", "/" + s.version + "/../../car.yaml", "/" + s.version + "/%2e%2e/%2e%2e/car.yaml", "/" + s.version + "/..%2fpage.go",
		"/" + s.version + "//etc/passwd", "/" + s.version + "/%5c..%5cpage.go", "/" + s.version + "/main.js%00.css", "/api/move?move=../stays", "/api/move?move=nothing"} {
		status, text := s.call("GET", path, nil)
		assert.Equal(t, http.StatusNotFound, status, "%s: %s", path, text)
	}
	for _, photo := range []string{"../../car.yaml", "0123456789abcdef.jpg", "0123456789abcdef.jpg/../x"} {
		a := s.said("0123456789abcdef", full)
		a["photo"] = photo
		_, text := s.call("POST", "/api/look", a)
		assert.Contains(t, text, "no such photo", photo)
	}
	answer, err := http.Get("http://" + s.on + "/")
	require.NoError(t, err)
	answer.Body.Close()
	assert.Equal(t, policy, answer.Header.Get("Content-Security-Policy"))
	assert.Equal(t, "nosniff", answer.Header.Get("X-Content-Type-Options"))
	assert.Equal(t, "no-referrer", answer.Header.Get("Referrer-Policy"))
	assert.Empty(t, answer.Header.Get("Access-Control-Allow-Origin"))
	assert.Contains(t, answer.Header.Get("Cache-Control"), "immutable", "the page opens again without network")
}

// What was sent twice, one after the other or at one time, is written once, by this run of
// the program or by the next, and answered alike.
func TestReplay(t *testing.T) {
	s := little(t)
	first := s.say("0123456789abcdef", full)
	require.NotEmpty(t, first.At)
	var wait sync.WaitGroup
	for range 20 {
		wait.Go(func() { assert.Equal(t, first.At, s.say("0123456789abcdef", full).At) })
	}
	wait.Wait()
	assert.Equal(t, 1, strings.Count(s.log(), "\n- "))
	for range 20 {
		wait.Go(func() { s.say("00000000aaaaaaaa", full) }) // none of them is the first
	}
	wait.Wait()
	assert.Equal(t, 2, strings.Count(s.log(), "\n- "))
	s.stop()
	s.start()
	assert.Equal(t, first.At, s.say("0123456789abcdef", full).At)
	assert.Equal(t, 2, strings.Count(s.log(), "\n- "))

	undo := map[string]any{"id": "fedcba9876543210", "book": s.key, "by": "TN", "undo": "0123456789abcdef"}
	for range 3 {
		status, text := s.call("POST", "/api/undo", undo)
		require.Equal(t, http.StatusOK, status, text)
	}
	assert.Equal(t, 1, strings.Count(s.log(), "withdraw:"))
	undo["by"] = "EA"
	_, text := s.call("POST", "/api/undo", undo)
	assert.Contains(t, text, "TN said it")
}

// An answer that waited for another build file is not written into this one.
func TestAnotherBook(t *testing.T) {
	s := little(t)
	a := s.said("0123456789abcdef", full)
	a["book"] = "0123456789ab"
	status, _ := s.call("POST", "/api/look", a)
	assert.Equal(t, http.StatusConflict, status)
	assert.Empty(t, s.log())
}

type zeros struct{}

func (zeros) Read(p []byte) (int, error) { return copy(p, bytes.Repeat([]byte("0"), len(p))), nil }

// What is too large is cut off where the limit stands, and what comes too slowly with it.
func TestLargeAndSlow(t *testing.T) {
	s := little(t, func(s *Server) { s.slow = time.Second })
	for path, limit := range map[string]int64{"/api/look": maxAnswer, "/api/undo": maxAnswer, "/api/photo": maxPhoto} {
		r := &counting{Reader: io.LimitReader(io.MultiReader(strings.NewReader(`{"note":"`), zeros{}), 100<<20)}
		status, _ := s.call("POST", path, r)
		assert.Contains(t, []int{0, http.StatusRequestEntityTooLarge}, status, "%s: cut off or told", path)
		assert.Less(t, r.n.Load(), limit+(8<<20), path) // what lies in buffers on the way
	}
	line, err := net.Dial("tcp", s.on)
	require.NoError(t, err)
	defer line.Close()
	fmt.Fprintf(line, "POST /api/look HTTP/1.1\r\nHost: %s\r\n%s: %s\r\nContent-Length: 1000\r\n\r\n{", s.on, tokenHeader, s.guard.token)
	require.NoError(t, line.SetReadDeadline(time.Now().Add(10*time.Second)))
	start := time.Now()
	_, _ = io.Copy(io.Discard, line)
	assert.Less(t, time.Since(start), 5*time.Second, "a slow body is cut")
	head, err := net.Dial("tcp", s.on)
	require.NoError(t, err)
	defer head.Close()
	fmt.Fprint(head, "GET / HTTP/1.1\r\nHo")
	require.NoError(t, head.SetReadDeadline(time.Now().Add(10*time.Second)))
	_, _ = io.Copy(io.Discard, head)
	assert.Less(t, time.Since(start), 9*time.Second, "and so is a slow head")
	assert.Empty(t, s.log())
	s.say("0123456789abcdef", full)
}

type counting struct {
	io.Reader
	n atomic.Int64
}

func (c *counting) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	c.n.Add(int64(n))
	return n, err
}

// Ten thousand requests of one address at once: nearly all are told to wait, and who comes
// from another address is served.
func TestFlood(t *testing.T) {
	s := little(t)
	const many = 10_000
	line, err := net.Dial("tcp", s.on)
	require.NoError(t, err)
	defer line.Close()
	require.NoError(t, line.SetDeadline(time.Now().Add(time.Minute)))
	go func() {
		request := []byte(fmt.Sprintf("GET /api/board HTTP/1.1\r\nHost: %s\r\n\r\n", s.on)) // without the token
		for range many {
			if _, err := line.Write(request); err != nil {
				return
			}
		}
	}()
	counts := map[int]int{}
	in := bufio.NewReader(line)
	start := time.Now()
	for range many {
		answer, err := http.ReadResponse(in, nil)
		require.NoError(t, err)
		_, _ = io.Copy(io.Discard, answer.Body)
		counts[answer.StatusCode]++
	}
	took := time.Since(start)
	t.Logf("%v in %v", counts, took)
	allowed := inOneGo + int(took.Seconds()*perSecond) + 1
	assert.LessOrEqual(t, counts[http.StatusUnauthorized], allowed)
	assert.Equal(t, many, counts[http.StatusUnauthorized]+counts[http.StatusTooManyRequests])

	g := &guard{now: time.Now, calls: map[string]*calls{}}
	for range many {
		g.mayAsk("192.0.2.1:1")
	}
	assert.False(t, g.mayAsk("192.0.2.1:2"))
	assert.True(t, g.mayAsk("192.0.2.2:1"))
	for i := range 70_000 {
		g.mayAsk(fmt.Sprintf("10.0.%d.%d:1", i/250, i%250))
	}
	assert.LessOrEqual(t, len(g.calls), 1000, "no caller makes it remember more than a shop has")
}

// Names, notes and ids that try to break out stay what they are, or are refused.
func TestNamesStayText(t *testing.T) {
	for i, name := range []string{`TN", of: [lug], good: yes} #`, "TN'\\", "<img src=x onerror=alert(1)>", "{{.}}", "a: b, c", "- {x}", "\u202egnirts", "TN \U0001f600"} {
		s := little(t)
		a := s.said(fmt.Sprintf("0123456789abcde%x", i), full)
		a["by"], a["note"] = name, name+"\n- {day: 2026-11-25, by: XX, of: [lug], found: {made: full}}"
		status, text := s.call("POST", "/api/look", a)
		require.Equal(t, http.StatusOK, status, text)
		b, err := model.Load(s.file)
		require.NoError(t, err, "%q", name)
		for _, look := range b.Log.Looks {
			require.Len(t, look.Of, 1)
			assert.Equal(t, "mount", look.Of[0].ID)
			assert.Equal(t, name, look.By)
		}
	}
	s := little(t)
	for _, id := range []string{"", "short", "0123456789abcdef,x", "0123456789ABCDEF!", strings.Repeat("a", 41), "../0123456789"} {
		status, _ := s.call("POST", "/api/look", s.said(id, full))
		assert.Equal(t, http.StatusBadRequest, status, id)
	}
	for _, by := range []string{"", "  ", strings.Repeat("x", maxName+1), "a\nb", "a\x00"} {
		a := s.said("0123456789abcdef", full)
		a["by"] = by
		status, _ := s.call("POST", "/api/look", a)
		assert.Equal(t, http.StatusBadRequest, status, "%q", by)
	}
	for _, text := range []string{"", "null", "[]", `{"id":1}`, `{"unknown":1}`, "{", strings.Repeat("[", 60000)} {
		status, _ := s.call("POST", "/api/look", text)
		assert.Contains(t, []int{http.StatusBadRequest, http.StatusConflict}, status, "%.20q", text)
	}
	assert.Empty(t, s.log())
}

// The clock of a telephone may be wrong: what counts is how long ago it was pressed, never
// in the future and never before what the telephone had heard from the server.
func TestClocks(t *testing.T) {
	noon := time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)
	ms := func(at time.Time) int64 { return at.UnixMilli() }
	for name, c := range map[string]struct {
		press press
		at    time.Time
		amiss bool
	}{
		"at once":                   {press{ms(noon), ms(noon), 0}, noon, false},
		"an hour in the queue":      {press{ms(noon.Add(-time.Hour)), ms(noon), ms(noon.Add(-2 * time.Hour))}, noon.Add(-time.Hour), false},
		"a clock of another day":    {press{ms(noon.AddDate(0, 0, -9)), ms(noon.AddDate(0, 0, -9)), 0}, noon, true},
		"a clock ahead":             {press{ms(noon.AddDate(0, 0, 9)), ms(noon.AddDate(0, 0, 9)), 0}, noon, true},
		"put right in between":      {press{ms(noon.AddDate(0, 0, -9)), ms(noon), ms(noon.Add(-time.Minute))}, noon.Add(-time.Minute), false},
		"put back in between":       {press{ms(noon.AddDate(0, 0, 9)), ms(noon), 0}, noon, false},
		"heard from the future":     {press{ms(noon), ms(noon), ms(noon.Add(time.Hour))}, noon, false},
		"numbers that nothing fits": {press{-1 << 62, 1 << 62, 1 << 62}, noon, true},
	} {
		at := c.press.at(noon)
		assert.False(t, at.After(noon), name)
		if name != "numbers that nothing fits" {
			assert.Equal(t, c.at, at, name)
		}
		assert.Equal(t, c.amiss, c.press.amiss(noon) != "", name)
	}
	s := little(t)
	a := s.said("0123456789abcdef", full)
	a["pressed"], a["sent"] = ms(noon.AddDate(1, 0, 0)), ms(noon.AddDate(1, 0, 0))
	status, text := s.call("POST", "/api/look", a)
	require.Equal(t, http.StatusOK, status, text)
	assert.Contains(t, s.log(), "day: 2026-11-25 08:")
	assert.Contains(t, s.log(), "pressed at 2027-11-25 12:00:00 by the telephone's clock")
}

// While the file cannot be read, nothing is judged and no answer is taken or lost; it says
// where it cannot be read.
func TestBrokenFile(t *testing.T) {
	s := little(t)
	require.NoError(t, os.WriteFile(s.file, []byte(small2+"welds: {}\n"), 0o644))
	status, text := s.call("POST", "/api/look", s.said("0123456789abcdef", full))
	assert.Equal(t, http.StatusServiceUnavailable, status)
	assert.Contains(t, text, "car.yaml:9:")
	status, text = s.call("GET", "/api/move?move=stays", nil)
	assert.Equal(t, http.StatusOK, status)
	assert.Contains(t, text, `"broken":"`)
	assert.NotContains(t, text, `"word"`)
	require.NoError(t, os.WriteFile(s.file, []byte(small2), 0o644))
	assert.NotEmpty(t, s.say("0123456789abcdef", full).At)
}

// Whoever opens the page gets no verdict of older files, however long nobody looked.
func TestNothingOld(t *testing.T) {
	s := little(t)
	verdict := func() moveView {
		status, text := s.call("GET", "/api/move?move=stays&by=TN", nil)
		require.Equal(t, http.StatusOK, status, text)
		var v moveView
		require.NoError(t, json.Unmarshal([]byte(text), &v))
		return v
	}
	before := verdict()
	other := &walkround.Book{File: s.file, Now: now}
	_, err := other.Write(nil, ask.Answer{Of: []string{"mount"}, Fact: "crack", Say: "yes"}, "EA", "terminal", now())
	require.NoError(t, err)
	after := verdict()
	assert.Greater(t, after.Version, before.Version)
	assert.Greater(t, len(after.Stops), len(before.Stops))
	require.Len(t, after.Seen, 1)
	assert.Equal(t, "mount", after.Seen[0].Text, "of others what they looked at, and not what they saw")
}

// A card says no more than what stood before the person, and of no other design.
func TestOldCards(t *testing.T) {
	s := little(t)
	book := &walkround.Book{File: s.file, Now: now}
	build, err := book.Build()
	require.NoError(t, err)
	print := build.Things["mount"].Print()
	require.NotEmpty(t, print)
	a := s.said("0123456789abcdef", ask.Answer{Of: []string{"mount"}, Say: ask.Good})
	a["seen"], a["prints"] = []string{"crack"}, map[string]string{"mount": "00000000"}
	_, text := s.call("POST", "/api/look", a)
	require.NotContains(t, text, "refused")
	assert.Contains(t, s.log(), `fp: {mount: "00000000"}`)
	assert.Regexp(t, `unseen: \[.*undercut.*\]`, s.log())
	build, err = book.Build()
	require.NoError(t, err)
	for _, facts := range build.Standing["mount"].Members {
		assert.NotContains(t, facts, "undercut")
	}
}
