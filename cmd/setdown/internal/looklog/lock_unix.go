//go:build unix

package looklog

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// lock waits until nobody else has the file locked. Closing it unlocks it.
func lock(f *os.File) error {
	for {
		err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX)
		if err != syscall.EINTR {
			return err
		}
	}
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
