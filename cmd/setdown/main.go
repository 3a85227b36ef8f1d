// Command setdown says whether a half-built vehicle may take weight in the next
// move.
package main

import (
	"context"
	"os"
	"os/signal"

	"setdown/cmd/setdown/internal/app"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	os.Exit(app.Run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}
