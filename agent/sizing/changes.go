package sizing

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/match"
	"duskloop/sim/plant"
	"duskloop/sim/sun"
)

// Change is one thing that a grower could do to the sketch.
type Change struct {
	Name  string // what is done, in a few words
	Why   string // what it is worth knowing about it; may be empty
	topic string // two of one topic are not combined
	// keys of the file as they would then be, of a file that may have been changed before.
	keys func(l *config.Loop) map[string]string
}

// How far the usual changes go. All chosen: what a grower can do in an afternoon or
// for one purchase.
const (
	thicker = 3.0 // times the insulation
	larger  = 2.0 // times the tank, the coil, the battery, its panel
	slower  = 0.6 // of the speed of pump and fans
	// secondLets is the light that another sheet lets through (single film and glass let
	// about 0.88 through at right angles; from memory, unverified).
	secondLets = 0.88
	bottles    = 20.0  // of 2 L
	bottleHeat = 8.4e3 // J/K, of 2 L of water: 4.18 kJ/kgK
	bottleFilm = 0.6   // W/K: 0.08 m² at 8 W/m²K, a free surface in still air (from memory)
)

// Changes that are worth a try, for the panels in their light.
func (s *Sketch) Changes(x *Light) []Change {
	l := s.File.Loop()
	all := s.panelChanges(x)
	all = append(all,
		Change{Name: "a tank twice as large", Why: "insulated as thickly as now; more hot liquid scalds worse", topic: "tank size", keys: func(l *config.Loop) map[string]string {
			return largerTank(l, larger)
		}},
		Change{Name: fmt.Sprintf("%.0f times the insulation about the tank", thicker), topic: "tank insulation", keys: func(l *config.Loop) map[string]string {
			return map[string]string{"tank.loss": (l.Tank.Loss / thicker).String()}
		}},
		Change{Name: "coil and fans twice as strong", Why: "for the same watts of fans: a larger core", topic: "coil", keys: strongerCoil},
		Change{Name: fmt.Sprintf("pump and fans at %.0f %% speed", 100*slower), topic: "speed", keys: slowed},
		Change{Name: "a battery twice as large", topic: "battery", keys: func(l *config.Loop) map[string]string {
			return map[string]string{"battery.capacity": (larger * l.Battery.Capacity).String()}
		}},
		Change{Name: "a second panel for the battery", topic: "battery's panel", keys: func(l *config.Loop) map[string]string {
			return map[string]string{"battery.panel": (larger * l.Battery.Panel).String()}
		}},
		Change{Name: fmt.Sprintf("%.0f bottles of 2 L of water among the seedlings", bottles), topic: "water", keys: bottled},
	)
	if w, spare := spareGlycerin(l, x.coldest); spare {
		all = append(all, Change{Name: fmt.Sprintf("glycerin of %v in place of %v", w, l.Tank.Glycerin), Why: "as much as this winter's cold asks", topic: "glycerin",
			keys: func(*config.Loop) map[string]string { return map[string]string{"tank.glycerin": w.String()} }})
	}
	if l.Model.OpenSurface > 0 {
		all = append(all, Change{Name: "a lid on the tank", Why: "loose, never sealed", topic: "lid", keys: func(*config.Loop) map[string]string {
			return map[string]string{"model.open_surface": "0 m2"}
		}})
	}
	if l.Tunnel.Cover > 0 || l.Tunnel.Layers == 1 {
		all = append(all, Change{Name: "a second cover on the tunnel", Why: "it also takes some of the sun; of a cover that is told by cover_loss one layer is taken", topic: "tunnel cover", keys: doubledTunnel})
	}
	if l.House.Cover > 0 || l.House.Layers == 1 {
		all = append(all, Change{Name: "a second layer on the greenhouse", Why: "it also takes some of the sun", topic: "greenhouse cover", keys: doubledHouse})
	}
	return all
}

// spareGlycerin is the share that protects a little colder than the coldest air outdoors,
// where there is clearly more in the tank.
func spareGlycerin(l *config.Loop, coldest quantity.Celsius) (quantity.Share, bool) {
	const colder, clearly = 5, 0.05
	w, err := fluid.Protecting(min(coldest-colder, -5))
	w = quantity.Share(math.Ceil(100*float64(w)) / 100)
	return w, err == nil && w+clearly <= l.Tank.Glycerin
}

// largerTank is so many times the volume; its surface, and so its loss, grows with the
// power 2/3.
func largerTank(l *config.Loop, times float64) map[string]string {
	surface := math.Pow(times, 2./3)
	keys := map[string]string{
		"tank.volume": quantity.Litre(times * float64(l.Tank.Volume)).String(),
		"tank.loss":   quantity.WattPerKelvin(surface * float64(l.Tank.Loss)).String(),
	}
	if l.Model.TankHeat > 0 {
		keys["model.tank_heat"] = quantity.JoulePerKelvin(times * float64(l.Model.TankHeat)).String()
	}
	if l.Tank.Vessel > 0 {
		keys["tank.vessel"] = quantity.Litre(times * float64(l.Tank.Vessel)).String()
	}
	if l.Model.OpenSurface > 0 {
		keys["model.open_surface"] = quantity.SquareMetre(surface * float64(l.Model.OpenSurface)).String()
	}
	return keys
}

func strongerCoil(l *config.Loop) map[string]string {
	keys := map[string]string{"coil.conductance": (larger * l.Coil.Conductance).String()}
	if l.Model.CoilFins > 0 {
		keys["model.coil_fins"] = (larger * l.Model.CoilFins).String()
	}
	return keys
}

