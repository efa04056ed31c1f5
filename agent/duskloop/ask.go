package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"time"

	"duskloop/agent"
	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

type handCommand struct {
	Order     string `arg:"" help:"run-pump, run-fans, hold, test, watch, end or resume." enum:"run-pump,run-fans,hold,test,watch,end,resume"`
	For       string `help:"For how long, as 10min or '2 h'." placeholder:"TIME"`
	Simulated bool   `help:"The demo's daemon instead of the real one."`
}

// Run says what the order does to safety, then gives it to the daemon.
func (c *handCommand) Run(s *session) error {
	var length quantity.Span
	if err := length.Set(c.For); c.For != "" && err != nil {
		return named("--for", err)
	}
	printParagraphs(s.out, []string{meaning[c.Order]})
	a, err := ask(s, c.Simulated, wire.Command{Hand: c.Order, For: c.For})
	if err != nil {
		return err
	}
	fmt.Fprintln(s.out)
	printParagraphs(s.out, []string{a.Reason})
	return nil
}

// meaning says what each order does to safety.
var meaning = map[string]string{
	"run-pump": "Every safety rule stays above it: cut-off, slush, level and reserve still stop the pump.",
	"run-fans": "Every safety rule stays above it, and the fans never blow cold.",
	"hold":     "No pump, no fans, no shedding and no frost guard until it ends. The contactor still opens when the tank is hot. Never leave a hot tank held off.",
	"test":     "A forced test for duskloop fit: once it is dark and the tank is well warmer than the tunnel, pump and fans run 30 min and rest 60 min, for 6 h at most, in a night that has heat to spare if one comes, else in the last 12 h of the time that you gave. Every safety rule and the battery's reserve stay above it, and below the crop's minimum heat is spent as always; but it spends heat early that may be missing towards morning: do not ask for it before a hard frost.",
	"watch":    "Pump and fans are not switched, shedding included; contactor and buzzer still act.",
	"end":      "Back to the rules: every order by hand ends, watch-only too. Pump and fans may start at once: keep hands, hair and cloth out of them, and the loop closed.",
	"resume":   "The pump is tried again and may start at once: only with the loop closed, filled and seen to.",
}

// ask sends a command; a refusal is an error with the daemon's reason.
func ask(s *session, simulated bool, c wire.Command) (wire.Answer, error) {
	within := 10 * time.Second
	if c.Previews() {
		within = 5 * time.Minute // the daemon's own bound comes first
	}
	ctx, cancel := context.WithTimeout(s, within)
	defer cancel()
	c.Who = cmp.Or(c.Who, "command line")
	dir := agent.Folder(s.state, simulated)
	a, err := agent.Ask(ctx, dir, c)
	err = unanswered(err, dir, simulated)
	if err == nil && !a.Accepted {
		err = errors.New("refused: " + a.Reason)
	}
	return a, err
}
