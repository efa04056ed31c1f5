package sizing

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"duskloop/agent"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/season"
	"duskloop/sim/trial"
)

// HeatUp is the tank from cold through one day of the weather, pump off.
type HeatUp struct {
	Sky  string    `json:"sky"` // clear, hazy or overcast
	Day  time.Time `json:"day"`
	Sun  float64   `json:"sun_kwh_m2"` // in the panels' plane
	Cold float64   `json:"cold_c"`     // the tank at sunrise, the same on all days
	// Tank and Lossless are its temperatures every ten minutes from sunrise, °C, with the
	// standing loss and without.
	Tank     []float64 `json:"tank_c"`
	Lossless []float64 `json:"tank_without_loss_c"`
	Highest  float64   `json:"highest_c"`
	// Until the tank is warm, h from sunrise, with the loss and without; null if not that day.
	Until         *float64 `json:"hours_to_warm"`
	UntilLossless *float64 `json:"hours_to_warm_without_loss"`
}

// Steady is the time to heat the tank at a power that never changes.
type Steady struct {
	What     string   `json:"what"`
	Watts    float64  `json:"watt"`
	From     float64  `json:"from_c"`
	To       float64  `json:"to_c"`
	LossFree float64  `json:"hours_loss_free"` // m c dT / P
	WithLoss *float64 `json:"hours_with_loss"` // null if it never gets there
}

// skies are the days that stand for a kind of sky: by their place among the days of the
// dark months, ordered by the heat that the element takes. Our choice.
var skies = []struct {
	name  string
	place float64
}{{"clear", 0.9}, {"hazy", 0.5}, {"overcast", 0.1}}

// heatUps of the three days that stand for skies. off is the winter without heat, which
// says how cold the greenhouse is on their mornings.
func (s *Sketch) heatUps(days []day, off *season.Flight) (all []HeatUp, err error) {
	dark := s.dark(days)
	slices.SortStableFunc(dark, func(a, b day) int { return cmp.Compare(a.heat, b.heat) })
	if len(dark) == 0 {
		return nil, nil
	}
	var three []day
	cold := quantity.Celsius(99)
	for _, k := range skies {
		d := dark[int(k.place*float64(len(dark)-1)+0.5)]
		three = append(three, d)
		cold = min(cold, quantity.Celsius(s.atRise(d, off).House))
	}
	cold = max(cold, s.house.Settings.Frost.Freezing+1) // the mix is liquid
	for i, k := range skies {
		h, err := s.heatUp(k.name, three[i], cold, off)
		if err != nil {
			return nil, fmt.Errorf("heating up on the %s day: %w", k.name, err)
		}
		all = append(all, h)
	}
	return all, nil
}

// rise is when the sun comes up on a day; six by the winter's clock where it does not.
func (s *Sketch) rise(d day) time.Time {
	begin := d.start(s)
	if rise := agent.SunSite(s.File.Site).Day(begin.Add(12 * time.Hour)).Rise; rise.After(begin) {
		return rise
	}
	return begin.Add(6 * time.Hour)
}

// atRise is the greenhouse then, without heat.
func (s *Sketch) atRise(d day, off *season.Flight) season.Glance {
	return off.Seen[min(int(s.rise(d).Sub(s.Over.Start)/time.Minute), len(off.Seen)-1)]
}

// heatUp of a day, the tank being so cold when the sun comes up.
func (s *Sketch) heatUp(sky string, d day, cold quantity.Celsius, off *season.Flight) (HeatUp, error) {
	begin, rise, first := d.start(s), s.rise(d), s.atRise(d, off)
	h := HeatUp{Sky: sky, Day: begin.Add(s.Over.Offset).UTC().Truncate(24 * time.Hour), Sun: d.sun / 1000, Cold: float64(cold)}
	start := s.house.Start
	start.Tank, start.Coil, start.Return = cold, cold, cold
	start.Greenhouse, start.Tunnel, start.Bed = quantity.Celsius(first.House), quantity.Celsius(first.Tunnel), quantity.Celsius(first.Tunnel)
	warm := s.house.Plant
	var err error
	if h.Tank, h.Until, err = s.soak(warm, rise, start); err != nil {
		return h, err
	}
	warm.Tank.Loss, warm.Tank.OpenSurface = 0, 0
	h.Lossless, h.UntilLossless, err = s.soak(warm, rise, start)
	h.Highest = slices.Max(h.Tank)
	return h, err
}

// soakFor is how long a heat-up is followed, and every how many minutes it is kept.
const (
	soakFor  = 16 * time.Hour
	soakKeep = 10
)

// soak lets the element heat a plant's tank, pump off.
func (s *Sketch) soak(p plant.Params, from time.Time, start plant.State) (tank []float64, until *float64, err error) {
	run, err := plant.New(p, from, start)
	if err != nil {
		return nil, nil, err
	}
	sky := s.Sky(run.Sun())
	for m := 0; m <= int(soakFor.Minutes()); m++ {
		now := run.Now().Tank
		if m%soakKeep == 0 {
			tank = append(tank, float64(now))
		}
		if until == nil && now >= s.Warm {
			hours := float64(m) / 60
			until = &hours
		}
		run.Step(time.Minute, plant.Act{ElementConnected: true}, sky.At(run.Clock().Add(30*time.Second)))
	}
	return tank, until, nil
}

// steady says how long powers that never change would need from the crop's comfort to
// warm: what calculators give, and the same with the tank's loss into a greenhouse at the
// crop's minimum.
func (s *Sketch) steady(nameplate, fullSun quantity.Watt) ([]Steady, error) {
	l := s.File.Loop()
	from, to := l.Crop.Minimum, s.Warm
	heat, err := agent.HeatStored(s.mix(), l.Tank.Volume, from, to)
	if err != nil {
		return nil, err
	}
	capacity := heat.Joules() / float64(to.Minus(from))
	var all []Steady
	for _, x := range []struct {
		what  string
		watts quantity.Watt
	}{{"the panels' nameplate", nameplate}, {"the element in full sun", fullSun}} {
		v := trial.Vessel{Heat: capacity, Power: float64(x.watts), Loss: float64(l.Tank.Loss), Air: float64(from)}
		with, without := v.Until(float64(from), float64(to))
		row := Steady{What: x.what, Watts: float64(x.watts), From: float64(from), To: float64(to), LossFree: without / 3600}
		if quantity.Finite(with) {
			with /= 3600
			row.WithLoss = &with
		}
		all = append(all, row)
	}
	return all, nil
}