// slowed is pump and fans at a lower speed: by the plant's own law of a motor's power, and
// with the root of the speed for a coil told by its conductance.
func slowed(l *config.Loop) map[string]string {
	draw := func(w quantity.Watt) string { return (w / plant.FullPower(1, slower)).String() }
	root := quantity.WattPerKelvin(math.Sqrt(slower))
	return map[string]string{
		"coil.conductance": (root * l.Coil.Conductance).String(), "coil.flow": (slower * l.Coil.Flow).String(),
		"pump.draw": draw(l.Pump.Draw), "fans.draw": draw(l.Fans.Draw),
	}
}

func bottled(l *config.Loop) map[string]string {
	return map[string]string{
		"tunnel.bed":       (l.Tunnel.Bed + bottles*bottleHeat).String(),
		"model.bed_to_air": (l.Model.BedToAir + bottles*bottleFilm).String(),
	}
}

// doubledAll is what a second layer leaves of a lumped loss, leaks included: it saves about
// 35 % (extension.org, greenhouse glazing, Sanford). A cover told by its layers has its own
// figures (plant.DoubleGlazing).
const doubledAll = 0.65

func doubledTunnel(l *config.Loop) map[string]string {
	keys := map[string]string{"model.tunnel_sun": (secondLets * l.Model.TunnelSun).String()}
	if l.Tunnel.Cover > 0 {
		keys["tunnel.cover_loss"] = (doubledAll * l.Tunnel.Cover).String()
	} else {
		keys["tunnel.layers"] = "2"
	}
	return keys
}

func doubledHouse(l *config.Loop) map[string]string {
	keys := map[string]string{
		"model.house_sun":  (secondLets * l.Model.HouseSun).String(),
		"model.tunnel_sun": (secondLets * l.Model.TunnelSun).String(),
	}
	if l.House.Cover > 0 {
		keys["house.cover_loss"] = (doubledAll * l.House.Cover).String()
	} else {
		keys["house.layers"] = "2"
	}
	return keys
}

// tilts that are tried.
var tilts = [...]quantity.Angle{30, 45, 60, 75}

// panelChanges are element, panels and tilt, as far as they would bring anything.
func (s *Sketch) panelChanges(x *Light) (all []Change) {
	l := s.File.Loop()
	w, r, cable := wired(l), l.Element.Resistance, l.Element.Cable
	now := x.On(r, cable)
	if c := offer(x.Season, w, w.Panels(), cable); l.Label.Given() && c != nil && !sameAs(c, w, r) {
		all = append(all, Change{
			Name: fmt.Sprintf("an element of %v at %v (%v)", c.Watts, c.Volts, c.Ohm()), Why: wiringWords(l, c), topic: "element",
			keys: func(l *config.Loop) map[string]string { return keysOf(l, c) },
		})
	}
	if more := s.onePanelMore(x, w, cable); more != nil {
		all = append(all, *more)
	}
	best, most := l.Element.Tilt, now.Energy
	m, err := s.house.Plant.Element.Panel.Module()
	if err != nil {
		return all // the house was built of it
	}
	for _, t := range tilts {
		if math.Abs(float64(t-l.Element.Tilt)) < 8 {
			continue
		}
		plane := sun.Plane{Tilt: t, Facing: l.Element.Facing, Albedo: sun.Ground}
		if e := s.sunlit(plane, m, glimpse).On(r, cable).Energy; e > most || best == l.Element.Tilt {
			best, most = t, e
		}
	}
	return append(all, Change{
		Name: fmt.Sprintf("the element's panel at %.0f degrees", float64(best)), topic: "tilt",
		keys: func(*config.Loop) map[string]string { return map[string]string{"element.tilt": best.String()} },
	})
}

// sameAs says that a choice is as good as what there is.
func sameAs(c *match.Choice, w match.Wiring, r quantity.Ohm) bool {
	return c.Wiring == w && math.Abs(float64(c.Ohm()/r)-1) < 0.03
}

// onePanelMore is another panel alike, with the element that then suits.
func (s *Sketch) onePanelMore(x *Light, w match.Wiring, cable quantity.Ohm) *Change {
	l := s.File.Loop()
	if !l.Label.Given() {
		return &Change{
			Name: "twice the element's panels", Why: "side by side, with an element of half the resistance", topic: "element",
			keys: func(l *config.Loop) map[string]string {
				return map[string]string{"element.panel": (2 * l.Element.Panel).String(), "element.resistance": (l.Element.Resistance / 2).String()}
			},
		}
	}
	c := offer(x.Season, w, w.Panels()+1, cable)
	if c == nil {
		return nil
	}
	return &Change{
		Name: fmt.Sprintf("one more panel, and an element of %v at %v (%v)", c.Watts, c.Volts, c.Ohm()), Why: wiringWords(l, c), topic: "element",
		keys: func(l *config.Loop) map[string]string {
			keys := keysOf(l, c)
			keys["element.panel"] = quantity.Watt(float64(l.Label.Vmp) * float64(l.Label.Imp) * float64(c.Panels())).String()
			return keys
		},
	}
}

func wiringWords(l *config.Loop, c *match.Choice) string {
	if !l.Label.Given() || c.Panels() == 1 {
		return ""
	}
	return "the panels wired " + c.Wiring.String()
}

// Set is a change to keys of the file as they are given.
func Set(keys map[string]string) Change {
	var names []string
	for _, k := range slices.Sorted(maps.Keys(keys)) {
		names = append(names, k+" = "+keys[k])
	}
	return Change{Name: strings.Join(names, ", "), keys: func(*config.Loop) map[string]string { return keys }}
}
