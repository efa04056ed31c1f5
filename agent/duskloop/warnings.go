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
// burst here can burst when it is built.
func warnOf(w io.Writer, f *config.File) {
	d, err := agent.Derive(f)
	if err != nil {
		d.Warnings = append(d.Warnings, fmt.Sprintf("the warnings of this file could not all be worked out: %v", err))
	}
	printWarnings(w, d.Warnings)
}
