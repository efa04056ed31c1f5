package main

import (
	"fmt"

	"duskloop/agent"
	"duskloop/agent/config"
)

type checkCommand struct {
	greenhouseFile
	Example bool `help:"Print a commented example file instead."`
}

// Run checks the file and prints its figures, warnings and the cautions.
func (c *checkCommand) Run(s *session) error {
	if c.Example {
		_, err := fmt.Fprint(s.out, config.Example())
		return err
	}
	f, err := c.orDemo()
	if err != nil {
		return err
	}
	d, err := agent.Derive(f)
	if err != nil {
		return fmt.Errorf("%w: %w", agent.ErrConfig, err)
	}
	if f.Path == "" {
		fmt.Fprintln(s.out, "No file named: this is the built-in demo. Use --greenhouse FILE for yours.")
	}
	fmt.Fprintf(s.out, "%s, loop %s: no fault found.\n\n", f.Site.Name, f.Loop().Name)
	for _, x := range d.Figures {
		fmt.Fprintf(s.out, "  %-68s %s\n", x.What, x.Value)
	}
	printWarnings(s.out, d.Warnings)
	fmt.Fprintln(s.out, "\nBefore you wire or change anything:")
	for _, x := range config.Cautions() {
		fmt.Fprintln(s.out, "- "+x)
	}
	return nil
}
