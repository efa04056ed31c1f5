package nightly

import (
	"math"
	"time"

	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// Rules are what a night is summed by.
type Rules struct {
	From, To   time.Time // its noons
	Now        time.Time // up to which there can be readings
	Dusk, Dawn time.Time // zero where the sun does not set or rise
	Period     time.Duration
	Minimum    quantity.Celsius
	Coil       quantity.WattPerKelvin // at full duty
	Pump, Fans quantity.Watt          // drawn at the duties that the file sets
	TankHeat   quantity.JoulePerKelvin
	TankLoss   quantity.WattPerKelvin // to the greenhouse
	// Settings tell the speeds of outputs; nil: neither heat nor battery is asked.
	Settings *control.Settings
}

// longest is for how many periods a reading holds.
const longest = 3

// morning is until how long after sunrise a night's heat is looked at, as a plan's story is
// (control/night).
const morning = 90 * time.Minute

// Sum is a night as its readings come.
type Sum struct {
	rules  Rules
	last   record.Reading
	begun  bool
	seenTo time.Time // up to which the tunnel's air is known
	gaps   []Gap
	alerts alerts
	told   *Expected

	Known            bool // any tunnel air
	Coldest, Highest quantity.Celsius
	ColdestAt        time.Time
	Squared          float64       // K²h
	Ran              time.Duration // the pump

	seen, unseen time.Duration // the air known; running without tank or air known
	heat, drawn  float64       // Wh
	gathered     float64       // Wh, from tunnel to tank
	then         record.Value  // the charge at the coldest
	dusk, dawn   instant
	tank         tank
	lasted       time.Time
	runs         []run // by minutes
	loop         string
	simulated    bool
}

// instant is the reading with a charge nearest to a time.
type instant struct {
	away         time.Duration
	charge, band float64
	known        bool
}

// NewSum is a night without readings yet.
func NewSum(r Rules) *Sum {
	minutes := int(r.To.Sub(r.From)/time.Minute) + 1
	return &Sum{rules: r, seenTo: r.From, Coldest: quantity.Celsius(math.Inf(1)), Highest: quantity.Celsius(math.Inf(-1)), runs: make([]run, minutes)}
}

// gap is the longest time between readings that is none.
func (s *Sum) gap() time.Duration { return longest * s.rules.Period }

// Add takes the next reading.
func (s *Sum) Add(x *record.Reading) {
	s.hold(x.At)
	s.last, s.begun, s.loop, s.simulated = *x, true, x.Loop, s.simulated || x.Simulated
	s.charges(x)
	s.stands(x)
	if air, ok := s.reads(x, control.Tunnel); ok {
		s.cold(x, quantity.Celsius(air))
	}
}

// reads is what a place's probe said no longer ago than a gap.
func (s *Sum) reads(x *record.Reading, p control.Place) (float64, bool) {
	v := x.Places[p]
	return v.V, v.OK && v.Age <= s.gap()
}

// cold takes in the tunnel's air of a reading.
func (s *Sum) cold(x *record.Reading, air quantity.Celsius) {
	s.Known = true
	s.Highest = max(s.Highest, air)
	if air < s.Coldest {
		s.Coldest, s.ColdestAt, s.then = air, x.At, x.Charge
	}
	tank, ok := s.reads(x, control.Tank)
	if ok && s.lasted.IsZero() && s.asked(x.At) && tank-float64(air) < night.Useful {
		s.lasted = x.At
	}
}

// asked says that a time is one for which the plan said how long the heat lasts.
func (s *Sum) asked(at time.Time) bool {
	return s.told != nil && !at.Before(s.told.ToldAt) && !s.rules.Dawn.IsZero() && !at.After(s.rules.Dawn.Add(morning))
}

// charges notes the charge at dusk and dawn.
func (s *Sum) charges(x *record.Reading) {
	if !x.Charge.OK {
		return
	}
	s.dusk.near(x, s.rules.Dusk, s.gap())
	s.dawn.near(x, s.rules.Dawn, s.gap())
}

func (i *instant) near(x *record.Reading, at time.Time, within time.Duration) {
	if away := x.At.Sub(at).Abs(); !at.IsZero() && away <= within && (!i.known || away < i.away) {
		*i = instant{away, x.Charge.V, x.Band, true}
	}
}

// hold lets the last reading hold until the next one, or over a gap for one period.
func (s *Sum) hold(next time.Time) {
	from, until := s.last.At, next
	if !s.begun || !until.After(from) { // a clock that was set back
		return
	}
	if until.Sub(from) > s.gap() {
		until = from.Add(s.rules.Period)
	}
	s.count(from, until)
}

// count takes in what the last reading says of a stretch.
func (s *Sum) count(from, until time.Time) {
	d := until.Sub(from)
	air, known := s.reads(&s.last, control.Tunnel)
	if known {
		s.see(from, until)
		s.seen += d
		below := max(0, float64(s.rules.Minimum)-air)
		s.Squared += below * below * d.Hours()
	}
	if s.last.Outputs.Pump > 0 {
		s.Ran += d
	}
	s.alerts.hold(from, until)
	s.loses(from, until)
	if s.rules.Settings != nil {
		s.spend(from, until, air, known)
	}
}

// see says that the air is known through a stretch; what is missing before it is a gap.
func (s *Sum) see(from, until time.Time) {
	if from.Sub(s.seenTo) > s.gap() {
		s.gaps = append(s.gaps, Gap{s.seenTo.UTC(), from.UTC()})
	}
	s.seenTo = until
}

// spend counts heat and battery of a stretch.
func (s *Sum) spend(from, until time.Time, air float64, known bool) {
	pump, fans := s.rules.Settings.Speeds(s.last.Outputs)
	h := until.Sub(from).Hours()
	s.drawn += h * (float64(s.rules.Pump)*night.Drawn(pump) + float64(s.rules.Fans)*night.Drawn(fans))
	s.keep(from, until, pump, fans)
	flow, _ := night.Ran(pump, fans)
	if flow == 0 {
		return
	}
	tank, ok := s.reads(&s.last, control.Tank)
	if !ok || !known {
		s.unseen += until.Sub(from)
		return
	}
	through := h * float64(s.rules.Coil) * flow * (tank - air)
	s.heat += max(0, through)
	s.gathered += max(0, -through)
}
