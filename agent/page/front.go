package page

import (
	"fmt"
	"html/template"
	"regexp"
	"slices"
	"strings"
	"time"

	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// front is the first page in words.
type front struct {
	shell
	Lead     string // the answer in a few words
	Grim     bool   // it is none that lets a grower sleep
	Calm     bool   // it is known that nothing needs doing
	Meaning  string // of lead and alerts, without their figures
	Spoken   string // when that changes
	Advice   string // where no alert says what to do; may be empty
	Sentence string
	Alerts   []alert
	Doing    string
	Rows     []row
	Orders   []string
	Night    template.HTML
	Stamp    string // of that picture
	Days     []daily
}

// alert in force, with what to do in its text.
type alert struct {
	Rank string // in words
	Text string
	Grim bool // harm is near
	code string
}

// row is one of the figures of now.
type row struct {
	ID, Name, Value string
	Trend           string // or what is wrong
	Bad             bool
}

func sentenceOf(text string) string {
	if text == "" {
		return text
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// doing says what runs and why.
func (m *Moment) doing(t taste) string {
	d := &m.Decision
	text := fmt.Sprintf("%s, %s: %s.", motor("Pump", float64(d.Outputs.Pump)), motor("fans", float64(d.Outputs.Fans)), d.Explain(t.units))
	if d.Facts.Watching {
		text += " Watch only: nothing is switched."
	}
	return t.timed(text)
}

func motor(name string, duty float64) string {
	switch {
	case duty <= 0:
		return name + " at rest"
	case duty < 1:
		return fmt.Sprintf("%s at %.0f\u00a0%%", name, 100*duty)
	}
	return name + " running"
}

// figures in words, with what belongs to a time of day.
var figures = regexp.MustCompile(`[-\d][\d.,:]*(\x{a0}?[ap]m)?`)

// speak says what a screen reader is to be told when it changes: the lead and how each alert
// begins. Its meaning is the same without its figures, which change all the time.
func (x *front) speak() {
	parts, codes := []string{x.Lead}, []string{figures.ReplaceAllString(x.Lead, "")}
	for _, a := range x.Alerts {
		begins, _, _ := strings.Cut(a.Text, ". ")
		parts, codes = append(parts, a.Rank+": "+begins+"."), append(codes, a.code)
	}
	x.Spoken, x.Meaning = strings.Join(parts, " "), strings.Join(codes, " ")
}

// alerts in force, the gravest first as they come.
func (m *Moment) alerts(t taste) []alert {
	var all []alert
	told := m.Told[t.units]
	for i, a := range m.Alerts {
		if i < len(told) {
			a.Text = told[i]
		}
		all = append(all, alertOf(a, t))
	}
	return all
}

func alertOf(a wire.Active, t taste) alert {
	return alert{Rank: sentenceOf(a.Severity.String()), Text: t.timed(a.Text), Grim: a.Severity <= control.Error, code: a.Code + a.Place}
}

// rows are the figures of now.
func (m *Moment) rows(pasts map[string]past, t taste) []row {
	var all []row
	for _, p := range m.Places {
		all = append(all, p.row(pasts[p.Name], t))
	}
	return append(all, m.battery())
}

func (p *Place) row(trend past, t taste) row {
	r := row{ID: "now-" + p.Name, Name: p.Name, Value: "not known"}
	if p.Known {
		r.Value = t.temp(p.C)
	}
	switch {
	case p.Trouble != "":
		r.Trend, r.Bad = p.Trouble+since(p), true
	case !p.Known:
		r.Trend, r.Bad = "never read", true
	case p.Age >= trendKept: // the trend is of what was read before
		r.Trend = read(p.Age)
	default:
		r.Trend = joined(trend.words(t), read(p.Age))
	}
	return r
}

// read says when something was read.
func read(age time.Duration) string {
	if age < time.Second {
		return "read just now"
	}
	return "read " + ago(age) + " ago"
}

func joined(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), "; ")
}

// since says how old the last good value is.
func since(p *Place) string {
	if !p.Known {
		return ""
	}
	return "; last read " + ago(p.Age) + " ago"
}

// ago is how long, shortly.
func ago(d time.Duration) string {
	switch {
	case d < time.Minute:
		return fmt.Sprintf("%.0f\u00a0s", d.Seconds())
	case d < 2*time.Hour:
		return fmt.Sprintf("%.0f\u00a0min", d.Minutes())
	case d < 48*time.Hour:
		return fmt.Sprintf("%.0f\u00a0h", d.Hours())
	}
	return fmt.Sprintf("%.0f\u00a0days", d.Hours()/24)
}

// battery is its charge with what that may be, and its voltage.
func (m *Moment) battery() row {
	f := &m.Decision.Facts
	r := row{ID: "now-battery", Name: "battery", Value: "not known", Bad: true}
	if f.ChargeOK {
		low, high := max(0, float64(f.Charge-f.Band)), min(1, float64(f.Charge+f.Band))
		r.Value, r.Bad = fmt.Sprintf("%.0f\u00a0%%", 100*float64(f.Charge)), false
		r.Trend = fmt.Sprintf("%.0f to %.0f\u00a0%%; spared below %.0f\u00a0%%", 100*low, 100*high, 100*float64(f.Reserve))
		if m.Meter.HasVolts {
			r.Trend = joined(r.Trend, read(m.Meter.Age))
		}
	} else if m.Meter.HasVolts {
		r.Trend = quantity.Volt(m.Meter.Volts).String() + ", charge not known"
	}
	return r
}
