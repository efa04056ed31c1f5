package season

import (
	"fmt"
	"math"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/foresight"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// Foreseen is the best that was found with the whole future known.
type Foreseen struct {
	Score  Score
	Duties []float32 // of every minute
	// Relaxed is what a drive that may run at any share in any minute would come to, in
	// the lumped winter; Lumped what the schedule comes to there, by the last drive tried. K²h.
	Relaxed, Lumped float64
}

// Foresee seeks the schedule of least squared degree-hours over a span, from a schedule
// that a policy flew with its score, and flies it. The search knows a lumped winter (see
// package foresight); what it finds counts only as the plant itself has it, so that a
// richer plant costs it what model error costs. Never worse than the policy it began from.
func Foresee(h House, over Span, sky func(weather.Sky) weather.Source, from []float32, best Score, steps int) (Foreseen, error) {
	found, f, err := foresee(h, over, sky, Flight{Score: best, Duties: from}, steps)
	f.Score, f.Duties = found.Score, found.Duties
	return f, err
}

// foresee is Foresee from a flight, and the flight of what it finds. Where the house may
// run slower it is sought at full speed first and from there with any: at full speed the
// fans give more heat, and slopes alone do not lead from the one to the other.
func foresee(h House, over Span, sky func(weather.Sky) weather.Source, best Flight, steps int) (Flight, Foreseen, error) {
	var f Foreseen
	for _, g := range gaits(h.Night.Drive) {
		w, err := lumped(h, over, sky, g.law)
		if err != nil {
			return best, f, err
		}
		start := make([]float64, len(best.Duties))
		for i, d := range best.Duties {
			start[i] = g.share(float64(d))
		}
		r := w.Improve(start, steps)
		f.Relaxed, f.Lumped = r.Relaxed.Score.Squared, r.Pulsed.Score.Squared
		found, err := fly(h, over, sky, g.schedule(r.Pulsed.Duty))
		if err != nil {
			return best, f, err
		}
		if found.Score.Squared < best.Score.Squared {
			best = found
		}
	}
	return best, f, nil
}

// gait is a way to run that foresight knows: its law, and the share of the coil's full
// conductance at a duty and back.
type gait struct {
	law         foresight.Law
	share, duty func(float64) float64
}

// gaits that a drive has.
func gaits(d night.Drive) []gait {
	full := gait{foresight.FixedSpeed{}, math.Ceil, func(x float64) float64 { return x }}
	if d != night.Varied {
		return []gait{full}
	}
	return []gait{full, {foresight.VariableSpeed{}, math.Sqrt, func(x float64) float64 { return x * x }}}
}

func (g gait) schedule(shares []float64) *schedule {
	s := &schedule{duties: make([]float32, len(shares))}
	for i, x := range shares {
		s.duties[i] = float32(g.duty(x))
	}
	return s
}

// schedule is a pilot that follows duties given for every minute.
type schedule struct {
	duties []float32
	next   int
}

// Duty of the minute that begins.
func (s *schedule) Duty(plant.State, time.Duration) quantity.Share {
	d := s.duties[s.next]
	s.next++
	return quantity.Share(d)
}

// lumped is the winter of a house as foresight knows it, by a law of its drive.
func lumped(h House, over Span, sky func(weather.Sky) weather.Source, law foresight.Law) (*foresight.Winter, error) {
	p, err := plant.New(h.Plant, over.Start, h.Start)
	if err != nil {
		return nil, fmt.Errorf("foresight: %w", err)
	}
	l, err := h.Plant.Lump()
	if err != nil {
		return nil, fmt.Errorf("foresight: %w", err)
	}
	source, n := sky(p.Sun()), over.Days*24*60
	s := foresight.Sky{
		Outdoors: make([]float64, n), GHI: make([]float64, n),
		Element: make([]float64, n), Charge: make([]float64, n),
	}
	for i := range n {
		x := source.At(p.Clock().Add(minute / 2))
		offer := p.Offered(minute, x)
		s.Outdoors[i], s.GHI[i] = float64(x.Air), max(0, float64(x.GHI))
		s.Element[i], s.Charge[i] = float64(offer.Element), float64(offer.Charger)
		p.Pass(minute)
	}
	return foresight.NewWinter(lump(h, l), s, law, float64(h.Settings.Crop.Minimum))
}

// lump is the greenhouse as foresight knows it.
func lump(h House, l plant.Lumped) foresight.Plant {
	p := &h.Plant
	t, g, b := &p.Tunnel, &p.Greenhouse, &p.Supply.Battery
	wh := float64(b.Capacity) * float64(b.Chemistry.RestVoltage(threeQuarters))
	draw, inLiquid := p.Loop.Pump+p.Fans.Power, float64(p.Loop.Pump)*float64(p.Loop.PumpHeat)
	fans := float64(p.Fans.Power) * float64(p.Fans.InTunnel)
	taper := foresight.Limit{Low: 99, High: 100}
	switch {
	case p.Tank.Taper.Band > 0:
		taper = foresight.Limit{Low: float64(p.Tank.Taper.From), High: float64(p.Tank.Taper.From) + float64(p.Tank.Taper.Band)}
	case p.Tank.CutOut > 0:
		taper = foresight.Limit{Low: float64(p.Tank.CutOut) - 1, High: float64(p.Tank.CutOut)}
	}
	return foresight.Plant{
		Tank: float64(l.Tank), TankLoss: float64(p.Tank.Loss), Limit: taper,
		Coil: float64(l.Coil), Draw: float64(draw), FanHeat: fans, TankHeat: inLiquid,
		HouseHeat: float64(draw) - inLiquid - fans,
		Air:       float64(t.Air), Bed: float64(t.Bed), BedToAir: float64(t.BedToAir), BedToSoil: float64(t.BedToSoil),
		Soil: float64(t.Soil), Cover: float64(t.Cover), TunnelSun: float64(t.Sun), SunToBed: float64(t.SunToBed),
		TunnelVent: vent(t.Vent), House: float64(g.Air), HouseOut: float64(g.Cover + g.Leak), HouseSun: float64(g.Sun),
		HouseVent: vent(g.Vent),
		Battery: foresight.Battery{
			Capacity: wh, Floor: wh * float64(h.Settings.Battery.Reserve),
			ChargeEfficiency: float64(b.Efficiency), Base: float64(p.Supply.BaseLoad),
		},
		Start: foresight.State{
			Tank: float64(h.Start.Tank), Air: float64(h.Start.Tunnel), Bed: float64(h.Start.Bed),
			House: float64(h.Start.Greenhouse), Battery: wh * float64(h.Start.BatteryCharge),
		},
	}
}

func vent(v plant.Vent) foresight.Vent {
	return foresight.Vent{Conductance: float64(v.Conductance), Opens: float64(v.Opens), Band: float64(v.Band)}
}
