package main

import (
	"encoding/json"
	"fmt"
	"strings"

	"duskloop/agent/wire"
)

type settingsCommand struct {
	Set       []string `arg:"" optional:"" help:"KEY=VALUE, as start_difference='14 °F'. Without any, the settings are shown." placeholder:"KEY=VALUE"`
	Back      bool     `help:"Put back what was changed last, all of it. Again, and that is undone."`
	Preview   bool     `help:"Change nothing: say what it would have done to the last nights, and tonight's outlook."`
	Nights    *int     `help:"With --preview: how many nights, ${usual} without it." placeholder:"N"`
	JSON      bool     `help:"Print the preview as JSON." name:"json"`
	Simulated bool     `help:"The demo's daemon instead of the real one."`
}

// Run shows, changes or tries settings.
func (c *settingsCommand) Run(s *session) error {
	wanted, err := c.wanted()
	if err != nil {
		return err
	}
	switch {
	case c.Back && (c.Preview || len(wanted) > 0):
		return misuse("--back stands alone: it puts back what was changed last")
	case c.Preview:
		return c.preview(s, wanted)
	case c.Nights != nil || c.JSON:
		return misuse("--nights and --json go with --preview")
	case len(wanted) > 0:
		return c.change(s, wire.Command{Set: wanted}, "")
	case c.Back:
		return c.change(s, wire.Command{Back: true}, "put back: ")
	}
	a, err := ask(s, c.Simulated, wire.Command{Show: true})
	if err != nil {
		return err
	}
	for _, x := range a.Settings {
		fmt.Fprintf(s.out, "%-44s %s\n", x.Key, x.Value)
	}
	return nil
}

// wanted are the settings by their keys.
func (c *settingsCommand) wanted() (map[string]string, error) {
	all := make(map[string]string)
	for _, pair := range c.Set {
		key, value, ok := strings.Cut(pair, "=")
		if !ok {
			return nil, misuse("write KEY=VALUE, not %q", pair)
		}
		all[strings.TrimSpace(key)] = strings.TrimSpace(value)
	}
	return all, nil
}

// change asks for a change and prints what was changed.
func (c *settingsCommand) change(s *session, command wire.Command, what string) error {
	a, err := ask(s, c.Simulated, command)
	for _, x := range a.Changes {
		fmt.Fprintf(s.out, "%s%s: %s -> %s\n", what, x.Key, x.From, x.To)
	}
	return err
}

// preview asks what a change would have done.
func (c *settingsCommand) preview(s *session, wanted map[string]string) error {
	nights := wire.UsualNights
	if c.Nights != nil {
		nights = *c.Nights
	}
	switch {
	case len(wanted) == 0:
		return misuse("--preview needs a KEY=VALUE to try")
	case nights < 1 || nights > wire.MostNights:
		return misuse("--nights is 1 to %d, not %d", wire.MostNights, nights)
	}
	a, err := ask(s, c.Simulated, wire.Command{Preview: wanted, Nights: nights})
	if err != nil {
		return err
	}
	if c.JSON {
		e := json.NewEncoder(s.out)
		e.SetIndent("", "  ")
		return e.Encode(a.Preview)
	}
	return printPreview(s.out, a.Preview)
}
