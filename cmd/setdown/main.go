// Command setdown says whether a half-built vehicle may take weight in the next
// move.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"

	"setdown/cmd/setdown/internal/app"
)

func main() {
	// The program lives for a fraction of a second; collecting its garbage early
	// costs more time than the memory is worth.
	debug.SetGCPercent(400)
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	code := app.Run(ctx, os.Args[1:], os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
