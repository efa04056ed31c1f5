package picture

import (
	"fmt"
	"regexp"
	"strings"
	"time"
)

// head names the place and its loop.
func (s *Sheet) head() string {
	switch {
	case s.Place == "":
		return "Loop " + s.Loop
	case s.Loop == "":
		return s.Place
	}
	return s.Place + ", loop " + s.Loop
}

// span says from when to when.
func (s *Sheet) span() string {
	from, to := "Jan 2 2006", "Jan 2 2006"
	if s.From.Year() == s.To.Year() {
		from = "Jan 2"
	}
	if !s.Daily() {
		from, to = from+" "+s.clockForm(), to+" "+s.clockForm()
	}
	return s.From.Format(from) + " to " + s.To.Format(to)
}

// halfClock is a time of day by a 12-hour clock.
const halfClock = "3:04\u00a0pm"

// clockForm is how a time of day is written.
func (s *Sheet) clockForm() string {
	if s.Half {
		return halfClock
	}
	return "15:04"
}

// hhmm are times of day in words that were made elsewhere.
var hhmm = regexp.MustCompile(`\b([01]\d|2[0-3]):[0-5]\d\b`)

// timed writes the times of day in a text by the picture's own clock.
func (s *Sheet) timed(text string) string {
	return hhmm.ReplaceAllStringFunc(text, func(x string) string {
		at, err := time.Parse("15:04", x)
		if err != nil {
			return x
		}
		return at.Format(s.clockForm())
	})
}

// clock says which clock the times are of.
func (s *Sheet) clock() string {
	a, b := zone(s.From), zone(s.To)
	if a != b {
		a += " and " + b
	}
	return "times in " + a
}

func zone(t time.Time) string {
	name, _ := t.Zone()
	if strings.HasPrefix(name, "+") || strings.HasPrefix(name, "-") {
		return "UTC" + name
	}
	return name
}

// title is the picture in one line.
func (s *Sheet) title() string {
	text := s.head() + ", " + s.span()
	if s.Simulated {
		text += " (simulated)"
	}
	return text
}

// description says in sentences what the picture shows, for who cannot see it.
func (s *Sheet) description() string {
	var parts []string
	if s.Simulated {
		parts = append(parts, "All of it is simulated.")
	}
	for _, t := range append([]*Trace{s.Tank}, s.Air...) {
		if t.Known() {
			parts = append(parts, fmt.Sprintf("%s from %s (%s) to %s (%s).", capital(t.Name),
				s.said(t.least.V), s.when(t.least.At), s.said(t.most.V), s.when(t.most.At)))
		}
	}
	if len(s.Minimum) > 0 {
		parts = append(parts, "The crop's minimum is "+s.said(s.Minimum[len(s.Minimum)-1].V)+".")
	}
	if s.Charge.Known() {
		parts = append(parts, fmt.Sprintf("Battery charged %s (%s) to %s (%s).",
			saidPercent(s.Charge.least.V), s.when(s.Charge.least.At), saidPercent(s.Charge.most.V), s.when(s.Charge.most.At)))
	}
	return strings.Join(append(parts, s.lanesSaid()...), " ")
}

func (s *Sheet) lanesSaid() []string {
	var parts []string
	for _, l := range s.lanes() {
		text := capital(l.Head) + ", " + lasting(l.total)
		if l.Text != "" {
			text += ": " + l.Text
		}
		parts = append(parts, text+".")
	}
	return parts
}

// lanes are all that held for any time.
func (s *Sheet) lanes() []*Lane {
	var all []*Lane
	for _, l := range append(append(append([]*Lane(nil), s.Ran...), s.Why...), s.Silent) {
		if l != nil && l.total > 0 {
			all = append(all, l)
		}
	}
	return all
}

func (s *Sheet) when(t time.Time) string {
	return t.In(s.From.Location()).Format("Jan 2 " + s.clockForm())
}

// capital begins a sentence.
func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// footer explains what the eye may ask.
func (p *page) footer() {
	text := "Gaps: no reading that is believed."
	if p.NightsKnown && (!p.Daily() || len(p.Hours.columns()) > 0) {
		text = "Shaded: sunset to sunrise. " + text
	}
	p.footnote(text + p.sunTimes() + p.expectedSaid() + p.ended() + p.missing())
}

// sunTimes tells when the sun sets and rises, where the picture is of a night or so.
func (s *Sheet) sunTimes() string {
	if s.To.Sub(s.From) > 36*time.Hour {
		return ""
	}
	text := ""
	for _, n := range s.Nights {
		if _, _, some := s.clip(n.Set, n.Set.Add(time.Second)); some {
			text += " Sunset " + n.Set.In(s.From.Location()).Format(s.clockForm()) + "."
		}
		if _, _, some := s.clip(n.Rise, n.Rise.Add(time.Second)); some {
			text += " Sunrise " + n.Rise.In(s.From.Location()).Format(s.clockForm()) + "."
		}
	}
	return text
}

// expectedSaid explains what is drawn lighter.
func (s *Sheet) expectedSaid() string {
	if len(s.Ahead.traces()) == 0 {
		return ""
	}
	by := "by the plan"
	switch {
	case s.Ahead.Without != "" && s.Ahead.Whole:
		by = "WITHOUT heat (" + s.timed(s.Ahead.Without) + ")"
	case s.Ahead.Without != "":
		by = "without heat at first (" + s.timed(s.Ahead.Without) + "), then by the plan"
	}
	return " Lighter, right of the upright line: expected " + by + ", the tunnel's with the band in which four nights in five fall."
}

// ended tells of lines that stop before the picture does.
func (s *Sheet) ended() string {
	if s.Ahead != nil { // they end now
		return ""
	}
	text := ""
	for _, t := range s.traces() {
		if t.Known() && s.share(t.last.At) <= nearEnd {
			text += " Last of " + t.Name + ": " + s.when(t.last.At) + "."
		}
	}
	return text
}

// missing names the traces that were asked for and never known.
func (s *Sheet) missing() string {
	text := ""
	for _, t := range s.traces() {
		if t != nil && !t.Known() {
			text += " Never known here: " + t.Name + "."
		}
	}
	return text
}
