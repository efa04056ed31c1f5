package agent

import (
	"fmt"
	"math"
	"strings"
	"time"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// greet says what runs and how to watch it.
func (d *parts) greet() {
	if d.Out == nil {
		return
	}
	l := d.File.Loop()
	if d.Simulated {
		fmt.Fprintf(d.Out, "%s, loop %s: simulated greenhouse at %g times real time, from the evening of %s on\n",
			d.File.Site.Name, l.Name, d.Speed, d.loop.Clock.Now().In(d.zone()).Format("2006-01-02 15:04"))
	} else {
		fmt.Fprintf(d.Out, "%s, loop %s\n", d.File.Site.Name, l.Name)
	}
	if d.record != nil && d.spare == "" {
		fmt.Fprintf(d.Out, "record: %s\n", d.dir+"/"+RecordName)
	}
	d.wire.greet(d.Out)
	d.greetMetrics()
	d.page.greet(d)
}

// zone is what a person there would read on a clock: the computer's own, or for
// the simulated greenhouse the whole hour nearest to the sun's time.
func (d *parts) zone() *time.Location {
	if !d.Simulated {
		return time.Local
	}
	return SunZone(d.File)
}

// SunZone is the whole hour nearest to the sun's time at the file's place.
func SunZone(f *config.File) *time.Location {
	hours := math.Round(float64(f.Site.Longitude) / 15)
	return time.FixedZone(fmt.Sprintf("UTC%+.0f", hours), int(hours)*3600)
}

// statusEvery is how often a status line is printed where lines cannot be
// overwritten.
const statusEvery = 10 * time.Second

// after is what follows each cycle: watchdog, metrics, heartbeat, status line.
func (d *parts) after() func(Cycle) {
	var (
		shown time.Time
		cycle int64
		last  control.Decision
		zone  = d.zone()
		show  = d.showing()
		paged = d.page.showing(d)
	)
	return func(c Cycle) {
		notifyAlive()
		show(c)
		paged(c)
		if c.Complete {
			cycle++
			d.wire.heartbeat(d.loop.scribe.head(c.At), cycle)
		}
		if d.Out == nil || !(d.Width > 0 || d.Simulated) {
			return // as a service the log says what changes
		}
		changed := !c.Decision.Same(last)
		last = c.Decision
		switch now := time.Now(); {
		case d.Width > 0:
			fmt.Fprintf(d.Out, "\r\x1b[K%s", clip(statusLine(c, d.Simulated, d.File.Site.Units, zone), d.Width-1))
		case changed || now.Sub(shown) >= statusEvery:
			shown = now
			fmt.Fprintln(d.Out, statusLine(c, d.Simulated, d.File.Site.Units, zone))
		}
		for _, a := range c.Decision.Changes {
			end := "\n"
			if d.Width > 0 {
				end = "\r\n"
			}
			fmt.Fprintf(d.Out, "\r%s%s | %s %s: %s%s", d.mark(), c.At.In(zone).Format("Jan 2 15:04"), a.Severity, a.Kind, a.Text, end)
		}
	}
}

// mark begins every line of a simulated run.
func (d *parts) mark() string {
	if d.Simulated {
		return "simulated | "
	}
	return ""
}

// statusLine is the loop in one line.
func statusLine(c Cycle, simulated bool, u quantity.Units, zone *time.Location) string {
	f := c.Decision.Facts
	parts := []string{c.At.In(zone).Format("Jan 2 15:04"), c.Decision.Mode.String(),
		onOff("pump", c.Decision.Outputs.Pump) + ", " + onOff("fans", c.Decision.Outputs.Fans),
		"tank " + shown(f.Tank, f.TankOK, u), "tunnel " + shown(f.Air, f.AirOK, u),
		"outdoors " + shown(c.Inputs.Places[control.Outdoors].Value, c.Inputs.Places[control.Outdoors].Ever, u)}
	if f.ChargeOK {
		parts = append(parts, fmt.Sprintf("battery %.0f %%", 100*float64(f.Charge)))
	}
	parts = append(parts, c.Decision.Reason.Words())
	if simulated {
		parts = append([]string{"simulated"}, parts...)
	}
	return strings.Join(parts, " | ")
}

func shown(t quantity.Celsius, ok bool, u quantity.Units) string {
	if !ok {
		return "?"
	}
	return t.In(u)
}

func onOff(what string, duty quantity.Share) string {
	if duty > 0 {
		return what + " on"
	}
	return what + " off"
}

// clip cuts a line to n letters, so that overwriting it works.
func clip(s string, n int) string {
	n = max(n, 20)
	r := []rune(s)
	if len(r) <= n {
		return s
	}
	return string(r[:n-1]) + "…"
}
