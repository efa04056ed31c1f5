package control

import "time"

// Charger is the output that holds the battery's charger off, where one is fitted:
// charging LiFePO4 below 0 °C plates lithium for good. Its inert state lets the charger
// work, because a dead computer must not leave the battery to run flat; then, and always,
// the battery's own protection is the safeguard and not this.
type Charger struct {
	Off bool
	For time.Duration
}

// offAtLeast keeps a charger from being switched to and fro; chosen.
const offAtLeast = time.Minute

// pass holds off at once and lets work again after the least time.
func (c Charger) pass(d time.Duration, v *view) Charger {
	c.For += d
	off := v.holdCharger(c.Off)
	if off == c.Off || c.Off && c.For < offAtLeast {
		return c
	}
	return Charger{Off: off}
}

// holdCharger says whether a LiFePO4 battery is too cold to be charged, with a kelvin of
// hysteresis. A probe lost in the cold does not warm the battery; one that was never read
// proves no cold, and a battery that is never charged runs flat.
func (v *view) holdCharger(was bool) bool {
	switch {
	case !v.s.Fitted.Charger || v.s.Battery.Chemistry != LFP:
		return false
	case !v.cell.ok:
		return was
	case was:
		return v.cell.c < chargeForbidden.Plus(1)
	}
	return v.cell.c < chargeForbidden
}
