// Command setdown says whether a half-built vehicle may take weight in the next
// move.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"

	"setdown/cmd/setdown/internal/app"
)

func main() {
	// The program lives for a fraction of a second; collecting its garbage costs
	// more time than the memory is worth, until there is much of it.
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(512 << 20)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second Ctrl-C ends the program where it stands
	code := app.Run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
