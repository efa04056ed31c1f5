package agent

import (
	"time"

	"duskloop/agent/page"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// devices are the probes as they were last read, unjudged: those of the file, and those that
// are on the bus beside them while somebody looks; and why those cannot be had.
func (p *paged) devices(l *Loop, c *Cycle) (all []page.Device, why string) {
	for _, place := range placesShown {
		id := l.File.Loop().Probes[place].ID
		if id == "" {
			continue
		}
		d := deviceOf(&c.Look.Probes[place], c.At)
		d.ID, d.Place = string(id), place.String()
		d.C = l.beliefs.correct[place].Correct(d.C)
		all = append(all, d)
	}
	b := p.house.parts.bench
	switch {
	case l.Simulated:
		return all, "The simulated greenhouse has the probes of its file, and no other."
	case b == nil || b.others == nil:
		return all, "The bus of the probes is not open, so that others on it cannot be seen."
	}
	others, err := b.others.look(time.Now())
	for i := range others {
		all = append(all, deviceOf(&others[i], c.At))
	}
	if err != nil {
		why = "The bus could not be looked through for other probes: " + err.Error()
	}
	return all, why
}

func deviceOf(r *sensors.Reading, now time.Time) page.Device {
	d := page.Device{ID: r.Probe, Known: r.Cause.Quality() != sensors.QualityBad, C: r.Value, Age: max(0, now.Sub(r.At))}
	if !d.Known {
		d.Trouble, d.C = r.Cause.String(), quantity.Celsius(0)
	}
	return d
}

// Seek says that somebody looks at the devices on the bus.
func (h *housePage) Seek() {
	if b := h.parts.bench; b != nil && b.others != nil {
		b.others.want(time.Now())
	}
}

var _ = control.Places
