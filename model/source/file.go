package source

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"syscall"
)

// ErrAbsent says that there is no file of that name.
var ErrAbsent = errors.New("there is no such file")

// ReadFile reads a file of at most so many bytes; what is what it should be, such
// as 'build file'. A folder, a pipe or a device is refused before it is opened, for
// some never end and some wait for ever, and so is a file that changes while it is
// read: half a file that is just being saved may read like a whole one. Errors are
// in plain words and without the path, which stands in front of every message.
func ReadFile(path string, most int64, what string) ([]byte, error) {
	info, err := os.Stat(path)
	if _, there := os.Lstat(path); err != nil && there == nil && errors.Is(err, fs.ErrNotExist) {
		return nil, errors.New("this is a link to a file that is not there") // what it led to is lost, not absent
	}
	if err != nil {
		return nil, reason("opened", err)
	}
	if err := ordinary(info, what); err != nil {
		return nil, err
	}
	// Another thing may have taken its place: what is no file does not hold up its opening either.
	f, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, reason("opened", err)
	}
	defer f.Close()
	before, err := f.Stat()
	if err != nil {
		return nil, reason("opened", err)
	}
	if err := ordinary(before, what); err != nil {
		return nil, err
	}
	text, err := io.ReadAll(io.LimitReader(f, most+1))
	if err != nil {
		return nil, reason("read", err)
	}
	if int64(len(text)) > most || before.Size() > most {
		return nil, fmt.Errorf("the file is over %d MiB; that is no %s", most>>20, what)
	}
	after, err := f.Stat()
	switch {
	case err != nil:
		return nil, reason("read", err)
	case after.Size() != int64(len(text)) || !after.ModTime().Equal(before.ModTime()):
		return nil, errors.New("the file changed while being read; run it again")
	}
	return text, nil
}

func ordinary(info fs.FileInfo, what string) error {
	kind := "a device"
	switch mode := info.Mode(); {
	case mode.IsRegular():
		return nil
	case mode.IsDir():
		kind = "a folder"
	case mode&fs.ModeNamedPipe != 0:
		kind = "a pipe"
	case mode&fs.ModeSocket != 0:
		kind = "a socket"
	}
	return fmt.Errorf("this is %s, not a %s", kind, what)
}

// reason says in plain words why a file cannot be had.
func reason(verb string, err error) error {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return ErrAbsent
	case errors.Is(err, fs.ErrPermission):
		return errors.New("you have no permission to read this file")
	}
	var pathError *fs.PathError
	if errors.As(err, &pathError) {
		err = pathError.Err
	}
	return fmt.Errorf("the file cannot be %s: %w", verb, err)
}
