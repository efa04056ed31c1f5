package control

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// Sunned holds what the element should have given the tank against what the tank took,
// by its probe, while the pump stood still: the first law over windows of ten minutes.
//
// Where the panel's voltage is measured it says what should come. Where it is not, a
// strong current from the battery's own panel says that the sun shines, and the element
// must then give what it takes in weak sun: judged over days, because one noon may
// deceive.
type Sunned struct {
	From     quantity.Celsius // tank at the window's beginning
	Set      bool
	For      time.Duration // since then
	Given    float64       // J since then, by the panel's voltage
	Shone    time.Duration // of it, by the battery's panel
	Due      float64       // J over all windows since the last verdict
	Took     float64       // J over the same windows
	Judged   time.Duration // of windows
	Passed   time.Duration // since the first of them
	Unloaded time.Duration // how long the panel has stood as if nothing drew from it
	Fails    bool          // the last verdict
}

// Numbers we chose, with what happens if they are wrong.
const (
	// Enough heat for three kelvin stands far above a probe's noise; more is only later.
	enoughRise = quantity.Kelvin(3)
	// Layers in the tank and an element read at its label are worth a factor of two; a
	// dead element gives nothing. Too high cries wolf, too low never cries.
	tookAtLeast = 0.25
	// Darker than this share of full power a window says nothing, or the nights' small
	// errors in the loss would add up.
	dimly = 0.05
	// Without the panel's voltage: so much sunshine, and not all of it on one day.
	enoughSun   = 6 * time.Hour
	enoughDays  = 36 * time.Hour
	mostlyShone = 0.8 // of a window
	// A greenhouse so much warmer than outdoors by day has the sun in it: at 400 W/m² a
	// small one with its vents open gains 6 to 8 K (by sim/plant's Alder Hollow). A tight
	// one gains as much in weaker sun, in which the element takes a fraction of what is
	// counted as due, so that less is asked for where only this is known.
	sunnyHouse     = quantity.Kelvin(6)
	tookUnmeasured = 0.1
	// A panel that nothing draws from stands at its open-circuit voltage, about 1.2 times
	// that of its best point (from memory), which through the element would be 1.44 times
	// its power; cold, at a cloud's edge, a working one reaches 1.3.
	unloadedAbove = 1.38
	unloadedAfter = 10 * time.Minute
)

// pass moves the account on.
func (s Sunned) pass(d time.Duration, v *view) Sunned {
	// A tank that warms proves the file's panel wrong, and not the wiring.
	s.Unloaded = held(s.Unloaded, d, v.unloaded() && !v.st.Trend.Rising)
	if s.Unloaded >= unloadedAfter {
		return Sunned{Unloaded: s.Unloaded, Fails: true}
	}
	if s.Judged > 0 {
		s.Passed += d
	}
	if !v.tank.ok || !v.wired() || v.st.pumping() || v.st.Hot.Hot || v.s.Element.Heat <= 0 {
		return s.broken()
	}
	if !s.Set {
		s.From, s.Set = v.tank.c, true
		return s
	}
	s.For += d
	if watts, ok := v.due(); ok {
		s.Given += float64(watts) * d.Seconds()
	}
	if v.shines() {
		s.Shone += d
	}
	if s.For < trendWindow {
		return s
	}
	return s.close(v).verdict(v)
}

// broken drops the window: mixing moves the probe's reading, and an open contactor heats
// nothing.
func (s Sunned) broken() Sunned {
	s.Set, s.For, s.Given, s.Shone = false, 0, 0, 0
	return s
}

// close enters a whole window, if there was anything to see in it.
func (s Sunned) close(v *view) Sunned {
	due := s.Given
	if due < dimly*float64(v.s.Element.FullSun)*s.For.Seconds() {
		due = 0
	}
	if !v.panelKnown() && s.Shone.Seconds() >= mostlyShone*s.For.Seconds() {
		due = float64(v.s.Element.Bright) * s.For.Seconds()
	}
	if due > 0 {
		loss := float64(v.s.Element.Loss) * math.Max(0, float64(v.tank.c.Minus(v.around()))) * s.For.Seconds()
		s.Took += float64(v.s.Element.Heat)*float64(v.tank.c.Minus(s.From)) + loss
		s.Due += due
		s.Judged += s.For
	}
	return s.broken()
}

