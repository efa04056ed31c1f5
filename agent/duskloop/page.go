package main

import (
	"errors"
	"fmt"

	"duskloop/agent"
)

type pageCommand struct {
	Link pageLink `cmd:"" help:"Print a link by which the page's password is set anew. It works once."`
}

type pageLink struct {
	Simulated bool `help:"The demo's daemon instead of the real one."`
}

// Run asks the daemon for the link.
func (c *pageLink) Run(s *session) error {
	dir := agent.Folder(s.state, c.Simulated)
	a, err := agent.PageLink(s, dir)
	if err != nil {
		return unanswered(err, dir, c.Simulated)
	}
	if !a.Accepted {
		return errors.New(a.Reason)
	}
	fmt.Fprintln(s.out, a.Reason)
	return nil
}
