package agent

import (
	"fmt"
	"math"
	"net"
	"time"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// warning adds one in words.
func (d *Derived) warning(format string, args ...any) {
	d.Warnings = append(d.Warnings, fmt.Sprintf(format, args...))
}

// warn names what must be seen to before use.
func (d *Derived) warn(f *config.File, boiling quantity.Celsius) {
	l := f.Loop()
	if !l.Contactor.Fitted() {
		d.warning("No contactor is described: nothing here can stop the panel from heating. The thermal cut-out is the only thing that does.")
	}
	if l.Coil.Volume == 0 {
		d.warning("coil.volume is 0: this file describes a lumped plant for comparing in the simulation. Do not run a real greenhouse by it.")
	}
	d.warnHot(l, boiling, f.Site.Units)
	if l.Probes[control.Coil].ID == "" && l.Probes[control.Return].ID == "" {
		d.warning("No probe is on the coil or the return: frost in the coil cannot be seen, and flow is judged by current only.")
	}
	if l.Proof.Within.Duration() < 3*transit(l)/2+15*time.Second {
		d.warning("proof.within is short for a loop whose liquid takes %v once round.", quantity.Span(transit(l).Round(time.Second)))
	}
	d.warnLabel(l)
	d.warnHeard(f)
	d.unused(f)
}

// warnHeard says who can read the metrics.
func (d *Derived) warnHeard(f *config.File) {
	host, _, err := net.SplitHostPort(string(f.Metrics.Listen))
	if ip := net.ParseIP(host); err == nil && host != "localhost" && !ip.IsLoopback() {
		d.warning("metrics.listen (line %d) is not this computer's own 127.0.0.1: everybody on that network can read the figures, without a password. Nothing can be switched by them.", f.Line("metrics.listen"))
	}
}

// lateMargin is by how many K dangerously_hot may lie above the cut-out before it
// counts as never reached. A choice of ours: a cut-out and a probe differ by as much.
const lateMargin = 3

// boilingDoubt is by how many K a boiling point and a probe may be off together: the
// weather moves the one by 0.8 K (fluid.AirPressure), the other is good to a kelvin.
const boilingDoubt = 2

// warnHot looks at the limits beside the boiling point and the cut-out.
func (d *Derived) warnHot(l *config.Loop, boiling quantity.Celsius, u quantity.Units) {
	if l.Element.CutOut >= boiling-5 {
		d.warning("The thermal cut-out opens at %s, within %s of the mix's boiling point of %s or above it. Choose a lower one.",
			l.Element.CutOut.In(u), quantity.Kelvin(5).In(u), boiling.In(u))
	}
	if l.Tank.Danger > boiling-boilingDoubt {
		d.warning("dangerously_hot is %s, and the mix boils at %s at this elevation: the tank may boil before heat is shed for danger. Choose a lower one.",
			l.Tank.Danger.In(u), boiling.In(u))
	}
	if l.Tank.Danger > l.Element.CutOut+lateMargin {
		d.warning("dangerously_hot is %s, above the thermal cut-out at %s: it is never reached while the cut-out works, so shedding for danger is no help. Choose a lower one.",
			l.Tank.Danger.In(u), l.Element.CutOut.In(u))
	}
}

// nameplate is the power of the panels: by their label where it is given.
func nameplate(l *config.Loop) quantity.Watt {
	if n := l.Label; n.Given() {
		return quantity.Watt(float64(n.Vmp) * float64(n.Imp) * float64(n.Series*n.Parallel))
	}
	return l.Element.Panel
}

// warnLabel tells a panel power that is not the label's.
func (d *Derived) warnLabel(l *config.Loop) {
	label := nameplate(l)
	if math.Abs(float64(l.Element.Panel-label)) > 0.1*float64(label) {
		d.warning("element.panel says %v, but the label makes %.0f W (%v V x %v A x %d panels); the label is used. Is in_series, in_parallel or panel wrong?",
			l.Element.Panel, float64(label), float64(l.Label.Vmp), float64(l.Label.Imp), l.Label.Series*l.Label.Parallel)
	}
}

// evaporating says how much water leaves an open tank a day at its limit, in a cool
// greenhouse with air of 0 °C dew point.
func (d *Derived) evaporating(params plant.Params, hot, boiling quantity.Celsius, u quantity.Units) error {
	if params.Tank.OpenSurface == 0 {
		return nil
	}
	hot = min(hot, boiling-1)
	params.Tank.Capacity = 1e8 // J/K: so that it stays as hot
	start := plant.Dusk()
	start.Tank = hot
	p, err := plant.New(params, time.Unix(0, 0), start)
	if err != nil {
		return fmt.Errorf("water that evaporates: %w", err)
	}
	p.Step(time.Minute, plant.Act{}, weather.Sample{Air: 10, DewPoint: 0})
	gone := quantity.Litre(float64(p.Meters().WaterGone) * 24 * 60 / fluid.WaterDensity)
	d.warning("The tank is open (model.open_surface = %v): at %s about %s of water leave it in a day. Top it up and keep the element covered: an element that is not covered by liquid burns.",
		params.Tank.OpenSurface, hot.In(u), gone.In(u))
	return nil
}
