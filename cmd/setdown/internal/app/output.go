package app

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
)

// output is where text goes. It keeps the first error, so that no command can
// end well whose words never arrived.
type output struct {
	io.Writer
	err error
}

func (o *output) Write(text []byte) (int, error) {
	n, err := o.Writer.Write(text)
	if o.err == nil {
		o.err = err
	}
	return n, err
}

// write writes to a file or, without a name, to the terminal.
func (a *app) write(to string, write func(w io.Writer, color bool) error) error {
	var text bytes.Buffer
	if err := write(&text, a.color && to == ""); err != nil {
		return err
	}
	if to == "" {
		_, err := a.out.Write(text.Bytes())
		return err
	}
	return writeFile(to, text.Bytes())
}

// writeFile writes a file that is complete or not there at all: it is written
// beside its place and moved into it. What leads elsewhere stays: a link is
// followed, and a pipe or a device is written to.
func writeFile(name string, text []byte) error {
	place := name
	if target, err := filepath.EvalSymlinks(name); err == nil {
		place = target
	}
	info, err := os.Stat(place)
	switch {
	case err == nil && info.IsDir():
		return wrong("%s is a folder; name a file in it", name)
	case err == nil && !info.Mode().IsRegular():
		err = writeInto(place, text)
	default:
		err = replace(place, text)
	}
	var pathError *fs.PathError
	var linkError *os.LinkError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrNotExist):
		return wrong("%s cannot be written: there is no folder %s", name, filepath.Dir(place))
	case errors.Is(err, fs.ErrPermission):
		return wrong("%s cannot be written: you may not write there", name)
	case errors.As(err, &pathError):
		err = pathError.Err // the name of a temporary file says nothing to people
	case errors.As(err, &linkError):
		err = linkError.Err
	}
	return fmt.Errorf("%s was not written: %w", name, err)
}

func writeInto(name string, text []byte) error {
	file, err := os.OpenFile(name, os.O_WRONLY, 0)
	if err != nil {
		return err
	}
	_, err = file.Write(text)
	return errors.Join(err, file.Close())
}

func replace(name string, text []byte) error {
	temp, err := os.CreateTemp(filepath.Dir(name), ".setdown-*")
	if err != nil {
		return err
	}
	defer os.Remove(temp.Name())
	_, err = temp.Write(text)
	if err == nil {
		err = errors.Join(temp.Chmod(0o644), temp.Sync())
	}
	if err = errors.Join(err, temp.Close()); err != nil {
		return err
	}
	return os.Rename(temp.Name(), name)
}
