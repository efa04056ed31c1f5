package main

import (
	"fmt"

	"duskloop/agent"
)

type phoneCommand struct{ greenhouseFile }

// Run sends a test message to the grower's telephone.
func (c *phoneCommand) Run(s *session) error {
	f, err := c.orDemo()
	if err != nil {
		return err
	}
	if err := agent.TryPhone(s, f); err != nil {
		return err
	}
	fmt.Fprintln(s.out, "The service took the message. See whether it rings; a telephone may be off, so it is no safeguard.")
	return nil
}
