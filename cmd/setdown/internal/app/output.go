package app

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"setdown/cmd/setdown/internal/signoff"
	"setdown/model"
	"setdown/reports"
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

// documents is how and where a command writes what it makes.
type documents[T any] struct {
	app        *app
	format, to string
	as         reports.Write[T]
}

// writes gives a command the flags for what it writes. An unknown format is refused
// before anything is read.
func writes[T any](a *app, cmd *cobra.Command, d reports.Document[T]) *documents[T] {
	out := &documents[T]{app: a}
	var names []string
	var completions []cobra.Completion
	for _, f := range d.Formats() {
		names = append(names, f.Name)
		completions = append(completions, cobra.CompletionWithDesc(f.Name, f.Doc))
	}
	cmd.Flags().StringVarP(&out.format, "format", "f", names[0], "output format: "+strings.Join(names, ", "))
	cmd.Flags().StringVarP(&out.to, "output", "o", "", "write to this `file`, not to the screen")
	_ = cmd.RegisterFlagCompletionFunc("format", cobra.FixedCompletions(completions, cobra.ShellCompDirectiveNoFileComp))
	cmd.PreRunE = func(*cobra.Command, []string) (err error) {
		if out.as, err = d.As(out.format); err != nil {
			return inputError{err}
		}
		return nil
	}
	return out
}

// write writes a document to the file that was named or to the terminal.
func (d *documents[T]) write(document T, o reports.Options) error {
	o.Color, o.Width = d.app.color && d.to == "", d.app.width
	var text bytes.Buffer
	if err := d.as(&text, document, o); err != nil {
		return err
	}
	if d.to == "" {
		_, err := d.app.out.Write(text.Bytes())
		return err
	}
	if err := d.app.spare(d.to); err != nil {
		return err
	}
	return writeFile(d.to, text.Bytes())
}

// wasRead keeps the files of a build state from being written over.
func (a *app) wasRead(b *model.Build) {
	if b != nil {
		a.read = append(a.read, b.Files...)
	}
}

// spare refuses to write over a file that was read, by whatever name or link, and
// into a folder of sign-offs.
func (a *app) spare(to string) error {
	place := to
	if target, err := filepath.EvalSymlinks(to); err == nil {
		place = target
	}
	for _, file := range a.read {
		switch {
		case same(to, file):
			return wrong("%s is the file %s that was read, and stays as it is; name another", to, file)
		case same(filepath.Dir(place), signoff.Dir(file)):
			return wrong("%s would lie among the sign-offs of %s; name a file elsewhere", to, file)
		}
	}
	return nil
}

// same reports whether two names lead to one file, or would once it is there.
func same(a, b string) bool {
	if filepath.Clean(a) == filepath.Clean(b) {
		return true
	}
	one, err := os.Stat(a)
	other, err2 := os.Stat(b)
	return err == nil && err2 == nil && os.SameFile(one, other)
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
		return wrong("%s cannot be written: no permission", name)
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
