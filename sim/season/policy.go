package season

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// Pilot runs pump and fans from minute to minute, by the truth of the plant.
type Pilot interface {
	// Duty of pump and fans for the time that follows.
	Duty(now plant.State, dt time.Duration) quantity.Share
}

// Span is the time that a season is run over.
type Span struct {
	Start  time.Time
	Days   int
	Offset time.Duration // of the clock from UTC by which a day has its noon
}

// end of the span.
func (s Span) end() time.Time { return s.Start.AddDate(0, 0, s.Days) }

// minute is how long one decision of a pilot holds.
const minute = time.Minute

// Fly runs a plant by a pilot, and says the score and the duty of every minute. The
// battery's reserve is kept whatever the pilot says.
func Fly(h House, over Span, sky func(weather.Sky) weather.Source, by Pilot) (Score, []float32, error) {
	f, err := fly(h, over, sky, by)
	return f.Score, f.Duties, err
}

// fly is Fly that keeps what it saw.
func fly(h House, over Span, sky func(weather.Sky) weather.Source, by Pilot) (Flight, error) {
	p, err := plant.New(h.Plant, over.Start, h.Start)
	if err != nil {
		return Flight{}, fmt.Errorf("season: %w", err)
	}
	source, count := sky(p.Sun()), newTally(h.Settings.Crop.Minimum, over.Start, over.Offset)
	f, gate := newFlight(over), gate{reserve: h.Settings.Battery.Reserve}
	for end := over.end(); p.Clock().Before(end); {
		now := p.Now()
		duty := gate.pass(by.Duty(now, minute), now.BatteryCharge)
		f.keep(p, duty)
		act := plant.Act{Pump: duty, Fans: duty, ElementConnected: true}
		p.Step(minute, act, source.At(p.Clock().Add(minute/2)))
		count.add(p.Clock(), minute, p.Now().Tunnel)
	}
	f.Score, f.Meters = finish(p, count, over), p.Meters()
	return f, nil
}

// finish completes a score with what the plant counted.
func finish(p *plant.Plant, t *tally, over Span) Score {
	s, m := t.end(), p.Meters()
	s.Battery = float64(m.BatteryUsed) / 1000
	s.Starts = float64(m.PumpStarts) / float64(over.Days)
	return s
}

// gate keeps the battery's reserve: it closes there, and opens a little higher, so
// that a pilot does not chatter. Both are the study's own rule but for the little.
type gate struct {
	reserve quantity.Share
	closed  bool
}

// recovery is how far above the reserve the gate opens again. Our choice.
const recovery = 0.02

func (g *gate) pass(duty, charge quantity.Share) quantity.Share {
	switch {
	case charge <= g.reserve:
		g.closed = true
	case charge >= g.reserve+recovery:
		g.closed = false
	}
	if g.closed {
		return 0
	}
	return duty
}
