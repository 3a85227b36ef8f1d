package page

import (
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"setdown/cmd/setdown/internal/walkround"
	"setdown/model"
	"setdown/model/looks"
	"setdown/rules/ask"
	"setdown/rules/verdict"
)

// answer is what a telephone sends: what was said, by whom, and when by its own clock.
type answer struct {
	ask.Answer
	sent
	Move  string `json:"move"` // on the round before which move
	Photo string `json:"photo"`
}

// sent is what stands on everything that a telephone sends.
type sent struct {
	ID   string `json:"id"`   // of this: what was sent twice is written once
	Book string `json:"book"` // of which build file
	By   string `json:"by"`
	press
}

// press is when something was pressed. A telephone's clock may be wrong, so what counts is
// how long ago it was, and never earlier than what the server told it before.
type press struct {
	Pressed int64 `json:"pressed"` // ms, by the telephone's clock
	Sent    int64 `json:"sent"`    // ms, by the same
	After   int64 `json:"after"`   // ms, by the server's clock: what the telephone last heard before the press
}

// at is when it was pressed by the server's clock.
func (p press) at(now time.Time) time.Time {
	at := now.Add(-time.Duration(max(0, p.Sent-p.Pressed)) * time.Millisecond)
	if heard := time.UnixMilli(p.After); heard.After(at) && heard.Before(now) {
		at = heard.In(now.Location())
	}
	return at
}

// amiss says how far the telephone's clock is off; empty where nobody would notice.
func (p press) amiss(now time.Time) string {
	const notice = 2 * time.Minute
	off := time.UnixMilli(p.Sent).Sub(now)
	if off.Abs() < notice {
		return ""
	}
	return "pressed at " + time.UnixMilli(p.Pressed).In(now.Location()).Format("2006-01-02 15:04:05") + " by the telephone's clock"
}

// written is what becomes of an answer. A refused one is never written; anything else
// that went wrong has another status, and may be sent again.
type written struct {
	At      string `json:"at,omitempty"` // as when it stands in the log
	Refused string `json:"refused,omitempty"`
	Run     string `json:"run"`
	Version int    `json:"version"` // of the files with it
}

var (
	goodID    = regexp.MustCompile(`^[0-9a-z-]{8,40}$`)
	goodPhoto = regexp.MustCompile(`^[0-9a-f]{16}\.jpg$`)
)

const (
	maxName = 40 // letters of a name
	maxNote = 500
)

// foreign says why nothing of ours sends this; "" where it may be of a page of ours.
func (s *Server) foreign(what sent) (status int, why string) {
	switch by := what.By; {
	case what.Book != s.key:
		return http.StatusConflict, "this answer is of another build file"
	case !goodID.MatchString(what.ID):
		return http.StatusBadRequest, "the answer has no id"
	case strings.TrimSpace(by) == "" || utf8.RuneCountInString(by) > maxName || strings.ContainsFunc(by, func(r rune) bool { return r < ' ' || r == utf8.RuneError }):
		return http.StatusBadRequest, "the answer does not say who looked"
	}
	return 0, ""
}

// via is how an answer stands in the log.
func via(id string) string { return "phone-" + id }

// receive reads what was sent into a document that holds what stands on everything that is. It
// is false where the caller was refused.
func (s *Server) receive(w http.ResponseWriter, r *http.Request, into any, what *sent) bool {
	decoder := json.NewDecoder(http.MaxBytesReader(w, r.Body, maxAnswer))
	decoder.DisallowUnknownFields()
	if err := decoder.Decode(into); err != nil {
		status := http.StatusBadRequest
		var large *http.MaxBytesError
		if errors.As(err, &large) {
			status = http.StatusRequestEntityTooLarge
		}
		http.Error(w, "this is no answer", status)
		return false
	}
	if status, why := s.foreign(*what); why != "" {
		http.Error(w, why, status)
		return false
	}
	return true
}

// look writes one answer.
func (s *Server) look(w http.ResponseWriter, r *http.Request) {
	var a answer
	if !s.receive(w, r, &a, &a.sent) {
		return
	}
	s.writes.Lock()
	defer s.writes.Unlock()
	done, err := s.book.Said(via(a.ID))
	if err != nil {
		s.later(w, err)
		return
	}
	if done != nil {
		s.answer(w, written{At: done.Moment.String()})
		return
	}
	note, err := s.note(a)
	if err != nil {
		s.answer(w, written{Refused: err.Error()})
		return
	}
	a.Note = note
	var round *verdict.Round
	if now := s.desk.judged(a.Move); now != nil {
		round = now.round
	}
	look, err := s.book.Write(round, a.Answer, a.By, via(a.ID), a.at(s.book.Now()))
	var refused *walkround.RefusedError
	switch {
	case errors.As(err, &refused):
		s.answer(w, written{Refused: refused.Error()})
	case err != nil:
		s.later(w, err)
	default:
		s.answer(w, written{At: look.Moment.String()})
	}
}

