package agent

import (
	"fmt"
	"time"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// Greenhouse is a simulated greenhouse as the loop sees it: a Sight and Hands
// over a plant, its weather and its probes. Time passes in Look, up to the time
// asked for. It belongs to one loop's goroutine.
type Greenhouse struct {
	plant     *plant.Plant
	probes    *plant.Probes
	sky       weather.Source
	act       plant.Act
	now       time.Time
	fitted    [control.Places]bool
	level     control.Level
	contactor bool
	panel     bool // its voltage is measured
	spoil     [control.Places]config.Calibration
	start     time.Time
	clouded   bool
}

// longest is the largest step the plant takes under constant weather.
const longest = 30 * time.Second

// NewGreenhouse builds the greenhouse that the file describes, at start, with
// seeded weather and probe errors.
func NewGreenhouse(f *config.File, start time.Time, initial plant.State, seed uint64) (*Greenhouse, error) {
	return newGreenhouse(f, start, initial, seed, nil)
}

// newGreenhouse builds it under a sky of its own, nil for the invented one.
func newGreenhouse(f *config.File, start time.Time, initial plant.State, seed uint64, sky weather.Source) (*Greenhouse, error) {
	params := plantParams(f)
	p, err := plant.New(params, start, initial)
	if err != nil {
		return nil, fmt.Errorf("simulated greenhouse: %w", err)
	}
	if sky == nil {
		sky = InventedWeather(f, seed)
	}
	g := &Greenhouse{
		plant: p, probes: plant.NewProbes(plant.Typical(seed), p.Now()),
		sky: sky, now: start, start: start,
	}
	l := f.Loop()
	for place := range control.Places {
		g.fitted[place], g.spoil[place] = l.Probes[place].ID != "", l.Probes[place].Calibration
	}
	if l.Level.Fitted() {
		g.level = control.LevelGood
	}
	g.contactor, g.panel = l.Contactor.Fitted(), f.Daemon.PanelRatio > 0
	g.act.ElementConnected = !g.contactor
	return g, nil
}

// InventedWeather is the seeded weather of Alder Hollow under the sun of the file's
// place.
func InventedWeather(f *config.File, seed uint64) *weather.Generator {
	climate := weather.AlderHollow()
	climate.Longitude = f.Site.Longitude
	return weather.New(climate, plantParams(f).Site.Track(), seed)
}

// Look lets the plant live up to now and reads its probes.
func (g *Greenhouse) Look(now time.Time) Look {
	passed := now.Sub(g.now)
	for g.now.Before(now) {
		dt := min(longest, now.Sub(g.now))
		g.plant.Step(dt, g.act, g.sky.At(g.now.Add(dt/2)))
		g.now = g.now.Add(dt)
	}
	g.probes.Read(g.plant.Now(), passed)
	look := Look{Level: g.level, Power: sensors.Power{At: now, Cause: sensors.Good}}
	for p := range control.Places {
		look.Probes[p] = g.read(p, now)
	}
	volts, amps, ok := g.probes.Battery()
	look.Power.Volts, look.Power.Amps = volts, amps
	if !ok {
		look.Power = sensors.Power{At: now, Cause: sensors.NothingThere}
	}
	look.Power.Panel, look.Power.PanelOK = g.plant.Now().PanelVolts, g.panel
	return look
}

// placeOf is the plant's word for a place; the order of both is the same and
// a test holds it.
func placeOf(p control.Place) plant.Place { return plant.Place(p) }

func (g *Greenhouse) read(p control.Place, now time.Time) sensors.Reading {
	if !g.fitted[p] {
		return sensors.Reading{}
	}
	c, ok := g.probes.At(placeOf(p))
	if !ok {
		return sensors.Reading{At: now, Cause: sensors.NothingThere}
	}
	// A simulated probe has always measured: exactly 85 °C is no power-on value.
	return sensors.Reading{At: now, Value: g.spoil[p].Spoil(c), Cause: sensors.Good, HasRaw: true}
}

// Apply commands the plant. Without a contactor the element stays wired.
func (g *Greenhouse) Apply(o control.Outputs) error {
	g.act = plant.Act{Pump: o.Pump, Fans: o.Fans, ElementConnected: o.Closed || !g.contactor, ChargerOff: o.ChargerOff}
	return nil
}

// Rest turns everything off.
func (g *Greenhouse) Rest() error { return g.Apply(control.Outputs{}) }
