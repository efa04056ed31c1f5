package agent

import (
	"context"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/nightly"
	"duskloop/agent/page"
	"duskloop/agent/picture"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// housePage is the daemon as the page asks it.
type housePage struct {
	parts *parts
	file  *atomic.Pointer[config.File]
	at    atomic.Int64 // of the last tick, by the loop's clock, in ms

	mu   sync.Mutex
	days map[int64]page.Day // those that are over, by their noon in Unix seconds: equal times of two zones are two keys
	by   quantity.Celsius   // the crop's minimum that they were judged by
}

func newHousePage(d *parts) *housePage {
	return &housePage{parts: d, days: make(map[int64]page.Day)}
}

// Submit hands a command to the loop.
func (h *housePage) Submit(ctx context.Context, command []byte, who string) (wire.Answer, error) {
	return h.parts.loop.Submit(ctx, command, who)
}

// NoonBefore is the last noon, by a zone's clock.
func NoonBefore(t time.Time, zone *time.Location) time.Time {
	t = t.In(zone)
	noon := time.Date(t.Year(), t.Month(), t.Day(), 12, 0, 0, 0, zone)
	if noon.After(t) {
		noon = noon.AddDate(0, 0, -1)
	}
	return noon
}

func (h *housePage) reader() (*record.Reader, error) { return h.parts.reader() }

// in is the file as the page draws it: in the browser's units.
func (h *housePage) in(u quantity.Units) *config.File {
	f := *h.file.Load()
	f.Site.Units = u
	return &f
}

// drawn gathers the record of a span into a picture.
func (h *housePage) drawn(ctx context.Context, from, to time.Time, f page.Figures) (*Pictured, error) {
	p, err := NewPictured(h.in(f.Units), from, to, h.parts.File.Daemon.Period.Duration())
	if err != nil {
		return nil, err
	}
	p.sheet.Half, p.sheet.Narrow = f.Half, true
	r, err := h.reader()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	err = r.Each(ctx, from, to, func(x record.Reading) error {
		p.Add(&x)
		return ctx.Err()
	})
	return p, err
}

// Night draws from one noon to the next, with what is expected.
func (h *housePage) Night(ctx context.Context, m *page.Moment, f page.Figures) (picture.Picture, error) {
	from := NoonBefore(m.At, h.parts.zone())
	p, err := h.drawn(ctx, from, from.AddDate(0, 0, 1), f)
	if err != nil {
		return nil, err
	}
	p.Finger()
	p.Expect(m.At, &m.Decision.Facts)
	return p.Picture(), nil
}

// Day draws one that is over.
func (h *housePage) Day(ctx context.Context, noon time.Time, f page.Figures) (picture.Picture, error) {
	noon = noon.In(h.parts.zone())
	p, err := h.drawn(ctx, noon, noon.AddDate(0, 0, 1), f)
	if err != nil {
		return nil, err
	}
	p.Finger()
	return p.Picture(), nil
}

// Export writes readings or events as CSV.
func (h *housePage) Export(ctx context.Context, w io.Writer, from, to time.Time, events bool) error {
	r, err := h.reader()
	if err != nil {
		return err
	}
	defer r.Close()
	if events {
		_, err = r.Events(ctx, w, from, to)
	} else {
		_, err = r.Readings(ctx, w, from, to)
	}
	return err
}

// Settings that may be changed.
func (h *housePage) Settings(u quantity.Units) (all []page.Setting) {
	for _, x := range h.file.Load().LiveSettings(u) {
		all = append(all, page.Setting{Name: x.Name, About: x.About, Value: x.Value, Allowed: x.Allowed})
	}
	return all
}

// Same says whether two texts give a setting the same value.
func (h *housePage) Same(name, a, b string) bool { return h.file.Load().Same(name, a, b) }

// Stands says whether a text is a setting's present value.
func (h *housePage) Stands(name, text string) bool { return h.file.Load().Stands(name, text) }

// daysWithin is for how long the page waits for days that were never summed up: the rest
// comes with the next look.
const daysWithin = 700 * time.Millisecond

// Days are the last so many that are over, and what there is of the one that runs.
func (h *housePage) Days(ctx context.Context, before time.Time, n int) ([]page.Day, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if minimum := h.file.Load().Loop().Crop.Minimum; minimum != h.by {
		clear(h.days)
		h.by = minimum
	}
	noon, began := NoonBefore(before, h.parts.zone()), time.Now()
	var r *record.Reader
	var all []page.Day
	for range n {
		noon = noon.AddDate(0, 0, -1)
		d, ok := h.days[noon.Unix()]
		if !ok {
			if r == nil {
				var err error
				if r, err = h.reader(); err != nil {
					return nil, err
				}
				defer r.Close()
			}
			if time.Since(began) > daysWithin {
				break
			}
			var err error
			if d, err = h.sum(ctx, r, noon); err != nil {
				return all, err
			}
			h.days[noon.Unix()] = d
		}
		all = append(all, d)
	}
	for len(all) > 0 && !all[len(all)-1].Known {
		all = all[:len(all)-1]
	}
	return all, nil
}

// sum goes through a day's readings, each of which holds for a while.
func (h *housePage) sum(ctx context.Context, r *record.Reader, noon time.Time) (page.Day, error) {
	next := noon.AddDate(0, 0, 1)
	s := nightly.NewSum(nightly.Rules{
		From: noon, To: next, Now: next, Period: h.parts.File.Daemon.Period.Duration(), Minimum: h.file.Load().Loop().Crop.Minimum,
	})
	err := r.Each(ctx, noon, next, func(x record.Reading) error {
		s.Add(&x)
		return ctx.Err()
	})
	s.Close()
	d := page.Day{Noon: noon, Known: s.Known, Ran: s.Ran}
	if s.Known {
		d.Coldest, d.ColdestAt, d.Lowest, d.Highest, d.Squared = s.Coldest, s.ColdestAt, s.Coldest, s.Highest, s.Squared
	}
	return d, err
}
