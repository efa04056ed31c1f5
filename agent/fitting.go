package agent

import (
	"context"
	"errors"
	"fmt"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/fitted"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/fit"
	"duskloop/sim/season"
)

// Fitting is a fit of a file's greenhouse to its record.
type Fitting struct {
	File     *config.File
	From, To time.Time
	// Simulated readings are the demo's; a record holds both kinds.
	Simulated bool
	Made      time.Time // the date that the fit gets
}

// Fitted is what came of it; of a refusal only what was left out.
type Fitted struct {
	Greenhouse *fitted.Greenhouse
	Result     *fit.Result
	Start      time.Time // of the record's minutes
}

// ErrNoRecord is a time range without readings.
var ErrNoRecord = errors.New("no readings in this time")

// Fit reads the record and fits. The error is fit.ErrTooLittle where the record does not tell
// enough; what was left out then says why.
func (x Fitting) Fit(ctx context.Context, r *record.Reader) (Fitted, error) {
	l := x.File.Loop()
	if name := missing(l); name != "" {
		return Fitted{}, fmt.Errorf("the loop has no probe in the %s, and a fit needs tank, tunnel and greenhouse", name)
	}
	m, err := x.minutes(ctx, r)
	if err != nil {
		return Fitted{}, err
	}
	model, err := fitModel(x.File, m.meanTank())
	if err != nil {
		return Fitted{}, err
	}
	out := Fitted{Start: m.start}
	out.Result, err = fit.Fit(&fit.Record{Start: m.start, Minutes: m.all, Skies: m.skies, Heated: m.heated}, &fit.Options{File: model, Noon: m.noon(x.File), Cells: fitCells(x.File, &model)})
	if out.Result != nil {
		out.Result.Stuck = append(out.Result.Stuck, m.clock.said...)
	}
	if err != nil {
		return out, err
	}
	out.Greenhouse = fitted.Of(out.Result, ownParams(x.File), stated(x.File), l.Name, m.start, m.start.Add(time.Duration(len(m.all))*time.Minute), x.Made)
	return out, nil
}

// fitModel is the model of a file: its own figures, whatever was fitted before.
func fitModel(f *config.File, tank quantity.Celsius) (m fit.Model, err error) {
	p := ownParams(f)
	if m.Twin, _, err = season.TwinOf(p); err != nil {
		return m, fmt.Errorf("the file's model: %w", err)
	}
	heat, err := p.TankAt(tank)
	if err != nil {
		return m, fmt.Errorf("the file's model: %w", err)
	}
	m.Tank, m.Exponent = float64(heat), 0.5
	m.Shape, err = fit.NewShape(func(c float64) (float64, error) {
		g, err := p.CoilAt(quantity.Celsius(c))
		return float64(g), err
	})
	perLitre := float64(heat) / float64(p.Tank.Volume)
	m.Pipes = float64(p.Loop.Volume) * perLitre
	m.Stream = float64(p.Loop.Circuit.Flow) / 60 * perLitre
	m.Still, m.Blown = 2*float64(p.Loop.Still), 2*m.Coil
	m.PumpHeat = float64(p.Loop.Pump) * float64(p.Loop.PumpHeat)
	return m, err
}

// fitCells is the file's battery.
func fitCells(f *config.File, m *fit.Model) *fit.Cells {
	b := ownParams(f).Supply.Battery
	return &fit.Cells{
		Rest:       func(x float64) float64 { return float64(b.Chemistry.RestVoltage(quantity.Share(x))) },
		Resistance: float64(f.Loop().Battery.Resistance), Capacity: float64(b.Capacity), Efficiency: float64(b.Efficiency), Draw: m.Draw, Base: m.Base,
	}
}

// minutes reads the record as minutes.
func (x Fitting) minutes(ctx context.Context, r *record.Reader) (*minutes, error) {
	s, err := x.File.Settings()
	if err != nil {
		return nil, err
	}
	p := plantParams(x.File)
	m := &minutes{settings: s, period: x.File.Daemon.Period.Duration(), skies: season.Skies(p.Site, p.Element.Panel.Plane)}
	err = r.Each(ctx, x.From, x.To, func(y record.Reading) error {
		if y.Simulated == x.Simulated {
			m.add(&y)
		}
		return ctx.Err()
	})
	if err == nil && len(m.all) == 0 {
		err = ErrNoRecord
	}
	return m, err
}

// minutes gathers readings.
type minutes struct {
	settings control.Settings
	period   time.Duration // of readings
	skies    night.Skies
	start    time.Time
	clock    clockWatch
	all      []fit.Minute
	last     *record.Reading
	heated   bool      // the element's panel is measured
	weight   []float64 // of each minute, s
}
