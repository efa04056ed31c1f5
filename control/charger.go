package control

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Charger is the output that holds the battery's charger off, where one is fitted:
// charging LiFePO4 below 0 °C plates lithium for good. Its inert state lets the charger
// work, because a dead computer must not leave the battery to run flat; then, and always,
// the battery's own protection is the safeguard and not this.
//
// The probe is in the air or on the case, and the cell counts. So the cell is taken to
// follow the probe with a delay, and to be no warmer than either.
type Charger struct {
	Off  bool
	For  time.Duration
	Cell quantity.Celsius // as it follows the probe
	Seen bool             // the probe has been known since the start
}

// Numbers we chose, with what happens if they are wrong.
const (
	offAtLeast = time.Minute // to and fro
	// Four kilograms at about 1 kJ/kgK that take heat from still air at 0.3 W/K (our
	// estimate). A larger or boxed battery is slower: too small, and it is charged frozen.
	cellDelay = 4 * time.Hour
	// Nothing is known of the night before the start; after a colder one than this a battery
	// may be let go too early.
	coldStart quantity.Celsius = -5
)

// pass holds off at once and lets work again after the least time.
func (c Charger) pass(d time.Duration, v *view) Charger {
	c.For += d
	c = c.follow(d, v.cell)
	off := v.holdCharger(c)
	if off == c.Off || c.Off && c.For < offAtLeast {
		return c
	}
	c.Off, c.For = off, 0
	return c
}

// follow moves the cell towards the probe: a first-order delay. A probe that is lost
// leaves it where it is.
func (c Charger) follow(d time.Duration, probe known) Charger {
	switch {
	case !probe.ok:
	case !c.Seen:
		c.Cell, c.Seen = min(probe.c, coldStart), true
	default:
		c.Cell += quantity.Celsius(-math.Expm1(-d.Hours()/cellDelay.Hours())) * (probe.c - c.Cell)
	}
	return c
}

// holdCharger says whether a LiFePO4 battery is too cold to be charged, with a kelvin of
// hysteresis. A probe lost in the cold does not warm the battery; one that was never read
// proves no cold, and a battery that is never charged runs flat.
func (v *view) holdCharger(c Charger) bool {
	switch {
	case !v.s.Fitted.Charger || v.s.Battery.Chemistry != LFP:
		return false
	case !v.cell.ok:
		return c.Off
	}
	coldest := min(v.cell.c, c.Cell)
	if c.Off {
		return coldest < chargeForbidden.Plus(1)
	}
	return coldest < chargeForbidden
}
