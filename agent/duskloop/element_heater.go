package main

import (
	"errors"
	"fmt"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
)

// heater is an element: its resistance, and the power on its label, 0 if not told.
type heater struct {
	ohm   quantity.Ohm
	label quantity.Watt
}

// over says that watts are more than the label's; nothing where they are not, or where
// no label is told.
func (h heater) over(watts float64) string {
	if !h.exceeded(watts) {
		return ""
	}
	times := watts / float64(h.label)
	digits := 1
	if times < 1.1 {
		digits = 2
	}
	return fmt.Sprintf("%.0f W is %.*f times its label of %v: do not.", watts, digits, times, h.label)
}

func (h heater) exceeded(watts float64) bool { return h.label > 0 && watts > float64(h.label) }

// heaters are the elements, as given or by their labels, and the cable's resistance.
func (c *elementCommand) heaters() ([]heater, quantity.Ohm, error) {
	var cable quantity.Ohm
	if err := named("--cable", cable.Set(c.Cable)); err != nil {
		return nil, 0, err
	}
	if cable < 0 {
		return nil, 0, misuse("--cable: %v is below zero", cable)
	}
	if len(c.Rated)+len(c.RatedAt) > 0 {
		all, err := c.rated()
		return all, cable, err
	}
	if len(c.Resistance) == 0 {
		return nil, 0, misuse("which element: --resistance, or --rated with --rated-at as its label says")
	}
	var all []heater
	for _, text := range c.Resistance {
		var r quantity.Ohm
		if err := r.Set(text); err != nil {
			return nil, 0, named("--resistance", err)
		}
		if !(r >= 0.01 && r <= 10000) {
			return nil, 0, misuse("--resistance: %v is outside 0.01 to 10000 ohm", r)
		}
		all = append(all, heater{ohm: r})
	}
	return all, cable, nil
}

// rated are the elements by their labels.
func (c *elementCommand) rated() ([]heater, error) {
	if len(c.Rated) != len(c.RatedAt) || len(c.Resistance) > 0 {
		return nil, misuse("--rated and --rated-at go together, one of each for an element, and in place of --resistance")
	}
	var all []heater
	for k := range c.Rated {
		var (
			power quantity.Watt
			at    quantity.Volt
		)
		if err := errors.Join(named("--rated", power.Set(c.Rated[k])), named("--rated-at", at.Set(c.RatedAt[k]))); err != nil {
			return nil, err
		}
		r, err := pv.RatedResistance(power, at)
		if err != nil {
			return nil, named("--rated", err)
		}
		all = append(all, heater{r, power})
	}
	return all, nil
}
