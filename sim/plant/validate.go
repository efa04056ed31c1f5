package plant

import (
	"errors"
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

// faultList gathers what is wrong, so that a grower sees all of it at once.
type faultList []error

// within notes v unless low <= v <= high; NaN is never within.
func within[T ~float64](l *faultList, name string, v, low, high T) {
	if !(v >= low && v <= high) {
		*l = append(*l, fmt.Errorf("%s %v: must be %v to %v", name, v, low, high))
	}
}

func (l *faultList) add(name string, err error) {
	if err != nil {
		*l = append(*l, fmt.Errorf("%s: %w", name, err))
	}
}

// Validate reports every figure that cannot be a plant's, each with its range.
func (p Params) Validate() error {
	var l faultList
	l.add("site", p.Site.Validate())
	p.Tank.validate(&l)
	p.Element.validate(&l)
	p.Loop.validate(&l)
	p.Coil.validate(&l)
	if p.Loop.Volume == 0 && p.Coil.Lumped == 0 {
		l.add("loop without liquid", errors.New("needs a lumped coil conductance"))
	}
	within(&l, "fan power", p.Fans.Power, 0, 500)
	within(&l, "fans in tunnel", p.Fans.InTunnel, 0, 1)
	p.Tunnel.validate(&l)
	p.Greenhouse.validate(&l)
	p.Supply.validate(&l)
	if p.Substep < 0 || p.Substep > time.Minute {
		l.add("substep", errors.New("must be 0 to one minute"))
	}
	return errors.Join(l...)
}

func (t Tank) validate(l *faultList) {
	within(l, "tank volume", t.Volume, 0.5, 5000)
	within(l, "tank loss", t.Loss, 0, 200)
	within(l, "open surface of the tank", t.OpenSurface, 0, 10)
	if t.Capacity != 0 {
		within(l, "tank capacity", t.Capacity, 1000, 1e8)
	}
	_, err := fluid.New(t.Glycerin)
	l.add("tank", err)
	if t.Taper.Band != 0 {
		within(l, "taper of the element", t.Taper.From, 20, 110)
		within(l, "taper of the element over", t.Taper.Band, 0.5, 40)
	}
	if t.CutOut != 0 {
		within(l, "thermal cut-out", t.CutOut, 30, 120)
		within(l, "thermal cut-out reset", t.CutOutReset, 1, 60)
	}
}

func (e Element) validate(l *faultList) {
	e.Panel.validate(l, "element panel")
	within(l, "element resistance", e.Resistance, 0.05, 1000)
	within(l, "element cable", e.Cable, 0, 10)
}

func (p Panel) validate(l *faultList, name string) {
	_, err := p.Module()
	l.add(name, err)
	l.add(name, p.Plane.Validate())
}

func (o Loop) validate(l *faultList) {
	if o.Volume != 0 {
		within(l, "loop volume", o.Volume, 0.05, 100)
		within(l, "loop loss at rest", o.Still, 0.01, 100)
	}
	l.add("loop", o.Circuit.Validate())
	within(l, "pump power", o.Pump, 0, 500)
	within(l, "pump heat to liquid", o.PumpHeat, 0, 1)
}

func (c Coil) validate(l *faultList) {
	if c.Lumped != 0 {
		within(l, "coil conductance", c.Lumped, 0.1, 2000)
		return
	}
	l.add("coil", c.Coil.Validate())
}

func (t Tunnel) validate(l *faultList) {
	within(l, "tunnel air capacity", t.Air, 500, 1e7)
	within(l, "bed capacity", t.Bed, 500, 1e9)
	within(l, "bed to air", t.BedToAir, 0, 1e4)
	within(l, "bed to soil", t.BedToSoil, 0, 1e4)
	within(l, "soil", t.Soil, -20, 40)
	within(l, "tunnel cover", t.Cover, 0.1, 1e4)
	within(l, "tunnel sun", t.Sun, 0, 500)
	within(l, "tunnel sun to bed", t.SunToBed, 0, 1)
	t.Vent.validate(l, "tunnel vent")
}

func (g Greenhouse) validate(l *faultList) {
	within(l, "greenhouse air capacity", g.Air, 1000, 1e9)
	within(l, "greenhouse cover", g.Cover, 0.1, 1e5)
	within(l, "greenhouse leak", g.Leak, 0, 1e5)
	within(l, "greenhouse sun", g.Sun, 0, 5000)
	within(l, "greenhouse sky loss", g.SkyLoss, 0, 1)
	g.Vent.validate(l, "greenhouse vent")
}

func (v Vent) validate(l *faultList, name string) {
	if v.Conductance == 0 {
		return
	}
	within(l, name+" conductance", v.Conductance, 0, 1e5)
	within(l, name+" opens at", v.Opens, 0, 60)
	within(l, name+" band", v.Band, 0.5, 30)
}

func (s Supply) validate(l *faultList) {
	l.add("supply", s.Battery.Validate())
	s.Panel.validate(l, "battery panel")
	within(l, "base load", s.BaseLoad, 0, 500)
	if s.Charger != Direct && s.Charger != MaximumPower {
		l.add("charger", fmt.Errorf("unknown kind %d", s.Charger))
	}
}

// validate refuses a start that no plant can be in.
func (s State) validate() error {
	var l faultList
	for _, at := range []struct {
		name string
		t    quantity.Celsius
	}{
		{"tank", s.Tank}, {"coil", s.Coil}, {"return", s.Return}, {"tunnel", s.Tunnel},
		{"bed", s.Bed}, {"greenhouse", s.Greenhouse},
	} {
		within(&l, "initial "+at.name, at.t, -50, 100)
	}
	return errors.Join(l...)
}
