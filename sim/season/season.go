package season

import (
	"fmt"
	"time"

	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// House is a simulated greenhouse and the rules that run it. Settings.Fitted says
// which probes there are and whether there is a contactor: without one the element is
// always connected.
type House struct {
	Plant    plant.Params
	Start    plant.State
	Probes   plant.ProbeParams
	Settings control.Settings
	// Level is what the tank's level switch says, all season.
	Level control.Level
	// PanelMeasured says that the voltage of the element's panel is.
	PanelMeasured bool
	// Night, where it looks ahead at all, spends the heat by a mind of these settings.
	Night night.Settings
	// VoltageOnly is a battery meter that measures no current.
	VoltageOnly bool
}

// Season is a run in progress. It is not safe for concurrent use.
type Season struct {
	house  House
	plant  *plant.Plant
	probes *plant.Probes
	sky    weather.Source
	state  control.State
	act    plant.Act
	mind   *night.Mind
	seen   control.Inputs
}

// New begins a run at start. sky makes the weather out of the site's sun.
func New(h House, start time.Time, sky func(weather.Sky) weather.Source) (*Season, error) {
	p, err := plant.New(h.Plant, start, h.Start)
	if err != nil {
		return nil, fmt.Errorf("season: %w", err)
	}
	s := &Season{
		house: h, plant: p, probes: plant.NewProbes(h.Probes, p.Now()), sky: sky(p.Sun()),
		state: control.NewState(), act: plant.Act{ElementConnected: !h.Settings.Fitted.Contactor},
	}
	if h.Night.Horizon > 0 {
		s.mind = night.NewMind(h.Night)
	}
	return s, nil
}

// Step lets dt pass, reads the probes, decides and applies the decision. It allocates
// only when an alert changes.
func (s *Season) Step(dt time.Duration) control.Decision {
	s.plant.Step(dt, s.act, s.sky.At(s.plant.Clock().Add(dt/2)))
	s.probes.Read(s.plant.Now(), dt)
	in := control.Inputs{Elapsed: dt, ClockTrusted: true, Level: s.house.Level}
	s.see(&in)
	if s.mind != nil {
		in.Tonight = s.mind.Advice()
	}
	var d control.Decision
	s.state, d = control.Step(&s.house.Settings, s.state, in)
	s.act = plant.Act{
		Pump: d.Outputs.Pump, Fans: d.Outputs.Fans, ChargerOff: d.Outputs.ChargerOff,
		ElementConnected: d.Outputs.Closed || !s.house.Settings.Fitted.Contactor,
	}
	s.think(&in, &d)
	s.seen = in
	return d
}

// think lets the mind see what was done, and work for a while.
func (s *Season) think(in *control.Inputs, d *control.Decision) {
	if s.mind == nil {
		return
	}
	sample := s.house.Settings.Sample(in, d, s.plant.Clock())
	s.mind.Observe(&sample)
	s.mind.Think(thought)
}

// thought is how many steps a mind takes at its plan between two decisions.
const thought = 40

// Mind is what plans, nil where nothing does.
func (s *Season) Mind() *night.Mind { return s.mind }

// see fills in what the probes say. The order of the places is the same in both
// packages; a test holds it.
func (s *Season) see(in *control.Inputs) {
	for p := range control.Places {
		if !s.house.Settings.Fitted.Places[p] {
			continue
		}
		v, ok := s.probes.At(plant.Place(p))
		in.Places[p] = control.Temperature{Value: v, Ever: ok}
	}
	volts, amps, ok := s.probes.Battery()
	in.Panel = control.Panel{Volts: s.plant.Now().PanelVolts, Has: s.house.PanelMeasured}
	in.Meter = control.Meter{Volts: volts, Amps: amps, HasVolts: ok, HasAmps: ok && !s.house.VoltageOnly}
}

// Seen is what the probes said at the last step.
func (s *Season) Seen() control.Inputs { return s.seen }

// Plant is the greenhouse itself, to look at.
func (s *Season) Plant() *plant.Plant { return s.plant }

// Charge is what the decision believes of the battery.
func (s *Season) Charge() control.Charge { return s.state.Charge }
