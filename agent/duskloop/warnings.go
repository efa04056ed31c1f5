package main

import (
	"fmt"
	"io"

	"duskloop/agent"
	"duskloop/agent/config"
)

// printWarnings says what must be seen to before use.
func printWarnings(w io.Writer, warnings []string) {
	for _, text := range warnings {
		fmt.Fprintf(w, "\nWARNING: %s\n", text)
	}
}

// warnOf prints the warnings of a greenhouse file that is only simulated: what can
// burst here can burst when it is built. A file of which no figures follow is refused
// as check refuses it.
func warnOf(w io.Writer, f *config.File) error {
	d, err := agent.Derive(f)
	if err != nil {
		return fmt.Errorf("%w: %w", agent.ErrConfig, err)
	}
	printWarnings(w, d.Warnings)
	return nil
}
