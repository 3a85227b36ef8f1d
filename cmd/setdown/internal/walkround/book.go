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
	const tries = 5
	for try := 1; ; try++ {
		names := []string{b.File, model.LogName(b.File)}
		if b.build != nil {
			names = b.build.Files
		}
		before := contents(names)
		if b.build != nil && same(before, b.files) {
			return b.build, nil
		}
		build, err := model.Load(b.File)
		switch {
		case err == nil:
			// If somebody wrote meanwhile, before is not what is there: it is read again the
			// next time.
			b.build, b.files = build, before
			return build, nil
		case try == tries || same(before, contents(names)):
			return nil, err
		}
	}
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
	var at looks.Moment
	// What is read stays so until the line is written: nobody else writes in between.
	err := looklog.Alone(model.LogName(b.File), func(write func(...string) error) error {
		build, err := b.read()
		if err != nil {
			return fmt.Errorf("the answer is not written: %w", err)
		}
		var q *verdict.Question
		if round != nil {
			q, err = ask.Find(round, a)
		}
		if round == nil || err != nil {
			q, err = ask.Any(build, a)
		}
		if err != nil {
			return &RefusedError{err}
		}
		at = free(build.Log, by, given)
		line, err := ask.Look(q, a, at, by, via)
		if err != nil {
			return &RefusedError{err}
		}
		// A look that cannot be read would stop every command: it is read before it is written.
		with, err := model.LoadWithLook(b.File, line)
		if err != nil {
			if _, broken := model.Load(b.File); broken != nil {
				return fmt.Errorf("the answer is not written: %w", broken)
			}
			return &RefusedError{err}
		}
		if err := write(append(ended(build, by, at), line)...); err != nil {
			return err
		}
		b.keep(with, line)
		return nil
	})
	return at, err
}

// Withdraw takes back what somebody said of some things at that moment. A fault that was
// taken back stays one until somebody has looked at the thing alone.
func (b *Book) Withdraw(of []string, look looks.Moment, by, via string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return looklog.Alone(model.LogName(b.File), func(write func(...string) error) error {
		build, err := b.read()
		if err != nil {
			return fmt.Errorf("nothing is taken back: %w", err)
		}
		at := free(build.Log, by, b.Now())
		lines := ended(build, by, at)
		for _, item := range of {
			lines = append(lines, ask.TakeBack(item, look, at, by, via))
		}
		return write(lines...)
	})
}

// ended are the lines of the looks that were at another design than the one drawn now.
// Whatever writes notes them first: else they would count again when the old one comes back.
func ended(build *model.Build, by string, at looks.Moment) []string {
	var lines []string
	for _, e := range build.NewlyEnded() {
		lines = append(lines, ask.Ended(e.Digest, e.Item, at, by))
	}
	return lines
}

// keep keeps the state that was read with one more line, for what stands in the files now
// is just that; else they are read again the next time.
func (b *Book) keep(with *model.Build, line string) {
	log := model.LogName(b.File)
	text, err := os.ReadFile(log)
	if err == nil && slices.Equal(with.Files, b.build.Files) && bytes.Equal(text, slices.Concat(b.files[log], []byte(line+"\n"))) {
		b.build = with
		b.files[log] = text
	}
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
