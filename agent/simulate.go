package agent

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"math"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// Policy is how a simulated greenhouse is run.
type Policy string

// The policies. AlwaysOn and AllOff stand beside the rules for comparison.
const (
	ByRules  Policy = "rules"
	AlwaysOn Policy = "always-on" // pump and fans never stop, until the battery is empty
	AllOff   Policy = "off"
)

// Trial says what to simulate.
type Trial struct {
	File   *config.File
	Start  time.Time
	Days   float64
	Seed   uint64
	Policy Policy
	Faults []Fault
	// Weather of the file's place; nil for the invented one. It is asked at times that
	// only grow, by one run at a time.
	Weather weather.Source
	// Progress is called now and then with the share done; nil for none.
	Progress func(share float64)
	// Seen is called with what would be recorded of each cycle; nil for none.
	Seen func(*record.Reading)
}

// Summary is what a simulated stretch came to. Temperatures are the plant's
// true ones, energies in kWh.
type Summary struct {
	Policy          Policy         `json:"policy"`
	Simulated       bool           `json:"simulated"`
	Days            float64        `json:"days"`
	HeatIntoTankKWh float64        `json:"heat_into_tank_kwh"`
	HeatToTunnelKWh float64        `json:"heat_to_tunnel_kwh"`
	HoursBelow      float64        `json:"hours_below_crop_minimum"`
	SquaredKh       float64        `json:"squared_degree_hours"` // K²h below the crop's minimum
	LowestTunnelC   float64        `json:"lowest_tunnel_c"`
	HighestTunnelC  float64        `json:"highest_tunnel_c"`
	LowestOutdoorsC float64        `json:"lowest_outdoors_c"`
	LowestTankC     float64        `json:"lowest_tank_c"`
	HighestTankC    float64        `json:"highest_tank_c"`
	WaterGoneKg     float64        `json:"water_gone_kg"` // evaporated and boiled off
	BatteryUsedKWh  float64        `json:"battery_used_kwh"`
	LowestChargePct float64        `json:"lowest_charge_pct"`
	HoursBrownOut   float64        `json:"hours_battery_empty"`
	PumpHours       float64        `json:"pump_hours"`
	PumpStarts      int            `json:"pump_starts"`
	Alerts          map[string]int `json:"alerts"` // by the rules only: the others do what no rule asked for
}

// Simulate runs a trial as fast as it goes, through the daemon's own loop.
func Simulate(ctx context.Context, t Trial) (Summary, error) {
	if err := t.cloudable(); err != nil {
		return Summary{}, err
	}
	g, err := newGreenhouse(t.File, t.Start, plant.Dusk(), t.Seed, t.Weather)
	if err != nil {
		return Summary{}, err
	}
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	m := newTally(t, g)
	l, err := NewLoop(Setup{
		File: t.File, Clock: &leapClock{now: t.Start}, Sight: g, Hands: hands(t.Policy, g),
		Log: slog.New(slog.DiscardHandler), Simulated: true, Trusted: func() bool { return true },
		After: func(c Cycle) {
			m.count(c)
			t.see(c)
			if c.At.Sub(t.Start) >= m.length {
				cancel()
			}
		},
	})
	if err != nil {
		return Summary{}, err
	}
	if err := l.Run(ctx); err != nil {
		return Summary{}, err
	}
	if !m.done {
		return Summary{}, fmt.Errorf("simulation stopped after %v: %w", m.passed, context.Cause(ctx))
	}
	return m.summary(), nil
}

// see hands a cycle on as the record would have it.
func (t Trial) see(c Cycle) {
	if t.Seen != nil {
		s := scribe{loop: t.File.Loop().Name, simulated: true}
		t.Seen(s.reading(c.At, &c.Inputs, c.State, c.Decision))
	}
}

// cloudable refuses a week of cloud on demand under weather that nobody invents.
func (t Trial) cloudable() error {
	if _, ok := t.Weather.(*weather.Generator); ok || t.Weather == nil {
		return nil
	}
	for _, f := range t.Faults {
		if f.Name == "cloud-week" {
			return errors.New("cloud-week: a weather file's sky is as it was; only invented weather can be clouded")
		}
	}
	return nil
}

// hands puts a policy between the loop and the greenhouse.
func hands(p Policy, g *Greenhouse) Hands {
	switch p {
	case AlwaysOn:
		return overruled{g, 1}
	case AllOff:
		return overruled{g, 0}
	}
	return g
}

// overruled sets pump and fans whatever the rules say; the contactor obeys.
type overruled struct {
	*Greenhouse
	duty float64
}

func (o overruled) Apply(out control.Outputs) error {
	out.Pump, out.Fans = toShare(o.duty), toShare(o.duty)
	return o.Greenhouse.Apply(out)
}

// tally gathers a summary while a trial runs.
type tally struct {
	trial  Trial
	g      *Greenhouse
	length time.Duration
	passed time.Duration
	last   time.Time
	done   bool
	s      Summary
}

func newTally(t Trial, g *Greenhouse) *tally {
	inf := math.Inf(1)
	return &tally{
		trial: t, g: g, last: t.Start, length: time.Duration(t.Days * 24 * float64(time.Hour)),
		s: Summary{
			Policy: t.Policy, Simulated: true, Days: t.Days, Alerts: make(map[string]int),
			LowestTunnelC: inf, LowestOutdoorsC: inf, LowestTankC: inf, HighestTankC: -inf, HighestTunnelC: -inf, LowestChargePct: inf,
		},
	}
}

// count takes one cycle in.
func (m *tally) count(c Cycle) {
	dt := c.At.Sub(m.last)
	m.last, m.passed = c.At, c.At.Sub(m.trial.Start)
	m.done = m.passed >= m.length
	now := m.g.plant.Now()
	if below := float64(m.trial.File.Loop().Crop.Minimum - now.Tunnel); below > 0 {
		m.s.HoursBelow += dt.Hours()
		m.s.SquaredKh += dt.Hours() * below * below
	}
	if now.BrownOut {
		m.s.HoursBrownOut += dt.Hours()
	}
	m.s.LowestTunnelC = min(m.s.LowestTunnelC, float64(now.Tunnel))
	m.s.HighestTunnelC = max(m.s.HighestTunnelC, float64(now.Tunnel))
	if m.passed > 0 { // before the first step the weather has not been looked at
		m.s.LowestOutdoorsC = min(m.s.LowestOutdoorsC, float64(now.Outdoors))
	}
	m.s.LowestTankC = min(m.s.LowestTankC, float64(now.Tank))
	m.s.HighestTankC = max(m.s.HighestTankC, float64(now.Tank))
	m.s.LowestChargePct = min(m.s.LowestChargePct, float64(now.BatteryCharge)*100)
	for _, a := range c.Decision.Changes {
		if a.Kind == control.Raised && m.trial.Policy == ByRules {
			m.s.Alerts[a.Code.String()]++
		}
	}
	m.g.fail(m.trial.Faults, m.passed)
	if m.trial.Progress != nil {
		m.trial.Progress(min(1, float64(m.passed)/float64(m.length)))
	}
}

func (m *tally) summary() Summary {
	meters := m.g.plant.Meters()
	m.s.HeatIntoTankKWh = float64(meters.HeatIntoTank) / 1000
	m.s.HeatToTunnelKWh = float64(meters.HeatToTunnel) / 1000
	m.s.BatteryUsedKWh = float64(meters.BatteryUsed) / 1000
	m.s.WaterGoneKg = float64(meters.WaterGone)
	m.s.PumpHours, m.s.PumpStarts = meters.PumpTime.Hours(), meters.PumpStarts
	return m.s
}
