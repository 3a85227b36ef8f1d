package page

import (
	"context"
	"crypto/sha256"
	"fmt"
	"slices"
	"sync"
	"time"

	"setdown/cmd/setdown/internal/walkround"
	"setdown/model"
	"setdown/reports/plain"
	"setdown/rules/ask"
	"setdown/rules/verdict"
)

// desk keeps what was judged of a build file, and judges again what pages look at
// whenever the file, its log or the minute changed: what was seen of the people there
// lasts an hour. One judgement is made at a time.
type desk struct {
	book  *walkround.Book
	judge func(b *model.Build, move string) (*verdict.Report, error)

	mu      sync.Mutex
	stamp   [sha256.Size]byte // of the files
	minute  time.Time
	version int // counts the changes
	states  map[string]*state
	wanted  []string      // moves to judge, the longest waiting first
	news    chan struct{} // closed whenever something changed
	bell    chan struct{} // wakes who judges
}

// state is one move as judged, or all of them where the move is empty.
type state struct {
	version int
	build   *model.Build
	report  *verdict.Report
	round   *verdict.Round  // of one move
	err     error           // why it could not be judged
	view    func() moveView // what of it is the same on every page
}

func newDesk(book *walkround.Book, judge func(*model.Build, string) (*verdict.Report, error)) *desk {
	return &desk{book: book, judge: judge, states: map[string]*state{}, news: make(chan struct{}), bell: make(chan struct{}, 1)}
}

// look looks whether the files changed, and returns how often they have.
func (d *desk) look() int {
	stamp, minute := d.book.Stamp(), d.book.Now().Truncate(time.Minute)
	d.mu.Lock()
	defer d.mu.Unlock()
	if stamp != d.stamp || !minute.Equal(d.minute) {
		d.stamp, d.minute = stamp, minute
		d.version++
		d.tell()
	}
	return d.version
}

// tell wakes all that wait for news.
func (d *desk) tell() {
	close(d.news)
	d.news = make(chan struct{})
}

// state waits until a move is judged as the files are now, or later, and otherwise than at
// version after, and returns it; nil when nothing came in that time. What was judged of
// older files is nobody's verdict any more.
func (d *desk) state(ctx context.Context, move string, after int, patience time.Duration) *state {
	late := time.NewTimer(patience)
	defer late.Stop()
	least := d.look()
	for {
		d.mu.Lock()
		s, news := d.states[move], d.news
		if (s == nil || s.version < d.version) && !slices.Contains(d.wanted, move) {
			d.wanted = append(d.wanted, move)
			select {
			case d.bell <- struct{}{}:
			default:
			}
		}
		d.mu.Unlock()
		if s != nil && s.version >= least && s.version != after {
			return s
		}
		select {
		case <-news:
		case <-late.C:
			return nil
		case <-ctx.Done():
			return nil
		}
	}
}

// judged is a move as it was judged last.
func (d *desk) judged(move string) *state {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.states[move]
}

// work judges what is wanted, and notices what others write into the files.
func (d *desk) work(ctx context.Context) {
	const glance = 2 * time.Second
	tick := time.NewTicker(glance)
	defer tick.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-tick.C:
			d.look()
		case <-d.bell:
		}
		for d.next() && ctx.Err() == nil {
		}
	}
}

// next judges the move that waits longest; it is false when none does.
func (d *desk) next() bool {
	d.mu.Lock()
	if len(d.wanted) == 0 {
		d.mu.Unlock()
		return false
	}
	move := d.wanted[0]
	s := &state{version: d.version}
	d.mu.Unlock()
	// What is read now is as the version says, or newer.
	s.fill(move, d)
	s.view = sync.OnceValue(func() moveView { return newMoveView(s) })
	d.mu.Lock()
	defer d.mu.Unlock()
	d.wanted = slices.DeleteFunc(d.wanted, func(other string) bool { return other == move })
	d.states[move] = s
	d.tell()
	return true
}

// fill reads and judges a state. A panic is no answer, and ends no other page.
func (s *state) fill(move string, d *desk) {
	defer func() {
		if p := recover(); p != nil {
			s.report, s.round, s.err = nil, nil, fmt.Errorf("setdown failed, and this is no answer: %v", p)
		}
	}()
	if s.build, s.err = d.book.Build(); s.err != nil {
		return
	}
	if s.report, s.err = d.judge(s.build, move); s.err == nil && move != "" {
		if s.round, s.err = ask.Round(s.build, s.report, move); s.err == nil {
			s.round.Cautions = plain.Cautions(&s.report.Moves[0])
		}
	}
}
