package plant

import (
	"fmt"

	"duskloop/sensors/quantity"
)

// Times is an element that gives so many times as much at the same voltage: panel and element
// are so much larger, as by more of each side by side. Dirt, shade and a label that lies look
// the same from the tank.
func (e Element) Times(by float64) Element {
	e.Panel.Rating *= quantity.Watt(by)
	e.Panel.Nameplate.Isc *= quantity.Ampere(by)
	e.Panel.Nameplate.Imp *= quantity.Ampere(by)
	e.Resistance /= quantity.Ohm(by)
	e.Cable /= quantity.Ohm(by)
	return e
}

// Scaled is an element that gives so much in full sun, as by Times. The error names what cannot
// be scaled.
func (e Element) Scaled(want quantity.Watt) (Element, error) {
	m, err := e.Panel.Module()
	if err != nil {
		return e, fmt.Errorf("plant: element panel: %w", err)
	}
	amps := float64(m.At(fullSun, cells).OnResistor(e.Resistance + e.Cable).Amps)
	now := amps * amps * float64(e.Resistance)
	if !(now > 0 && want > 0) {
		return e, fmt.Errorf("plant: an element of %v cannot be made one of %v", quantity.Watt(now), want)
	}
	return e.Times(float64(want) / now), nil
}
