//go:build unix

package looklog

import (
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
