package walkround

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"errors"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"sync"
	"time"

	"setdown/cmd/setdown/internal/looklog"
	"setdown/model"
	"setdown/model/looks"
	"setdown/model/quantity"
	"setdown/model/source"
	"setdown/rules/ask"
	"setdown/rules/verdict"
)

// Book is the log of one build file while people answer, one or several at a time. Each
// answer is on the disk when Write comes back.
type Book struct {
	File string
	Now  func() time.Time
	// Units are the measures in which is asked, so that a bare number means what stood beside
	// the question; those of the file where they are empty.
	Units quantity.System

	reader model.Reader

	mu    sync.Mutex
	build *model.Build
	files map[string][]byte // as they were when build was read; nil for one that is not there
	ended []model.EndedLook // of build, and not noted yet

	// What was written since: the lines, and the looks among them.
	tail  []byte
	since []*looks.Look
}

// Build is the build state as the files say it now. It is read again only where they
// changed: the same state is the same Build.
func (b *Book) Build() (*model.Build, error) {
	b.mu.Lock()
	build, files, tail := b.build, b.files, len(b.tail)
	b.mu.Unlock()
	const tries = 5
	for try := 1; ; try++ {
		names := []string{b.File, model.LogName(b.File)}
		if build != nil {
			names = build.Files
		}
		before := contents(names)
		if build != nil && tail == 0 && same(before, files) {
			return build, nil
		}
		// Nobody who writes has to wait until it is read.
		read, err := b.reader.Load(b.File)
		switch {
		case err == nil && same(before, contents(names)):
			b.mu.Lock()
			b.keep(read, before)
			b.mu.Unlock()
			return read, nil
		case try < tries && !same(before, contents(names)):
		case err != nil:
			return nil, err
		default:
			return read, nil // somebody writes all the time; what was read is as good as the next
		}
	}
}

// Stamp is a digest of the files: as long as it is the same, so are they.
func (b *Book) Stamp() [sha256.Size]byte {
	b.mu.Lock()
	names := []string{b.File, model.LogName(b.File)}
	if b.build != nil {
		names = b.build.Files
	}
	b.mu.Unlock()
	digest := sha256.New()
	for _, name := range names {
		text, err := os.ReadFile(name)
		fmt.Fprintln(digest, len(text), err != nil)
		digest.Write(text)
	}
	return [sha256.Size]byte(digest.Sum(nil))
}

// keep keeps a build state with the files that it was read from.
func (b *Book) keep(build *model.Build, files map[string][]byte) {
	b.build, b.files, b.ended = build, files, build.NewlyEnded()
	b.tail, b.since = nil, nil
}

// current is the build state to write by, read while nobody else writes. What this book wrote
// itself since does not make it an old one; all else does.
func (b *Book) current() (*model.Build, error) {
	names := []string{b.File, model.LogName(b.File)}
	if b.build != nil {
		names = b.build.Files
	}
	now := contents(names)
	if b.build == nil || !same(now, b.expected()) {
		build, err := b.reader.Load(b.File)
		if err != nil {
			return nil, fmt.Errorf("the answer is not written: %w", err)
		}
		b.keep(build, now)
	}
	if b.build.Log == nil {
		return nil, fmt.Errorf("the answer is not written: %s is of the first format, which keeps no log of looks", b.File)
	}
	return b.build, nil
}

