package season

import (
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// Off never runs.
type Off struct{}

// Duty is none.
func (Off) Duty(plant.State, time.Duration) quantity.Share { return 0 }

// Differential starts the pump where the tank is On above the tunnel's air and stops
// it Off above; At, if given, says when it may run at all.
type Differential struct {
	On, Off quantity.Kelvin
	At      func(time.Time) bool
	runs    bool
}

// Duty is all or nothing.
func (d *Differential) Duty(now plant.State, _ time.Duration) quantity.Share {
	over := now.Tank.Minus(now.Tunnel)
	switch {
	case over >= d.On:
		d.runs = true
	case over <= d.Off:
		d.runs = false
	}
	return allOrNothing(d.runs && (d.At == nil || d.At(now.Time)))
}

// Thermostat starts the pump where the tunnel's air is below On and stops it Band
// higher, and runs only while the tank is Over warmer than the air, for MinRun at least.
type Thermostat struct {
	On         quantity.Celsius
	Band, Over quantity.Kelvin
	MinRun     time.Duration
	runs       bool
	ran        time.Duration
}

// Duty is all or nothing.
func (t *Thermostat) Duty(now plant.State, dt time.Duration) quantity.Share {
	warm := now.Tank.Minus(now.Tunnel) > t.Over
	switch {
	case !t.runs && now.Tunnel < t.On && warm:
		t.runs, t.ran = true, 0
	case t.runs && t.ran >= t.MinRun && (now.Tunnel > t.On.Plus(t.Band) || !warm):
		t.runs = false
	}
	t.ran += dt
	return allOrNothing(t.runs)
}

func allOrNothing(runs bool) quantity.Share {
	if runs {
		return 1
	}
	return 0
}
