package signoff

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"syscall"

	"setdown/model/source"
)

// maxBytes is the size of the largest record that is read. The state of a large
// build file takes well under a megabyte.
const maxBytes = 32 << 20

// maxNumber is the highest number of a record: nine digits, as in recordName.
const maxNumber = 999_999_999

// Dir is the folder with the records of a build file: car.yaml has
// car.signoffs beside it.
func Dir(buildFile string) string {
	return strings.TrimSuffix(buildFile, filepath.Ext(buildFile)) + ".signoffs"
}

// recordName is NUMBER-MOVE-DATE.yaml. What has another name is no record, such
// as the temporary files of a writer that was stopped.
var recordName = regexp.MustCompile(`^(\d{4,9})-(.+)-(\d{4}-\d{2}-\d{2})\.yaml$`)

// Write stores the record in the folder, which it makes if need be, under the
// next free number, and returns the path with slashes. The record appears there
// whole or not at all, and no other record is written over, however many
// writers there are and whenever they are stopped. On an error nothing is signed.
func Write(dir string, r Record) (string, error) {
	return write(dir, r, os.Link)
}

func write(dir string, r Record, link func(old, new string) error) (string, error) {
	r.Format, r.Number = Format, 0
	if strings.ContainsAny(r.Move, "/\\\n\r\x00") {
		return "", fmt.Errorf("the move %q cannot be part of a file name", r.Move)
	}
	text, err := r.encode()
	if err != nil {
		return "", err
	}
	if err := makeDir(dir); err != nil {
		return "", cannotWrite(dir, err)
	}
	temp, err := writeTemp(dir, text)
	if err != nil {
		return "", cannotWrite(dir, err)
	}
	defer os.Remove(temp)
	number, err := nextNumber(dir)
	if err != nil {
		return "", err
	}
	for ; number <= maxNumber; number++ {
		path := filepath.Join(dir, fmt.Sprintf("%04d-%s-%s.yaml", number, r.Move, r.On))
		err := link(temp, path)
		if err != nil && !errors.Is(err, fs.ErrExist) {
			// Some file systems, those of memory sticks among them, have no links.
			err = writeNew(path, text)
		}
		if errors.Is(err, fs.ErrExist) {
			continue // another writer had this number first
		}
		if err == nil {
			if err = syncDir(dir); err == nil {
				return filepath.ToSlash(path), nil
			}
			err = errors.Join(err, os.Remove(path))
		}
		return "", cannotWrite(dir, err)
	}
	return "", fmt.Errorf("%s has no number left for another record", filepath.ToSlash(dir))
}

func cannotWrite(dir string, err error) error {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		err = pathError.Err // the path of a temporary file says nothing to people
	}
	return fmt.Errorf("the record cannot be written into %s: %w", filepath.ToSlash(dir), err)
}

func makeDir(dir string) error {
	err := os.Mkdir(dir, 0o755)
	if errors.Is(err, fs.ErrExist) {
		return nil
	}
	if err != nil {
		return err
	}
	return syncDir(filepath.Dir(dir))
}

// writeTemp writes the text to a file of its own and to the disk, so that a
// link to it never shows half a record.
func writeTemp(dir string, text []byte) (string, error) {
	f, err := os.CreateTemp(dir, ".unfinished-*")
	if err != nil {
		return "", err
	}
	if err := fill(f, text); err != nil {
		os.Remove(f.Name())
		return "", err
	}
	return f.Name(), nil
}

// writeNew is the second best: a writer stopped half way leaves half a record,
// which its seal gives away.
func writeNew(path string, text []byte) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	if err != nil {
		return err
	}
	if err := fill(f, text); err != nil {
		os.Remove(path)
		return err
	}
	return nil
}

func fill(f *os.File, text []byte) error {
	_, err := f.Write(text)
	if err == nil {
		err = f.Chmod(0o644) // others in the shop read it too
	}
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// syncDir makes the names in a folder last through a power cut, where the
// system can do that.
func syncDir(dir string) error {
	if runtime.GOOS == "windows" {
		return nil // which keeps names by itself and refuses to be asked
	}
	f, err := os.Open(dir)
	if err != nil {
		return err
	}
	defer f.Close()
	if err := f.Sync(); err != nil && !errors.Is(err, syscall.EINVAL) && !errors.Is(err, errors.ErrUnsupported) {
		return err
	}
	return nil
}

// nextNumber is one above the highest number in the folder.
func nextNumber(dir string) (int, error) {
	last := 0
	err := eachRecord(dir, func(_, _ string, number int) { last = max(last, number) })
	return last + 1, err
}

// Latest reads the last record of a move in the folder, by its number, and its
// path with slashes. There is none, and no error, when nobody signed the move
// yet. A record that is damaged, cut off or changed is an error that names it:
// an older one does not step in for it.
func Latest(dir, move string) (*Record, string, error) {
	last, name := 0, ""
	err := eachRecord(dir, func(file, of string, number int) {
		// Names come sorted, so of two with one number the later day counts.
		if of == move && number >= last {
			last, name = number, file
		}
	})
	if err != nil || name == "" {
		return nil, "", err
	}
	path := filepath.ToSlash(filepath.Join(dir, name))
	r, err := read(filepath.Join(dir, name))
	if _, named, _ := strings.Cut(name, "-"); err == nil && named != fmt.Sprintf("%s-%s.yaml", r.Move, r.On) {
		err = fmt.Errorf("the record is for %s on %s, which its name does not say", r.Move, r.On)
	}
	if err != nil {
		return nil, "", &source.Error{
			Span:    source.Span{File: path},
			Message: err.Error(),
			Hint:    "move this file away, look at the vehicle, and sign again",
		}
	}
	r.Number = last
	return r, path, nil
}

func read(path string) (*Record, error) {
	f, err := os.Open(path)
	if err == nil {
		defer f.Close()
		var text []byte
		if text, err = io.ReadAll(io.LimitReader(f, maxBytes+1)); err == nil {
			if len(text) > maxBytes {
				return nil, fmt.Errorf("the file is over %d MiB; that is no record", maxBytes>>20)
			}
			return decode(text)
		}
	}
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		err = pathError.Err
	}
	return nil, fmt.Errorf("the record cannot be read: %w", err)
}

// eachRecord walks over the names of the records, sorted. A folder that is not
// there holds none.
func eachRecord(dir string, do func(name, move string, number int)) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	if err != nil {
		return fmt.Errorf("the sign-offs cannot be listed: %w", err)
	}
	for _, e := range entries {
		m := recordName.FindStringSubmatch(e.Name())
		if m == nil {
			continue
		}
		number, _ := strconv.Atoi(m[1]) // nine digits at most
		do(e.Name(), m[2], number)
	}
	return nil
}
