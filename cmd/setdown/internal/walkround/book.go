package walkround

import (
	"bytes"
	"fmt"
	"os"
	"slices"
	"sync"
	"time"

	"setdown/cmd/setdown/internal/looklog"
	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/rules/ask"
	"setdown/rules/verdict"
)

// Book is the log of one build file while people answer, one or several at a time. Each
// answer is on the disk when Write comes back.
type Book struct {
	File string
	Now  func() time.Time

	mu    sync.Mutex
	build *model.Build
	files map[string][]byte // as they were when build was read; nil for one that is not there
}

// Build is the build state as the files say it now. It is read again only where they
// changed: the same state is the same Build.
func (b *Book) Build() (*model.Build, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.read()
}

func (b *Book) read() (*model.Build, error) {
	names := []string{b.File, model.LogName(b.File)}
	if b.build != nil {
		names = b.build.Files
	}
	before := contents(names)
	if b.build != nil && same(before, b.files) {
		return b.build, nil
	}
	build, err := model.Load(b.File)
	if err != nil {
		return nil, err
	}
	// Somebody may have written meanwhile; then it is read again the next time.
	b.build, b.files = build, before
	return build, nil
}

func contents(names []string) map[string][]byte {
	files := map[string][]byte{}
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			text = nil
		}
		files[name] = text
	}
	return files
}

func same(a, b map[string][]byte) bool {
	for name, text := range a {
		other, there := b[name]
		if !there || !bytes.Equal(text, other) || (text == nil) != (other == nil) {
			return false
		}
	}
	return len(a) == len(b)
}

// Write writes an answer to a question of a round, or to none of it, with the moment at
// which it was given, and says as when it stands in the log. A RefusedError leaves all as
// it was, and says why the answer can never be written.
func (b *Book) Write(round *verdict.Round, a ask.Answer, by, via string, given time.Time) (looks.Moment, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	build, err := b.read()
	if err != nil {
		return looks.Moment{}, fmt.Errorf("the answer is not written: %w", err)
	}
	var q *verdict.Question
	if round != nil {
		q, err = ask.Find(round, a)
	}
	if round == nil || err != nil {
		q, err = ask.Any(build, a)
	}
	if err != nil {
		return looks.Moment{}, &RefusedError{err}
	}
	at := free(build.Log, by, given)
	line, err := ask.Look(q, a, at, by, via)
	if err != nil {
		return at, &RefusedError{err}
	}
	// A look that cannot be read would stop every command: it is read before it is written.
	with, err := model.LoadWithLook(b.File, line)
	if err != nil {
		if _, broken := model.Load(b.File); broken != nil {
			return at, fmt.Errorf("the answer is not written: %w", broken)
		}
		return at, &RefusedError{err}
	}
	return at, b.append(with, line)
}

// Withdraw takes back what somebody said of some things at that moment. A fault that was
// taken back stays one until somebody has looked at the thing alone.
func (b *Book) Withdraw(of []string, look looks.Moment, by, via string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	build, err := b.read()
	if err != nil {
		return fmt.Errorf("nothing is taken back: %w", err)
	}
	at := free(build.Log, by, b.Now())
	var lines []string
	for _, item := range of {
		lines = append(lines, ask.TakeBack(item, look, at, by, via))
	}
	return b.append(nil, lines...)
}

// append writes lines. With is the state with them, where it was read already.
func (b *Book) append(with *model.Build, lines ...string) error {
	log := model.LogName(b.File)
	if err := looklog.Append(log, lines...); err != nil {
		return err
	}
	text, err := os.ReadFile(log)
	if with != nil && err == nil && b.build != nil && bytes.Equal(text, slices.Concat(b.files[log], []byte(lines[0]+"\n"))) && slices.Equal(with.Files, b.build.Files) {
		// Nobody else wrote: what was read to prove the line is what stands there now.
		b.files[log] = text
		b.build = with
		return nil
	}
	b.build = nil
	return nil
}

// free is a moment at which nothing of that person stands in the log yet: a look is taken
// back by its very second.
func free(log *looks.Log, by string, at time.Time) looks.Moment {
	year, month, day := at.Date()
	m := looks.Moment{Day: quantity.Date{Year: year, Month: month, Day: day}, Clock: at.Hour()*3600 + at.Minute()*60 + at.Second(), Timed: true}
	const lastSecond = 24*3600 - 1
	taken := func(other looks.Stamp) bool { return other.By == by && other.Moment == m }
	for m.Clock < lastSecond && (slices.ContainsFunc(log.Looks, func(l *looks.Look) bool { return taken(l.Stamp) }) || slices.ContainsFunc(log.Notes, func(n *looks.Note) bool { return taken(n.Stamp) })) {
		m.Clock++
	}
	return m
}
