package agent

import (
	"math"
	"time"

	"duskloop/agent/config"
	"duskloop/agent/record"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/fit"
)

// longestMinutes is how much of a record is taken at most: a winter.
const longestMinutes = 250 * 24 * 60

// What happened between two readings is known where none is missing, up to holds, or where
// outputs were the same at both ends, up to straight: a run of three minutes in a hole of two
// would otherwise be taken for rest, and the coil for a worse one. Our choices.
const (
	holds    = 10 * time.Minute
	straight = 2 * time.Minute
	next     = 1.5 // periods after which a reading is missing
)

// whole says that what happened between two readings is known.
func (m *minutes) whole(a, b *record.Reading) bool {
	gap := b.At.Sub(a.At)
	return gap <= min(holds, time.Duration(next*float64(m.period))) || gap <= straight && a.Outputs == b.Outputs
}

// add takes a reading in: a minute's temperatures are those at its mark, between the readings
// before and after it; what ran since the reading before is spread over the minutes between.
func (m *minutes) add(x *record.Reading) {
	if m.start.IsZero() {
		m.start = x.At.Truncate(time.Minute)
		m.read(x, m.minute(m.start))
	}
	if x.At.Before(m.start) || x.At.Sub(m.start) > longestMinutes*time.Minute || !m.clock.goesOn(x.At, m) {
		return
	}
	if last := m.last; last != nil && x.At.After(last.At) {
		if m.whole(last, x) {
			m.ran(last, x)
			for t := last.At.Truncate(time.Minute).Add(time.Minute); !t.After(x.At); t = t.Add(time.Minute) {
				m.between(last, x, t)
			}
		}
		m.minute(x.At) // a hole has its minutes too
	}
	m.heated = m.heated || x.Heating.OK
	y := *x
	m.last = &y
}

// read puts a reading's temperatures into a minute.
func (m *minutes) read(x *record.Reading, into *fit.Minute) {
	s := sampleOf(&m.settings, x, 0)
	into.Tank, into.Air, into.House, into.Bed = s.Tank, s.Air, s.House, s.Bed
	if x.Volts.OK && x.Amps.OK {
		into.Volts, into.Amps = x.Volts.V, x.Amps.V
	}
}

// between draws a minute's temperatures straight between two readings.
func (m *minutes) between(a, b *record.Reading, mark time.Time) {
	from, to := fit.Nothing(), fit.Nothing()
	m.read(a, &from)
	m.read(b, &to)
	share := float64(mark.Sub(a.At)) / float64(b.At.Sub(a.At))
	x := m.minute(mark)
	x.Tank = from.Tank + share*(to.Tank-from.Tank)
	x.Air = from.Air + share*(to.Air-from.Air)
	x.House = from.House + share*(to.House-from.House)
	x.Bed = from.Bed + share*(to.Bed-from.Bed)
	x.Volts, x.Amps = from.Volts+share*(to.Volts-from.Volts), from.Amps+share*(to.Amps-from.Amps)
}

// minute at a time, made if need be.
func (m *minutes) minute(t time.Time) *fit.Minute {
	k := int(t.Sub(m.start) / time.Minute)
	for k >= len(m.all) {
		m.all, m.weight = append(m.all, fit.Nothing()), append(m.weight, 0)
	}
	return &m.all[k]
}

// ran spreads what ran between two readings.
func (m *minutes) ran(from, to *record.Reading) {
	a, b := sampleOf(&m.settings, from, 0), sampleOf(&m.settings, to, 0)
	sun := b.Sun // the panel's voltage at a reading is of the time before it
	if math.IsNaN(sun) {
		sun = a.Sun
	}
	pump, fans := speeds(&m.settings, from.Outputs)
	for t := from.At; t.Before(to.At); {
		end := t.Truncate(time.Minute).Add(time.Minute)
		if end.After(to.At) {
			end = to.At
		}
		m.weigh(t, end.Sub(t).Seconds(), pump, fans, sun, a.Power)
		t = end
	}
}

// speeds are those of pump and fans as shares of full.
func speeds(s *control.Settings, o control.Outputs) (pump, fans float64) {
	if s.Carry.PumpDuty > 0 && s.Carry.FanDuty > 0 {
		pump, fans = min(1, float64(o.Pump/s.Carry.PumpDuty)), min(1, float64(o.Fans/s.Carry.FanDuty))
	}
	return pump, fans
}

// wholeMinute is how much of a minute must be known, s; the first and the last second of one may
// be rounded away.
const wholeMinute = 58

// weigh adds some seconds to a minute's means.
func (m *minutes) weigh(t time.Time, seconds, pump, fans, sun, power float64) {
	x := m.minute(t)
	k := int(t.Sub(m.start) / time.Minute)
	total := m.weight[k] + seconds
	old, new0 := m.weight[k]/total, seconds/total
	m.weight[k] = total
	x.Seen = total >= wholeMinute
	mean := func(into *float64, value float64) { *into = *into*old + value*new0 }
	both, alone, blown := 0.0, 0.0, 0.0
	speed := max(pump, fans)
	switch {
	case pump > 0 && fans > 0:
		both, speed = 1, math.Sqrt(pump*fans)
	case pump > 0:
		alone = 1
	case fans > 0:
		blown = 1
	}
	if was := x.On + x.Stirred + x.Blown; speed > 0 {
		x.Speed = (x.Speed*was*old + speed*new0) / (was*old + new0)
	}
	mean(&x.On, both)
	mean(&x.Stirred, alone)
	mean(&x.Blown, blown)
	mean(&x.Power, power)
	if old == 0 {
		x.Sun = sun
	} else {
		mean(&x.Sun, sun)
	}
}

// meanTank of what was read, °C.
func (m *minutes) meanTank() quantity.Celsius {
	sum, n := 0.0, 0.0
	for k := range m.all {
		if x := m.all[k].Tank; !math.IsNaN(x) {
			sum, n = sum+x, n+1
		}
	}
	if n == 0 {
		return 45
	}
	return quantity.Celsius(min(max(sum/n, 5), 90))
}

// noon is the minute, at or before the first, that is noon by the sun at the place.
func (m *minutes) noon(f *config.File) int {
	const aDay = 24 * 60
	t := m.start.UTC()
	since := t.Hour()*60 + t.Minute() - int(12*60-4*float64(f.Site.Longitude))
	return -((since%aDay + aDay) % aDay)
}
