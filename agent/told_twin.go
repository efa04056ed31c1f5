package agent

import (
	"math"
	"time"

	"duskloop/agent/nightly"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// twinned is the twin of a night, by what was recorded before it.
type twinned struct {
	night.Twin
	by   string // record or file
	coil quantity.WattPerKelvin
	bed  night.Known
}

// learn is the twin as the week before now teaches it, so that the night that follows is none
// of those that it was fitted to; else the file's. The coil is the learned one where that is
// a property of the greenhouse (night.Learned).
func (t *ToldNights) learn() twinned {
	m := night.NewMind(t.mind)
	m.Recall(t.memory)
	x := twinned{Twin: m.Twin(), by: "file", coil: quantity.WattPerKelvin(t.mind.Twin.Coil), bed: m.Bed()}
	all, _ := m.Learned()
	for _, l := range all {
		x.by = "record"
		if l.Told && l.Name == "coil" {
			x.coil = quantity.WattPerKelvin(l.Value)
		}
	}
	return x
}

// about is how near to noon, and to dusk, it must be known how things stood. Our choice.
const about = time.Hour

// standings are how a night stood about noon, and again about dusk: what the sun did to the
// tank in the afternoon is often known poorly, and is then no error of the night.
type standings struct {
	gap  time.Duration
	dusk time.Time
	all  []season.Begun
}

// add takes a reading.
func (s *standings) add(x *record.Reading) {
	b, ok := begins(x)
	if !ok || x.Places[control.Tank].Age > s.gap || x.Places[control.Tunnel].Age > s.gap {
		return
	}
	late := b.At.Sub(s.dusk)
	if len(s.all) == 0 || len(s.all) == 1 && !s.dusk.IsZero() && late >= 0 && late <= about && s.all[0].At.Before(s.dusk) {
		if !x.Places[control.Bed].OK {
			b.Bed = quantity.Celsius(math.NaN())
		}
		s.all = append(s.all, b)
	}
}

// Why a night is not lived again.
const (
	tooLittle = "too little of the night is recorded"
	unbegun   = "tank, tunnel or battery was not read about noon"
	noAir     = "too little of the greenhouse's air is recorded"
)

// relive says what would have come without heat, or why that is not known.
func (t *ToldNights) relive(n *nightly.Night, sum *nightly.Sum, s standings, twin *twinned, r nightly.Rules) error {
	switch place := missing(t.File.Loop()); {
	case place != "":
		n.TwinSilent = "no probe at the " + place
	case !n.Whole() || n.Squared == nil:
		n.TwinSilent = tooLittle
	case len(s.all) == 0 || s.all[0].At.Sub(r.From) > about:
		n.TwinSilent = unbegun
	default:
		return t.relived(n, sum, s.all, twin, r)
	}
	return nil
}

// relived lives the night as it ran and at rest.
func (t *ToldNights) relived(n *nightly.Night, sum *nightly.Sum, stood []season.Begun, twin *twinned, r nightly.Rules) error {
	h, err := twinHouse(t.File, &twin.Twin)
	if err != nil {
		return err
	}
	if first := &stood[0]; math.IsNaN(float64(first.Bed)) {
		first.Bed = first.Tunnel
		if !math.IsNaN(twin.bed) {
			first.Bed = quantity.Celsius(twin.bed)
		}
	}
	until := r.To
	if r.Now.Before(until) {
		until = r.Now
	}
	ran, bare, ok, err := season.Rerun(h, t.memory, stood, until, r.Minimum, sum.Runs)
	if err != nil || !ok {
		n.TwinSilent = noAir
		return err
	}
	n.Relived(nightly.Twin{By: twin.by, OffK: ran.Off, SquaredAsItRan: ran.Seen, ColdestC: float64(bare.Coldest), Squared: bare.Seen})
	return nil
}
