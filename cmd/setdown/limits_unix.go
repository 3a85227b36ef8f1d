//go:build unix

package main

import (
	"os/signal"
	"syscall"
)

// A file that may not grow is an error of its write, as a full disk is. Unheeded,
// this signal would end the program with the exit code of wrong input.
func init() { signal.Ignore(syscall.SIGXFSZ) }