// expected are the files as they are if nobody else wrote.
func (b *Book) expected() map[string][]byte {
	files := maps.Clone(b.files)
	if log := model.LogName(b.File); len(b.tail) > 0 {
		files[log] = slices.Concat(b.files[log], b.tail)
	}
	return files
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

// Said is the look that stands in the log by that way, such as 'phone-17'; nil when none
// does.
func (b *Book) Said(via string) (said *looks.Look, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	err = looklog.Alone(model.LogName(b.File), func(func(...string) error) error {
		build, err := b.current()
		if err != nil {
			return err
		}
		for _, list := range [][]*looks.Look{b.since, build.Log.Looks} {
			if i := slices.IndexFunc(list, func(look *looks.Look) bool { return look.Via == via }); i >= 0 {
				said = list[i]
				return nil
			}
		}
		return nil
	})
	return said, err
}

// Write writes an answer to a question of a round, or to none of it, with the moment at
// which it was given, and gives the look as it stands in the log. A RefusedError leaves all as
// it was, and says why the answer can never be written.
func (b *Book) Write(round *verdict.Round, a ask.Answer, by, via string, given time.Time) (*looks.Look, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	var said *looks.Look
	// What is read stays so until the line is written: nobody else writes in between.
	err := looklog.Alone(model.LogName(b.File), func(write func(...string) error) error {
		build, err := b.current()
		if err != nil {
			return err
		}
		var q *verdict.Question
		if round != nil {
			q, err = ask.Find(round, a)
		}
		if round == nil || err != nil {
			q, err = ask.Any(build, cmp.Or(b.Units, build.Units()), a)
		}
		if err != nil {
			return &RefusedError{err}
		}
		at := moment(given)
		way := via
		for n := 2; ; n++ {
			line, err := ask.Look(q, a, at, by, way)
			if err != nil {
				return &RefusedError{err}
			}
			// A look that cannot be read would stop every command: it is read before it is written.
			look, err := build.ReadLook(line, b.since...)
			if err != nil {
				return &RefusedError{withoutPlaces(err)}
			}
			if b.has(look) {
				way = fmt.Sprintf("%s-%d", via, n)
				continue
			}
			if err := b.append(write, by, at, line); err != nil {
				return err
			}
			b.since, said = append(b.since, look), look
			return nil
		}
	})
	return said, err
}

// withoutPlaces are errors without their places, for the line they are of is in no file.
func withoutPlaces(err error) error {
	var list source.Errors
	if !errors.As(err, &list) {
		return err
	}
	var texts []string
	for _, e := range list {
		texts = append(texts, strings.TrimPrefix(e.Error(), e.Span.String()+": "))
	}
	return errors.New(strings.Join(texts, "; "))
}

// Withdraw takes back a look of somebody's own at some things. A fault that was
// taken back stays one until somebody has looked at the thing alone.
func (b *Book) Withdraw(of []string, look *looks.Look, by, via string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return looklog.Alone(model.LogName(b.File), func(write func(...string) error) error {
		if _, err := b.current(); err != nil {
			return err
		}
		at := moment(b.Now())
		var lines []string
		for _, item := range of {
			lines = append(lines, ask.TakeBack(item, look, at, by, via))
		}
		return b.append(write, by, at, lines...)
	})
}

// append writes lines, and before them which looks were at another design than the one
// drawn now: else they would count again when the old one comes back.
func (b *Book) append(write func(...string) error, by string, at looks.Moment, lines ...string) error {
	var all []string
	for _, e := range b.ended {
		all = append(all, ask.Ended(e.Digest, e.Item, at, by))
	}
	all = append(all, lines...)
	if err := write(all...); err != nil {
		return err
	}
	b.ended = nil
	for _, line := range all {
		b.tail = append(b.tail, line+"\n"...)
	}
	return nil
}

// has says whether the very line of a look stands in the log. A line that stands twice, as
// after a merge, counts once: what is said again in one second is numbered, or an answer
// between the two would be the last.
func (b *Book) has(look *looks.Look) bool {
	same := func(l *looks.Look) bool { return l.Digest == look.Digest }
	return slices.ContainsFunc(b.build.Log.Looks, same) || slices.ContainsFunc(b.since, same)
}

// moment is a time to the second, as the log has it. Looks of one person in one second are
// in the order of their lines.
func moment(at time.Time) looks.Moment {
	year, month, day := at.Date()
	return looks.Moment{Day: quantity.Date{Year: year, Month: month, Day: day}, Clock: at.Hour()*3600 + at.Minute()*60 + at.Second(), Timed: true}
}
