package sizing

import (
	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// Worksheet is all figures of a sketch, in SI units.
type Worksheet struct {
	Site    string         `json:"site"`
	Loop    string         `json:"loop"`
	Weather string         `json:"weather"`
	Winter  string         `json:"winter"` // from when to when
	Policy  string         `json:"policy"`
	Minimum float64        `json:"crop_minimum_c"`
	Warm    float64        `json:"warm_c"` // that a heat-up is timed to
	Without season.Outcome `json:"without_heat"`
	With    season.Outcome `json:"with_heat"` // spent by the policy, as the levers are
	Planned season.Outcome `json:"with_plan"` // spent as the daemon does it
	Harm    float64        `json:"crop_harm_c"`
	Night   Night          `json:"coldest_night"`
	// Heat is where the winter's went, Wh.
	Heat     Heat     `json:"heat"`
	Heater   Heater   `json:"heater"`
	HeatUps  []HeatUp `json:"heat_up"`
	Steady   []Steady `json:"at_steady_power"`
	Tank     Tank     `json:"tank"`
	Coil     Coil     `json:"coil"`
	Battery  Battery  `json:"battery"`
	Cables   []Cable  `json:"cables"`
	Levers   []Lever  `json:"levers"`   // each alone, the best first
	Together []Lever  `json:"together"` // the best of them at once

	sketch *Sketch
}

// Heat is a winter's, Wh.
type Heat struct {
	Into   float64 `json:"into_tank"`
	Tunnel float64 `json:"to_tunnel"`
	Lost   float64 `json:"tank_lost"`
	Steam  float64 `json:"boiled_off"`
	Vapour float64 `json:"evaporated"`
	Able   float64 `json:"element_could"` // give, were it never cut off
}

// Sheet works out all but the levers, from the winter with the pump at rest, by the
// sketch's policy and by the plan.
func (s *Sketch) Sheet(x *Light, off, warm, planned *season.Flight) (*Worksheet, error) {
	l := s.File.Loop()
	w := &Worksheet{
		Site: string(s.File.Site.Name), Loop: l.Name, Weather: s.Weather, Policy: s.Policy,
		Minimum: float64(l.Crop.Minimum), Warm: float64(s.Warm),
		Without: s.outcome(off), With: s.outcome(warm), Planned: s.outcome(planned), Harm: float64(l.Crop.Harm), Winter: s.winter(), Heater: s.heater(x), Battery: s.battery(warm), Night: s.coldestNight(off), sketch: s,
	}
	m := warm.Meters
	w.Heat = Heat{Into: float64(m.HeatIntoTank), Tunnel: float64(m.HeatToTunnel), Lost: float64(m.TankLoss), Steam: float64(m.Steam), Vapour: float64(m.Evaporation), Able: 1000 * w.Heater.Now.Energy}
	var err error
	if w.Tank, err = s.tank(x, off, warm); err != nil {
		return nil, err
	}
	if w.HeatUps, err = s.heatUps(x.days, off); err != nil {
		return nil, err
	}
	if w.Steady, err = s.steadies(); err != nil {
		return nil, err
	}
	if w.Coil, err = s.coil(); err != nil {
		return nil, err
	}
	w.Cables, err = s.cables(w.Heater)
	return w, err
}

// steadies are the times at the panels' nameplate and at what the element takes of it.
func (s *Sketch) steadies() ([]Steady, error) {
	l := s.File.Loop()
	m, err := s.house.Plant.Element.Panel.Module()
	if err != nil {
		return nil, err
	}
	curve := m.At(1000, 25)
	amps := float64(curve.OnResistor(l.Element.Resistance + l.Element.Cable).Amps)
	nameplate := l.Element.Panel
	if l.Label.Given() {
		nameplate = curve.MaxPower().Power()
	}
	return s.steady(nameplate, quantity.Watt(amps*amps*float64(l.Element.Resistance)))
}

// Sections are the worksheet in words, in the grower's units, in the order in which it is
// read aloud.
func (w *Worksheet) Sections(u quantity.Units) []Section {
	t := tongue{u}
	return []Section{
		w.answer(t), w.helpsSection(t), w.seasonSection(t), w.heatSection(t), w.heaterSection(t), w.mixSection(t),
		w.vesselSection(t), w.coilSection(t), w.batterySection(t), w.cableSection(t), cautions(config.Cautions()),
	}
}
