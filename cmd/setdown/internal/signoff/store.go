package signoff

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"syscall"

	"setdown/model/quantity"
	"setdown/model/source"
)

// maxBytes is the size of the largest record that is read. The state of a large
// build file takes well under a megabyte.
const maxBytes = 32 << 20

// maxNumber is the highest number of a record: nine digits, as in recordName.
const maxNumber = 999_999_999

// Dir is the folder with the records of a build file: car.yaml has car.signoffs
// beside it, and car.yml has car.yml.signoffs.
func Dir(buildFile string) string { return strings.TrimSuffix(buildFile, ".yaml") + ".signoffs" }

// recordName is NUMBER-MOVE-DATE.yaml. What has another name is no record, such
// as the temporary files of a writer that was stopped.
var recordName = regexp.MustCompile(`^(\d{4,9})-(.+)-\d{4}-\d{2}-\d{2}\.yaml$`)

// Write stores the record in the folder, which it makes if need be, under the
// next free number, and returns the path with slashes. The record appears there
// whole or not at all, and no other record is written over, however many
// writers there are and whenever they are stopped. On an error nothing is signed.
func Write(dir string, r Record) (string, error) {
	return write(dir, r, os.Link)
}

func write(dir string, r Record, link func(old, new string) error) (string, error) {
	r.Format, r.Number = Format, 1
	if strings.ContainsAny(r.Move, "/\\\n\r\x00") {
		return "", fmt.Errorf("the move %q cannot be part of a file name", r.Move)
	}
	if _, err := r.encode(); err != nil {
		return "", err
	}
	if err := makeDir(dir); err != nil {
		return "", cannotWrite(dir, err)
	}
	last, err := highest(dir)
	if err != nil {
		return "", cannotWrite(dir, err)
	}
	for r.Number = last + 1; r.Number <= maxNumber; r.Number++ {
		path, err := r.store(dir, link)
		switch {
		case errors.Is(err, fs.ErrExist):
			continue // another writer had this number first
		case err != nil:
			return "", cannotWrite(dir, err)
		}
		return filepath.ToSlash(path), nil
	}
	return "", fmt.Errorf("%s has no number left for another record", filepath.ToSlash(dir))
}

// store writes the record under its number, or says with fs.ErrExist that the
// name is taken.
func (r *Record) store(dir string, link func(old, new string) error) (string, error) {
	text, err := r.encode()
	if err != nil {
		return "", err
	}
	temp, err := writeTemp(dir, text)
	if err != nil {
		return "", err
	}
	defer os.Remove(temp)
	path := filepath.Join(dir, r.name())
	if err = link(temp, path); err != nil && !errors.Is(err, fs.ErrExist) {
		// Some file systems, those of memory sticks among them, have no links.
		err = writeNew(path, text)
	}
	if err != nil {
		return "", err
	}
	if err := syncDir(dir); err != nil {
		return "", errors.Join(err, os.Remove(path))
	}
	return path, nil
}

func cannotWrite(dir string, err error) error {
	return fmt.Errorf("the record cannot be written into %s: %w", filepath.ToSlash(dir), withoutPath(err))
}

// withoutPath is an error of a file without its name: that of a temporary file says
// nothing to people, and that of the folder stands there already.
func withoutPath(err error) error {
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		return pathError.Err
	}
	return err
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

// highest is the highest number of a sound record in the folder, 0 when there is
// none. What only has the name of a record does not count: a number far out would
// leave none for the next one.
func highest(dir string) (int, error) {
	all, err := entries(dir)
	if err != nil {
		return 0, err
	}
	for _, e := range all {
		if r, err := e.read(); err == nil {
			return r.Number, nil
		}
	}
	return 0, nil
}

// Latest reads the last record of a move that counts for the build file on a day,
// and its path with slashes: sound, for that very file, and of no later day. Without
// one it is the last of a later day, which stands for nothing and says why; without
// any it is nil. What has the name of a record and is none, is damaged, or belongs
// to another file is passed over, for it must neither hide a record nor stop a check;
// remarks name each, with the way out.
func Latest(buildFile, move string, day quantity.Date) (r *Record, path string, remarks source.Errors) {
	dir := Dir(buildFile)
	all, err := entries(dir)
	if err != nil {
		remarks.Add(&source.Error{Span: source.Span{File: filepath.ToSlash(dir)}, Message: "the sign-offs cannot be listed: " + err.Error(), Hint: "move what stands there away"})
	}
	for _, e := range all {
		if e.move != move {
			continue
		}
		found, err := e.read()
		if err == nil && filepath.Base(found.File) != filepath.Base(buildFile) {
			err = fmt.Errorf("the record is for %s and not for %s", filepath.Base(found.File), filepath.Base(buildFile))
		}
		switch {
		case err != nil:
			remarks.Add(&source.Error{
				Span:    source.Span{File: filepath.ToSlash(e.path)},
				Message: "this sign-off does not count: " + err.Error(),
				Hint:    "move this file away, check the vehicle and sign again",
			})
		case found.On.DaysUntil(day) >= 0:
			return found, filepath.ToSlash(e.path), remarks
		case r == nil:
			r, path = found, filepath.ToSlash(e.path)
		}
	}
	return r, path, remarks
}

// entry is a file that has the name of a record.
type entry struct {
	path   string
	move   string
	number int
}

// entries lists the files with the name of a record, the last one first. A folder
// that is not there holds none.
func entries(dir string) ([]entry, error) {
	files, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, withoutPath(err)
	}
	var all []entry
	for _, f := range files {
		if m := recordName.FindStringSubmatch(f.Name()); m != nil {
			number, _ := strconv.Atoi(m[1]) // nine digits at most
			all = append(all, entry{filepath.Join(dir, f.Name()), m[2], number})
		}
	}
	slices.SortFunc(all, func(a, b entry) int {
		return cmp.Or(cmp.Compare(b.number, a.number), cmp.Compare(b.path, a.path))
	})
	return all, nil
}

// read reads the record and holds it against its own name: one that was renamed
// would stand in another place of the order, or for another move.
func (e entry) read() (*Record, error) {
	text, err := source.ReadFile(e.path, maxBytes, "record")
	if err != nil {
		return nil, err
	}
	r, err := decode(text)
	if err != nil {
		return nil, err
	}
	if filepath.Base(e.path) != r.name() {
		return nil, fmt.Errorf("the record is number %d, for %s on %s, which its name does not say", r.Number, r.Move, r.On)
	}
	return r, nil
}
