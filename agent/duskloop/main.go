// Command duskloop warms a seedling tunnel with the sun's heat of the day: it
// runs the daemon, checks a greenhouse file, simulates, exports the record and
// gives orders by hand. Each command is one file here.
//
// Exit codes: 0 well, 1 a fault of running, 64 a wrong command line, 78 a fault
// of configuration, which starting again cannot mend (64 and 78 as sysexits.h).
package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the process at once
	code, err := command(ctx, os.Args[1:], os.Stdout, os.Stderr)
	if err != nil {
		fmt.Fprintln(os.Stderr, "duskloop:", err)
	}
	os.Exit(code)
}
