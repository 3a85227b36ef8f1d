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
	var text bytes.Buffer
	for _, line := range lines {
		if line == "" || strings.ContainsAny(line, "\n\r") {
			return fmt.Errorf("%q is not one line", line)
		}
		text.WriteString(line + "\n")
	}
	f, created, err := open(file)
	if err != nil {
		return cannotWrite(file, err)
	}
	defer f.Close()
	if torn, err := tornEnd(f, file); err != nil {
		return cannotWrite(file, err)
	} else if torn != nil {
		return torn
	}
	content := text.Bytes()
	if created {
		content = append([]byte(head), content...)
	}
	if _, err := f.Write(content); err != nil {
		return cannotWrite(file, err)
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return cannotWrite(file, err)
	}
	if created {
		return syncDir(filepath.Dir(file))
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

// syncDir puts the name of a new file on the disk. Some file systems cannot.
func syncDir(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer d.Close()
	if err := d.Sync(); err != nil && !errors.Is(err, fs.ErrInvalid) && !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	return nil
}