// note is what stands beside an answer: words, a photo, and a clock that was wrong.
func (s *Server) note(a answer) (string, error) {
	var parts []string
	if text := strings.TrimSpace(a.Note); text != "" {
		if utf8.RuneCountInString(text) > maxNote {
			return "", fmt.Errorf("more than %d letters; write it in the file", maxNote)
		}
		parts = append(parts, text)
	}
	if a.Photo != "" {
		if !goodPhoto.MatchString(a.Photo) || !s.hasPhoto(a.Photo) {
			return "", errors.New("there is no such photo; take it again")
		}
		parts = append(parts, "photo "+s.photoName(a.Photo))
	}
	if amiss := a.amiss(s.book.Now()); amiss != "" {
		parts = append(parts, amiss)
	}
	return strings.Join(parts, "; "), nil
}

// undo takes back an answer that was sent.
func (s *Server) undo(w http.ResponseWriter, r *http.Request) {
	var u struct {
		sent
		Undo string `json:"undo"` // the id of the answer
	}
	if !s.receive(w, r, &u, &u.sent) {
		return
	}
	s.writes.Lock()
	defer s.writes.Unlock()
	look, err := s.book.Said(via(u.Undo))
	if err != nil {
		s.later(w, err)
		return
	}
	build, err := s.book.Build()
	if err != nil {
		s.later(w, err)
		return
	}
	switch {
	case look == nil:
		s.answer(w, written{Refused: "nothing of it was written"})
		return
	case look.By != u.By:
		s.answer(w, written{Refused: look.By + " said it, and takes it back"})
		return
	case withdrawn(build, look):
		s.answer(w, written{})
		return
	}
	var of []string
	for _, target := range look.Of {
		of = append(of, target.ID)
	}
	if err := s.book.Withdraw(of, look, u.By, via(u.ID)); err != nil {
		s.later(w, err)
		return
	}
	s.answer(w, written{})
}

// withdrawn says whether a look was taken back already.
func withdrawn(b *model.Build, look *looks.Look) bool {
	return slices.ContainsFunc(b.Log.Notes, func(n *looks.Note) bool {
		return n.TakesBack(look, n.Item) && slices.ContainsFunc(look.Of, func(t *looks.Target) bool { return t.ID == n.Item })
	})
}

// answer confirms what is on the disk.
func (s *Server) answer(w http.ResponseWriter, a written) {
	a.Run, a.Version = s.run, s.desk.look()
	send(w, a)
}

// later says that something cannot be written now; the telephone keeps it.
func (s *Server) later(w http.ResponseWriter, err error) {
	http.Error(w, err.Error(), http.StatusServiceUnavailable)
}

func send(w http.ResponseWriter, document any) {
	w.Header().Set("Content-Type", "application/json; charset=utf-8")
	_ = json.NewEncoder(w).Encode(document) // a telephone that went away
}

// board is all moves as they stand.
func (s *Server) board(w http.ResponseWriter, r *http.Request) {
	if state := s.wait(w, r, ""); state != nil {
		send(w, s.boardView(state))
	}
}

// move is one move as it stands, and what it asks.
func (s *Server) move(w http.ResponseWriter, r *http.Request) {
	if state := s.wait(w, r, r.URL.Query().Get("move")); state != nil {
		send(w, s.moveView(state, r.URL.Query().Get("by")))
	}
}

// things are all of which a fault can be said, asked or not.
func (s *Server) things(w http.ResponseWriter, _ *http.Request) {
	build, err := s.book.Build()
	if err != nil {
		s.later(w, err)
		return
	}
	send(w, thingsView(build))
}

// thing is what can be wrong with one of them.
func (s *Server) thing(w http.ResponseWriter, r *http.Request) {
	build, err := s.book.Build()
	if err != nil {
		s.later(w, err)
		return
	}
	q, err := ask.Faults(build, cmp.Or(s.book.Units, build.Units()), r.URL.Query().Get("of"))
	if err != nil {
		http.Error(w, err.Error(), http.StatusNotFound)
		return
	}
	send(w, thingView(q))
}

// wait is what was judged, once it is other than what the page has. A page waits in one
// of a few seats.
func (s *Server) wait(w http.ResponseWriter, r *http.Request, move string) *state {
	select {
	case s.pages <- struct{}{}:
		defer func() { <-s.pages }()
	default:
		http.Error(w, "too many pages are open", http.StatusServiceUnavailable)
		return nil
	}
	if move != "" && s.desk.judged(move) == nil {
		if build, err := s.book.Build(); err == nil && !slices.ContainsFunc(build.Items["moves"], func(i *model.Item) bool { return i.ID == move }) {
			http.Error(w, "the file has no such move", http.StatusNotFound)
			return nil
		}
	}
	after := -1
	if run, version, ok := strings.Cut(r.URL.Query().Get("after"), "."); ok && run == s.run {
		if n, err := strconv.Atoi(version); err == nil {
			after = n
		}
	}
	state := s.desk.state(r.Context(), move, after, s.patient)
	if state == nil {
		w.Header().Set("Setdown-Now", strconv.FormatInt(s.book.Now().UnixMilli(), 10))
		w.WriteHeader(http.StatusNoContent)
	}
	return state
}
