package nightly

import (
	"time"

	"duskloop/agent/record"
	"duskloop/control"
)

// tank is what it gave from dusk to dawn, when no sun heats it: its fall, less what it lost by
// standing there. Unlike what went through the coil while pump and fans ran, that has what
// stayed in the pipes.
type tank struct {
	dusk, dawn stand
	lost       float64       // K·h over the greenhouse
	seen       time.Duration // of the time between, with tank and greenhouse known
}

// stand is a tank's temperature nearest to a time.
type stand struct {
	away  time.Duration
	c     float64
	known bool
}

// stands notes the tank at dusk and dawn.
func (s *Sum) stands(x *record.Reading) {
	if c, ok := s.reads(x, control.Tank); ok {
		s.tank.dusk.near(x.At, s.rules.Dusk, s.gap(), c)
		s.tank.dawn.near(x.At, s.rules.Dawn, s.gap(), c)
	}
}

func (i *stand) near(at, when time.Time, within time.Duration, c float64) {
	if away := at.Sub(when).Abs(); !when.IsZero() && away <= within && (!i.known || away < i.away) {
		*i = stand{away, c, true}
	}
}

// loses counts the tank's standing loss of a stretch, as far as it lies between dusk and dawn.
func (s *Sum) loses(from, until time.Time) {
	if from.Before(s.rules.Dusk) {
		from = s.rules.Dusk
	}
	if until.After(s.rules.Dawn) {
		until = s.rules.Dawn
	}
	tank, ok := s.reads(&s.last, control.Tank)
	house, known := s.reads(&s.last, control.Greenhouse)
	if d := until.Sub(from); ok && known && d > 0 {
		s.tank.lost += d.Hours() * (tank - house)
		s.tank.seen += d
	}
}

// gave is what the tank gave, Wh; absent where too little of the time is known. A tank that the
// tunnel warmed has given less than nothing.
func (s *Sum) gave() *float64 {
	t, night := &s.tank, s.rules.Dawn.Sub(s.rules.Dusk)
	if !t.dusk.known || !t.dawn.known || night <= 0 || float64(t.seen) < Enough*float64(night) {
		return nil
	}
	return figure(float64(s.rules.TankHeat)*(t.dusk.c-t.dawn.c)/3600-float64(s.rules.TankLoss)*t.lost, 1)
}
