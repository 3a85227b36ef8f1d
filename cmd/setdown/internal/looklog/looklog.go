// Package looklog writes the log of looks that lies beside a build file. A line is
// on the disk before anybody is told so, no line is ever written over, and two
// writers at one time wait for each other. It judges nothing and reads no look.
package looklog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"setdown/model/looks"
)

// head is the first line of a log.
const head = "looks:\n"

// TornError is a log whose last line was not written to its end. Nothing may be
// appended to it: half a look with another one behind it reads as something else.
type TornError struct {
	File string
	Line int
	Text string
}

func (e *TornError) Error() string {
	return fmt.Sprintf("%s:%d:1: this line is not written to its end: its line feed is missing (setdown looks FILE --mend --by NAME moves it aside)", filepath.ToSlash(e.File), e.Line)
}

// Append writes lines to the end of a log, all of them or, when the program is
// stopped, the first of them and a torn one, which is noticed. The log is made if
// there is none.
func Append(file string, lines ...string) error {
	return Alone(file, func(write func(...string) error) error { return write(lines...) })
}

// Alone does something while nobody else writes into a log, such as to read it and to
// append, as Append does, what depends on what was read.
func Alone(file string, do func(write func(lines ...string) error) error) error {
	f, created, err := open(file)
	if err != nil {
		return cannotWrite(file, err)
	}
	defer f.Close()
	written := false
	err = do(func(lines ...string) error {
		err := write(f, file, lines)
		written = written || err == nil
		return err
	})
	if created && !written {
		// A log that holds nothing is none. Who waits for it makes it again.
		if info, errStat := f.Stat(); errStat == nil && info.Size() == 0 {
			return errors.Join(err, os.Remove(file))
		}
	}
	if err == nil && created {
		return syncDir(filepath.Dir(file))
	}
	return err
}

// write appends lines to a log that is locked.
func write(f *os.File, file string, lines []string) error {
	var text bytes.Buffer
	for _, line := range lines {
		if line == "" || strings.ContainsAny(line, "\n\r") {
			return fmt.Errorf("%q is not one line", line)
		}
		text.WriteString(line + "\n")
	}
	if torn, err := tornEnd(f, file); err != nil {
		return cannotWrite(file, err)
	} else if torn != nil {
		return torn
	}
	before, err := f.Stat()
	if err != nil {
		return cannotWrite(file, err)
	}
	content := text.Bytes()
	if before.Size() == 0 {
		content = append([]byte(head), content...)
	}
	if _, err := f.Write(content); err != nil {
		// What came of it before the disk was full is nobody's look, and is taken away again.
		return cannotWrite(file, errors.Join(err, f.Truncate(before.Size())))
	}
	if err := f.Sync(); err != nil {
		return cannotWrite(file, err)
	}
	return nil
}

// Mend moves a torn last line aside: it becomes the text of a line of its own,
// which stops every move until somebody says what it said. It is false when there
// is nothing to mend.
func Mend(file string, at looks.Moment, by string) (bool, error) {
	f, _, err := open(file)
	if err != nil {
		return false, cannotWrite(file, err)
	}
	defer f.Close()
	torn, err := tornEnd(f, file)
	if err != nil || torn == nil {
		return false, err
	}
	text, err := os.ReadFile(file)
	if err != nil {
		return false, cannotWrite(file, err)
	}
	whole := text[:len(text)-len(torn.Text)]
	note := fmt.Sprintf("- {torn: %s, day: %s, by: %s}\n", strconv.QuoteToASCII(torn.Text), at, strconv.Quote(by))
	// A new file in the place of the old one: whenever this stops, one of them is
	// there and whole. Who waits for the old one opens again.
	temp, err := os.CreateTemp(filepath.Dir(file), ".unfinished-*")
	if err != nil {
		return false, cannotWrite(file, err)
	}
	defer os.Remove(temp.Name())
	_, err = temp.Write(append(bytes.Clone(whole), note...))
	if err = errors.Join(err, temp.Chmod(0o644), temp.Sync(), temp.Close()); err != nil {
		return false, cannotWrite(file, err)
	}
	if err := os.Rename(temp.Name(), file); err != nil {
		return false, cannotWrite(file, err)
	}
	return true, syncDir(filepath.Dir(file))
}

// open opens a log to append to it, alone: another writer waits until it is
// closed.
func open(file string) (f *os.File, created bool, err error) {
	for {
		f, err := os.OpenFile(file, os.O_RDWR|os.O_APPEND|os.O_CREATE, 0o644)
		if err != nil {
			return nil, false, err
		}
		if err := lock(f); err != nil {
			f.Close()
			return nil, false, err
		}
		// While this waited, the file may have been put in the place of another.
		own, err := f.Stat()
		there, errThere := os.Stat(file)
		if err == nil && errThere == nil && os.SameFile(own, there) {
			return f, own.Size() == 0, nil
		}
		f.Close()
		if err != nil || errThere != nil && !errors.Is(errThere, fs.ErrNotExist) {
			return nil, false, errors.Join(err, errThere)
		}
	}
}

// tornEnd is the last line when its line feed is missing.
func tornEnd(f *os.File, file string) (*TornError, error) {
	info, err := f.Stat()
	if err != nil || info.Size() == 0 {
		return nil, err
	}
	last := make([]byte, 1)
	if _, err := f.ReadAt(last, info.Size()-1); err != nil {
		return nil, err
	}
	if last[0] == '\n' {
		return nil, nil
	}
	text, err := io.ReadAll(io.NewSectionReader(f, 0, info.Size()))
	if err != nil {
		return nil, err
	}
	end := bytes.LastIndexByte(text, '\n') + 1
	return &TornError{File: file, Line: 1 + bytes.Count(text, []byte("\n")), Text: string(text[end:])}, nil
}

func cannotWrite(file string, err error) error {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		err = pathError.Err
	}
	return fmt.Errorf("%s cannot be written: %w", filepath.ToSlash(file), err)
}
