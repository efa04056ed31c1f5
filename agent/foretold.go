package agent

import (
	"context"
	"errors"
	"fmt"
	"math"
	"time"

	"duskloop/agent/wire"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/sun"
)

// farthestForecast is how far from now a forecast may begin: one that begins farther off
// is one whose clock, or ours, is wrong. Our choice.
const farthestForecast = 10 * 24 * time.Hour

// ErrNotPlanned is a forecast for a loop whose heat is not spent by plan.
var ErrNotPlanned = errors.New("no plan is made for this loop; a forecast is of no use")

// Foretell hands a forecast from outside, as it came in, to the loop's mind and waits until
// it is taken. The error says why it is refused, or is the context's.
func (l *Loop) Foretell(ctx context.Context, data []byte) error {
	if l.tonight.mind == nil {
		return ErrNotPlanned
	}
	told, err := wire.ParseForecast(data)
	if err != nil {
		return err
	}
	if away := told.From.Sub(l.Clock.Now()).Abs(); away > farthestForecast {
		return fmt.Errorf("%w: it begins %v from now", wire.ErrForecast, quantity.Span(away.Round(time.Hour)))
	}
	p := plantParams(l.base)
	f := night.Forecast{
		From: told.From, Step: time.Duration(told.StepS) * time.Second, Air: told.AirC,
		Sun: inPlane(&told, p.Site, p.Element.Panel.Plane),
	}
	r := request{forecast: &f, taken: make(chan error, 1)}
	select {
	case l.requests <- r:
		return <-r.taken
	case <-ctx.Done():
		return fmt.Errorf("the loop did not take the forecast: %w", ctx.Err())
	}
}

// mostSun is the largest share of 1000 W/m² that a mind takes.
const mostSun = 1.5

// inPlane is a forecast's sun on the level as a share of 1000 W/m² in a plane, by where the
// sun stands in the middle of each step; empty where it is not told.
func inPlane(f *wire.Forecast, site sun.Site, plane sun.Plane) []float64 {
	track, aim := site.Track(), plane.Aim()
	step := time.Duration(f.StepS) * time.Second
	shares := make([]float64, 0, len(f.SunW))
	for i, ghi := range f.SunW {
		at := f.From.Add(time.Duration(i)*step + step/2)
		zenith, clear := track.ClearSky(at)
		share := 0.0
		if clear > 0 {
			dni, dhi := track.Split(at, zenith, quantity.WattPerSquareMetre(ghi))
			share = float64(aim.HayDavies(track.At(at), sun.Light{GHI: quantity.WattPerSquareMetre(ghi), DNI: dni, DHI: dhi})) / 1000
		}
		if math.IsNaN(share) {
			share = 0
		}
		shares = append(shares, min(max(share, 0), mostSun))
	}
	return shares
}