// verdict is given once enough has come together, and then the account begins anew.
func (s Sunned) verdict(v *view) Sunned {
	enough := s.Due >= float64(enoughRise)*float64(v.s.Element.Heat)
	if !v.panelKnown() {
		enough = s.Judged >= enoughSun && s.Passed >= enoughDays
	}
	if !enough {
		return s
	}
	share := tookAtLeast
	if !v.panelKnown() {
		share = tookUnmeasured
	}
	return Sunned{Fails: s.Took < share*s.Due}
}

// wired says that nothing stands between panel and element.
func (v *view) wired() bool { return v.st.Contactor.Closed || !v.s.Fitted.Contactor }

// panelKnown says that the panel's voltage is measured and fresh.
func (v *view) panelKnown() bool {
	return v.s.Element.Resistance > 0 && v.in.Panel.Has && v.in.Panel.Age <= v.s.StaleAfter
}

// heating is the power of the element, as far as it is known: an element that was found
// not to heat has none that a voltage could tell.
func (v *view) heating() (quantity.Watt, bool) {
	if v.st.Sunned.Fails {
		return 0, false
	}
	return v.due()
}

// due is the power that the panel's voltage drives through a sound element, (V·R/(R+r))²/R
// with r the cable (Ohm's law, Joule's law); nothing where nothing draws.
func (v *view) due() (quantity.Watt, bool) {
	if !v.panelKnown() {
		return 0, false
	}
	if !v.wired() || v.unloaded() {
		return 0, true
	}
	r, cable := float64(v.s.Element.Resistance), float64(v.s.Element.Cable)
	across := math.Max(0, float64(v.in.Panel.Volts)) * r / (r + cable)
	return quantity.Watt(across * across / r), true
}

// unloaded says that the panel's voltage is higher than any panel with this element on it.
func (v *view) unloaded() bool {
	if !v.panelKnown() || !v.wired() || v.s.Element.FullSun <= 0 {
		return false
	}
	e := &v.s.Element
	r, cable := float64(e.Resistance), float64(e.Cable)
	across := math.Max(0, float64(v.in.Panel.Volts)) * r / (r + cable)
	return across*across/r > unloadedAbove*float64(e.FullSun)
}

// shines says that the sun is bright: the battery's own panel gives what only a bright
// sun gives, or, where the battery is full and takes nothing, its charger holds a voltage
// and the greenhouse stands well above the air outdoors. Either of the latter alone may
// be a lamp, or a heater.
func (v *view) shines() bool {
	if !v.meterKnown() {
		return false
	}
	sign := v.s.Element.Sign
	if sign > 0 && v.in.Meter.HasAmps && v.in.Meter.Amps >= sign {
		return true
	}
	house, air := v.at(Greenhouse), v.at(Outdoors)
	held := v.st.Samples.volts() >= restCurve(v.s.Battery.Chemistry).top()+surface
	return sign > 0 && held && house.ok && air.ok && house.c.Minus(air.c) >= sunnyHouse
}

// around is the air about the tank, as far as it is known.
func (v *view) around() quantity.Celsius {
	if air := v.at(Greenhouse); air.ok {
		return air.c
	}
	return v.air
}

// heats says whether the element heats enough to stir: as much as would warm the whole
// tank by the rise that shows it otherwise.
func (v *view) heats() (bool, bool) {
	watts, ok := v.heating()
	if !ok || v.s.Element.Heat <= 0 || v.unloaded() {
		return false, false // the tank itself must tell
	}
	rise := float64(watts) * trendWindow.Seconds() / float64(v.s.Element.Heat)
	return rise >= float64(v.s.Carry.StirRise), true
}
