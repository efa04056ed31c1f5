package control

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// clock is a time of day to the minute.
const clock = "15:04"

// TonightWords says in a sentence what the night should bring, seen at a time, in the
// grower's units and a zone: by the plan, or without heat for as long as that is barred. In
// another it says what of the greenhouse file is strikingly otherwise; nothing where nobody
// plans.
func TonightWords(a night.Advice, b Barred, at time.Time, u quantity.Units, zone *time.Location) string {
	words := nightWords(a, u, zone)
	if b.By != NotBarred && words != "" {
		words = barredWords(&a, b, at, u, zone, words)
	}
	if a.Learned == nil || words == "" {
		return words
	}
	return words + learnedWords(*a.Learned)
}

// learnedWords names the figures that differ from the file's by more than chance.
func learnedWords(all []night.Learned) string {
	var parts []string
	for _, l := range all {
		if l.Striking {
			parts = append(parts, fmt.Sprintf("%s %s %s (± %.0f %%), by the greenhouse file %s", l.Name, three(l.Value), l.Unit, 100*l.Width, three(l.File)))
		}
	}
	if parts == nil {
		return ""
	}
	return " Learned here: " + strings.Join(parts, "; ") + "."
}

// three digits of a number above 0.
func three(x float64) string {
	places := 2 - int(math.Floor(math.Log10(x)))
	unit := math.Pow(10, float64(-places))
	return strconv.FormatFloat(math.Round(x/unit)*unit, 'f', max(0, places), 64)
}

// nightWords is the first sentence.
func nightWords(a night.Advice, u quantity.Units, zone *time.Location) string {
	s := &a.Story
	switch {
	case a.Way == night.Unasked:
		return ""
	case a.Way == night.Waiting:
		return fmt.Sprintf("No plan for the night: %s. %s", a.Why, without(a.Why))
	case a.Way == night.Levelled:
		return fmt.Sprintf("No plan for the night: %s. The tunnel is held at %s, which heat and battery should hold until morning.",
			a.Why, quantity.Celsius(a.Level).In(u))
	case !a.Cold:
		return fmt.Sprintf("No heat is needed: the tunnel is expected no colder than %s without it (%s).",
			quantity.Celsius(s.Unheated).In(u), band(s, u))
	}
	return fmt.Sprintf("%s; tunnel expected no colder than %s at %s (%s; %s without heat); battery %.0f %% → %.0f %%.",
		lasts(s, zone), quantity.Celsius(s.Coldest).In(u), s.ColdestAt.In(zone).Format(clock), band(s, u),
		quantity.Celsius(s.Unheated).In(u), 100*s.Charge, 100*s.ChargeEnd)
}

// NothingHeats begins what is said while heat is barred.
func NothingHeats(b Barred, at time.Time, zone *time.Location) string {
	return "Nothing heats the tunnel: " + b.Words(at, zone) + "."
}

// barredWords are the night's while heat is barred; planned are those without the bar.
func barredWords(a *night.Advice, b Barred, at time.Time, u quantity.Units, zone *time.Location, planned string) string {
	text := NothingHeats(b, at, zone)
	c, when, ok := b.Coldest(a, at)
	switch {
	case !ok:
		return text + " What the night brings is not known. " + b.ToDo()
	case !b.Whole(a, at):
		return fmt.Sprintf("%s Until then the tunnel is expected no colder than %s; then as planned: %s", text, c.In(u), planned)
	}
	text += fmt.Sprintf(" Without heat the tunnel is expected to fall to %s at %s (on one night in ten below %s).",
		c.In(u), when.In(zone).Format(clock), quantity.Celsius(a.Story.UnheatedLow).In(u))
	if a.Cold {
		text += " " + b.ToDo()
	}
	return text
}

// ToDo is what a person can do against the cold while heat is barred.
func (b Barred) ToDo() string {
	if b.By == BarredByStop {
		return "See to that; until then add a cover or bring another heat."
	}
	return "End that order, or add a cover or bring another heat."
}

// without says what is done where nothing is planned.
func without(why night.Doubt) string {
	switch why {
	case night.TankUnseen:
		return "No heat is carried until the tank is known: have cover or another heat at hand."
	case night.BatteryUnseen:
		return "No heat is carried until the battery is known: have cover or another heat at hand."
	case night.AirUnseen:
		return "Heat is carried while the greenhouse is below the crop's minimum and the tank is warmer."
	}
	return "The crop's minimum alone is kept, where the tank's heat is worth the battery."
}

// band is between what the coldest falls on four nights of five.
func band(s *night.Story, u quantity.Units) string {
	low, _, _ := strings.Cut(quantity.Celsius(s.Low).In(u), " ")
	return fmt.Sprintf("80 %% band %s to %s", low, quantity.Celsius(s.High).In(u))
}

// lasts says how far the tank's heat goes.
func lasts(s *night.Story, zone *time.Location) string {
	if s.Lasts.IsZero() {
		return "Tank heat lasts beyond the coldest hour"
	}
	return "Tank heat lasts to about " + s.Lasts.In(zone).Format(clock)
}

// planWords are the numbers behind what the plan does now.
func planWords(r Reason, a *night.Advice, u quantity.Units) string {
	s := &a.Story
	switch {
	case a.Way == night.Levelled && r == Levelling:
		return fmt.Sprintf(" (%s; %s)", quantity.Celsius(a.Level).In(u), a.Why)
	case a.Way == night.Waiting && a.Why != night.NoDoubt:
		return fmt.Sprintf(" (no plan: %s)", a.Why)
	case a.Way != night.Planned:
		return ""
	case r == NoNeed:
		return fmt.Sprintf(" (expected no colder than %s)", quantity.Celsius(s.Unheated).In(u))
	case r == Saving && a.Duty >= leastShare:
		return fmt.Sprintf(" (between two runs of heat that is spent now: %.0f Wh left in the tank, about %.0f Wh wanted; no colder than %s at %s)",
			s.Left, s.Needed, quantity.Celsius(s.Coldest).In(u), s.ColdestAt.Format(clock))
	case r == Saving && !s.From.IsZero():
		return fmt.Sprintf(" (next %s–%s: %.0f Wh left in the tank, about %.0f Wh wanted; no colder than %s at %s)",
			s.From.Format(clock), s.To.Format(clock), s.Left, s.Needed, quantity.Celsius(s.Coldest).In(u), s.ColdestAt.Format(clock))
	case r == Planned || r == Gathering || r == Saving:
		return fmt.Sprintf(" (%.0f Wh left in the tank, about %.0f Wh wanted; no colder than %s at %s; battery %.0f %% → %.0f %%)",
			s.Left, s.Needed, quantity.Celsius(s.Coldest).In(u), s.ColdestAt.Format(clock), 100*s.Charge, 100*s.ChargeEnd)
	}
	return ""
}
