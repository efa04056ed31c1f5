package main

import (
	"fmt"

	"duskloop/agent"
)

type restCommand struct{ greenhouseFile }

// Run brings the outputs to rest. Without a file, or with one that cannot be
// read, those of the last good start are meant.
func (c *restCommand) Run(s *session) error {
	f, err := c.given()
	if err != nil {
		fmt.Fprintln(s.err, "duskloop:", err)
		f = nil
	}
	if err := agent.Rest(f, agent.Folder(s.state, false), openBoard); err != nil {
		return err
	}
	fmt.Fprintln(s.out, "outputs at rest: pump and fans off, contactor open, buzzer off")
	return nil
}
