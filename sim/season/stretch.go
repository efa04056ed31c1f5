package season

import (
	"time"

	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// Spent is what a stretch of a winter came to under a house's own rules.
type Spent struct {
	Squared float64 // K²h below the crop's minimum
	Battery float64 // kWh drawn by pump and fans
	Starts  float64 // of the pump
	Hours   float64
}

// Plus is what two stretches came to together.
func (a Spent) Plus(b Spent) Spent {
	return Spent{Squared: a.Squared + b.Squared, Battery: a.Battery + b.Battery, Starts: a.Starts + b.Starts, Hours: a.Hours + b.Hours}
}

// Stretch lives a part of a winter by the daemon's own decision, whatever spends its heat; a
// run-in before it is not counted. Start is where the run-in begins. Without heat (idle) pump
// and fans never run.
func Stretch(h House, start time.Time, runIn, long time.Duration, sky func(weather.Sky) weather.Source, idle bool) (Spent, error) {
	s, err := New(h, start, sky)
	if err != nil {
		return Spent{}, err
	}
	step := func() {
		if !idle {
			s.Step(minute)
			return
		}
		s.plant.Step(minute, plant.Act{ElementConnected: true}, s.sky.At(s.plant.Clock().Add(minute/2)))
	}
	for range int(runIn / minute) {
		step()
	}
	before, minimum := s.plant.Meters(), float64(h.Settings.Crop.Minimum)
	out := Spent{Hours: long.Hours()}
	for range int(long / minute) {
		step()
		below := max(0, minimum-float64(s.plant.Now().Tunnel))
		out.Squared += below * below / 60
	}
	after := s.plant.Meters()
	out.Battery = float64(after.BatteryUsed-before.BatteryUsed) / 1000
	out.Starts = float64(after.PumpStarts - before.PumpStarts)
	return out, nil
}
