package control

import (
	"fmt"
	"strings"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// TestAsked is a forced test in the moment in which it is asked for.
type TestAsked struct {
	For    time.Duration
	Before Hand // as the orders stood until now
	Barred Barred
	Night  *night.Advice
	At     time.Time
	Zone   *time.Location
}

// TestWords say what becomes of a forced test: whether one was asked for already, when it
// begins, what bars it and until when, how tonight is judged, and how to end it.
func (s *Settings) TestWords(x *TestAsked) string {
	all := []string{x.again()}
	if x.Before.Tested == 0 {
		all = append(all, fmt.Sprintf("It begins in the dark, once the tank is %s over the tunnel.", testBegins.In(s.Units)), x.barred())
	}
	all = append(all, s.tonightFor(x), "To end it: duskloop hand end, which ends every order by hand, watch-only too.")
	return strings.Join(strings.Fields(strings.Join(all, " ")), " ")
}

// again says that it is not the first.
func (x *TestAsked) again() string {
	switch h := &x.Before; {
	case h.Tested > 0:
		return "One is under way already and goes on."
	case h.Test > 0:
		return "One was asked for already and waits; it has the new time now."
	}
	return ""
}

// barred says why nothing can run, and what to do where that lasts too long.
func (x *TestAsked) barred() string {
	b := &x.Barred
	text := "Nothing can run now: " + b.Words(x.At, x.Zone)
	switch {
	case b.By == NotBarred:
		return ""
	case b.By == BarredByStop:
		return text + ". See to that first: until then it waits, while its time lasts."
	case b.Left >= x.For:
		return text + ", which is longer than the test may wait. End that first (duskloop hand end) and ask again."
	}
	return text + ". It waits until then."
}

// tonightFor says whether tonight has heat for it.
func (s *Settings) tonightFor(x *TestAsked) string {
	a := x.Night
	minimum := s.Crop.Minimum
	var text string
	switch {
	case a.Way == night.Levelled && a.Level < float64(minimum):
		text = fmt.Sprintf("Tonight is judged too cold for it: heat and battery hold about %s", quantity.Celsius(a.Level).In(s.Units))
	case a.Way != night.Planned:
		return "Nobody plans tonight, so whether it has heat to spare is not known; " + x.short()
	case a.Cold && a.Story.Coldest < float64(minimum):
		text = fmt.Sprintf("Tonight is judged too cold for it: about %s at %s", quantity.Celsius(a.Story.Coldest).In(s.Units), a.Story.ColdestAt.In(x.Zone).Format(clock))
	default:
		return ""
	}
	return fmt.Sprintf("%s, and the crop's minimum is %s; %s", text, minimum.In(s.Units), x.short())
}

// short says what a test does in a night without heat to spare.
func (x *TestAsked) short() string {
	patience := quantity.Span(testPatience).String()
	switch {
	case x.Before.Tested > 0:
		return "end it, if the crop needs that heat."
	case x.For <= testPatience:
		return "with " + patience + " or less it begins all the same, with heat that the crop may need: end it, if that is not what you want."
	}
	return "it waits for a night with heat to spare, but in the last " + patience + " of its time it begins all the same: end it before, if that night is too cold for that."
}
