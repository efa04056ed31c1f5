package agent

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/page"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// previews says what changed settings would have done, to the page, by MQTT and to the
// command line. It works on its asker's side: of the loop it asks only what that remembers.
type previews struct {
	remembers func(context.Context) (remembered, error)
	reader    func() (*record.Reader, error)
	zone      *time.Location
	waiting   chan struct{} // who has come
	working   chan struct{} // whose turn it is
	before    again         // whoever's turn it is may touch it
}

// mostWaiting previews may wait for the one that is worked out: one at a time leaves a board
// of one core its ticks.
const mostWaiting = 3

func newPreviews(d *parts) *previews {
	return &previews{
		remembers: func(ctx context.Context) (remembered, error) { return d.loop.Remembers(ctx) },
		reader:    d.reader, zone: d.zone(),
		waiting: make(chan struct{}, mostWaiting+1), working: make(chan struct{}, 1),
	}
}

// errCrowded refuses one preview too many.
var errCrowded = errors.New("other previews are being worked out; ask again in a moment")

// errUnrecorded is a greenhouse of which nothing is kept.
var errUnrecorded = errors.New("nothing is recorded")

// errRecalling asks for patience after a start.
var errRecalling = errors.New("the record of earlier nights is still being read after the start; ask again in a moment")

// look says what changed settings would have done to the last nights; faults of the values
// are in the document. Words are in units, or in the grower's where none are given. The error
// says why nothing could be worked out.
func (p *previews) look(ctx context.Context, changed map[string]string, nights int, units *quantity.Units) (*wire.Preview, error) {
	if p == nil {
		return nil, errUnrecorded
	}
	select {
	case p.waiting <- struct{}{}:
	default:
		return nil, errCrowded
	}
	defer func() { <-p.waiting }()
	x, err := p.remembers(ctx)
	if err != nil {
		return nil, err
	}
	t := twice{remembered: x, now: *x.file, zone: p.zone}
	if units != nil {
		t.now.Site.Units = *units
	}
	doc := &wire.Preview{Units: t.now.Site.Units.String(), Nights: []wire.PreviewNight{}}
	if doc.Faults, err = t.change(changed, doc); err != nil || doc.Faults != nil {
		return doc, err
	}
	if x.recalling {
		return nil, errRecalling
	}
	return doc, p.work(ctx, &t, nights, doc)
}

// work waits for its turn and lives the nights again. Where the asker gives up, what was
// begun is brought to its end behind them, and the next one waits for that.
func (p *previews) work(ctx context.Context, t *twice, nights int, doc *wire.Preview) error {
	select {
	case p.working <- struct{}{}:
	case <-ctx.Done():
		return fmt.Errorf("other previews took too long: %w", ctx.Err())
	}
	done, own := make(chan error, 1), *doc
	go func() {
		defer func() { <-p.working }()
		done <- t.tell(ctx, p, nights, &own)
	}()
	select {
	case err := <-done:
		*doc = own
		return err
	case <-ctx.Done():
		return fmt.Errorf("it took too long; ask for fewer nights: %w", ctx.Err())
	}
}

// reader opens the record beside the loop; what it says of readings that are not yet
// written is no more than a minute old.
func (d *parts) reader() (*record.Reader, error) {
	if d.record == nil || d.spare != "" {
		return nil, errUnrecorded
	}
	return record.OpenReadOnly(filepath.Join(d.dir, RecordName))
}

// preview answers a command that asks for one.
func (l *Loop) preview(ctx context.Context, c wire.Command) wire.Answer {
	a := wire.Answer{ID: c.ID, Reason: "what the change would have done"}
	nights := c.Nights
	if nights == 0 {
		nights = wire.UsualNights
	}
	doc, err := l.Previews.look(ctx, c.Preview, nights, nil)
	a.Head = l.scribe.head(l.Clock.Now())
	switch {
	case err != nil:
		a.Reason = flat(err).Error()
	case doc.Faults != nil:
		a.Preview, a.Reason = doc, faultsText(doc.Faults)
	default:
		a.Preview, a.Accepted = doc, true
	}
	return a
}

// Preview is the same for the page, in a browser's units.
func (h *housePage) Preview(ctx context.Context, changed map[string]string, u quantity.Units) (page.Preview, error) {
	doc, err := h.parts.looks.look(ctx, changed, wire.UsualNights, &u)
	if err != nil {
		return page.Preview{}, err
	}
	p := page.Preview{Faults: doc.Faults, Tonight: doc.Tonight, Changes: previewChanges(doc)}
	for _, n := range doc.Nights {
		p.Nights = append(p.Nights, page.Replayed{
			Noon: n.Noon, Was: quantity.Celsius(n.RecordedC), Again: quantity.Celsius(n.AgainC), Then: quantity.Celsius(n.ThenC),
			SquaredAgain: n.AgainK2h, SquaredThen: n.ThenK2h, WhAgain: n.AgainWh, WhThen: n.ThenWh,
			BelowAgain: seconds(n.AgainBelowS), BelowThen: seconds(n.ThenBelowS),
		})
	}
	p.Words = append([]string{doc.Words}, LeftOutWords(doc)...)
	return p, nil
}

// seconds as a time.
func seconds(s float64) time.Duration { return time.Duration(s * float64(time.Second)) }

// previewChanges are a preview's changes by their keys within the loop.
func previewChanges(doc *wire.Preview) (all []page.Change) {
	for _, c := range doc.Changes {
		_, key, _ := strings.Cut(strings.TrimPrefix(c.Key, "loop."), ".")
		all = append(all, page.Change{Name: key, From: c.From, To: c.To})
	}
	return all
}

// chosen is the greenhouse that nights are lived again by: fitted to the record, else as it
// was learned while running, else the file's.
func (x *remembered) chosen() (t night.Twin, by string, on *time.Time, err error) {
	f := x.file
	if f.Fitted == nil && x.learned {
		return x.twin, wire.TwinLearned, nil, nil
	}
	s, err := planner(f)
	if err != nil {
		return t, "", nil, err
	}
	if f.Fitted == nil {
		return s.Twin, wire.TwinFile, nil, nil
	}
	made := f.Fitted.Made.UTC()
	return s.Twin, wire.TwinFitted, &made, nil
}

// beside are faults by the fields that they belong to.
func beside(faults config.Faults) map[string]string {
	by := make(map[string]string)
	for _, f := range faults {
		by[f.Key] = f.Problem
		if f.Allowed != "" {
			by[f.Key] += " (" + f.Allowed + ")"
		}
	}
	return by
}
