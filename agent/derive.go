package agent

import (
	"fmt"
	"time"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/plant"
)

// Figure is one number that follows from a greenhouse file, in words.
type Figure struct {
	What  string `json:"what"`
	Value string `json:"value"`
}

// Derived is what follows from a greenhouse file.
type Derived struct {
	Figures  []Figure
	Warnings []string
}

func (d *Derived) say(what, format string, args ...any) {
	d.Figures = append(d.Figures, Figure{what, fmt.Sprintf(format, args...)})
}

// Derive works out the figures. The error names what is outside the range of a
// model.
func Derive(f *config.File) (Derived, error) {
	var d Derived
	l := f.Loop()
	mix, err := fluid.New(l.Tank.Glycerin)
	if err != nil {
		return d, err
	}
	u := f.Site.Units
	d.say("mix freezes at", "%s", mix.Freezing().In(u))
	air, boiling, err := Boils(mix, f.Site.Elevation)
	if err != nil {
		return d, err
	}
	d.say(fmt.Sprintf("mix boils at (the site's air, %s)", air.In(u)), "%s", boiling.In(u))
	if err := d.store(l, mix, u); err != nil {
		return d, err
	}
	params := plantParams(f)
	if err := simulable(params); err != nil {
		return d, err
	}
	if err := d.heating(l, params); err != nil {
		return d, err
	}
	d.covers(params)
	s, err := f.Settings()
	if err != nil {
		return d, err
	}
	d.say("carrying stops at a difference of", "%s", s.StopDifference().In(u))
	d.crop(f)
	d.battery(l)
	d.calibrated(l, u)
	if ratio := f.Daemon.PanelRatio; ratio > 0 {
		open, err := l.OpenVolts()
		if err != nil {
			return d, err
		}
		d.say("panel without load, in cold sun", "%s; the converter's input then sees %s", open, open/quantity.Volt(ratio))
	}
	if err := d.closed(l, mix, air, u); err != nil {
		return d, err
	}
	if err := d.evaporating(ownParams(f), l.Tank.Hot, boiling, u); err != nil {
		return d, err
	}
	d.warn(f, boiling)
	d.Warnings = append(d.Warnings, OutdatedFit(f)...)
	return d, nil
}

// Boils is the air's pressure at an elevation, and where the mix boils in it.
func Boils(mix fluid.Mix, elevation quantity.Metre) (quantity.Kilopascal, quantity.Celsius, error) {
	air, err := fluid.AirPressure(elevation)
	if err != nil {
		return 0, 0, err
	}
	t, err := mix.BoilingAt(air)
	return air, t, err
}

// store is the heat between the crop's comfort and the tank's limit.
func (d *Derived) store(l *config.Loop, mix fluid.Mix, u quantity.Units) error {
	heat, err := HeatStored(mix, l.Tank.Volume, l.Crop.Comfort, l.Tank.Hot)
	if err != nil {
		return err
	}
	d.say(fmt.Sprintf("heat stored between %s and %s", l.Crop.Comfort.In(u), l.Tank.Hot.In(u)), "%s", heat)
	if power := nameplate(l); power > 0 {
		d.say("that is full nameplate sun for", "%.1f h at %.0f W (loss-free; the element takes less than the nameplate)", float64(heat)/float64(power), float64(power))
	}
	return nil
}

// HeatStored is the heat that a volume of mix, measured at 20 °C, gives up from
// one temperature to a lower one: mass times the integral of the specific heat,
// by Simpson's rule in steps of a few kelvin.
func HeatStored(mix fluid.Mix, v quantity.Litre, low, high quantity.Celsius) (quantity.WattHour, error) {
	rho, err := mix.Density(20)
	if err != nil {
		return 0, fmt.Errorf("heat stored: %w", err)
	}
	const n = 16
	h := float64(high-low) / n
	sum := 0.0
	for i := range n + 1 {
		cp, err := mix.SpecificHeat(low + quantity.Celsius(float64(i)*h))
		if err != nil {
			return 0, fmt.Errorf("heat stored: %w", err)
		}
		weight := 2.0
		switch {
		case i == 0 || i == n:
			weight = 1
		case i%2 == 1:
			weight = 4
		}
		sum += weight * float64(cp)
	}
	mass := float64(rho) * float64(v) / 1000
	return quantity.WattHour(mass * sum * h / 3 / 3600), nil
}

// heating is what the element takes from its panels in full sun.
func (d *Derived) heating(l *config.Loop, params plant.Params) error {
	m, err := params.Element.Panel.Module()
	if err != nil {
		return fmt.Errorf("panel of the element: %w", err)
	}
	curve := m.At(1000, 25)
	at, best := curve.OnResistor(l.Element.Resistance+l.Element.Cable), curve.MaxPower()
	watts := float64(at.Amps) * float64(at.Amps) * float64(l.Element.Resistance)
	d.say("element in full sun (1000 W/m2, cell 25 °C)", "%.0f W at %s and %s, %.0f %% of what the panel could give",
		watts, quantity.Volt(float64(at.Amps)*float64(l.Element.Resistance)), at.Amps, 100*watts/float64(best.Power()))
	d.say("element that would take most in full sun", "%s (the panel's Vmp over Imp), if its label covers %.0f W at %.1f V with a margin; over a winter about 1.4 times that, see duskloop element --weather",
		quantity.Ohm(float64(best.Volts)/float64(best.Amps)), float64(best.Power()), float64(best.Volts))
	return nil
}

// covers are the losses that the file gives, or that follow from area and layers.
func (d *Derived) covers(params plant.Params) {
	d.say("tunnel loses to the greenhouse", "%s", params.Tunnel.Cover)
	d.say("greenhouse loses to outdoors", "%s", params.Greenhouse.Cover+params.Greenhouse.Leak)
}

// simulable refuses figures of which no simulated greenhouse can be built: a pump
// that cannot push its flow through the pipe.
func simulable(params plant.Params) error {
	_, err := plant.New(params, time.Unix(0, 0), plant.Dusk())
	if err != nil {
		return fmt.Errorf("the simulation cannot be built from the file: %w", err)
	}
	return nil
}

// battery is how long a full one carries its loads.
func (d *Derived) battery(l *config.Loop) {
	b := l.Battery
	loads := l.Pump.Draw + l.Fans.Draw + b.Computer
	hours := func(share quantity.Share, w quantity.Watt) float64 {
		return float64(share) * float64(b.Capacity) * 12 / float64(w)
	}
	d.say("full battery carries pump, fans and computer down to the reserve", "%.1f h", hours(1-b.Reserve, loads))
	d.say("the reserve then carries the computer alone", "%.0f h (down to the cut-off)",
		hours(b.Reserve-control.RestCharge(b.Chemistry.Kind, b.CutOff), b.Computer))
}
