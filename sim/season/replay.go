package season

import (
	"fmt"
	"math"
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// Begun is how a recorded day stood at its beginning.
type Begun struct {
	At                time.Time
	Tank, Tunnel, Bed quantity.Celsius
	Charge            quantity.Share
}

// Relived is a recorded day lived again.
type Relived struct {
	At      time.Time
	Was     quantity.Celsius // coldest tunnel air as recorded
	Coldest quantity.Celsius // as lived again
	Squared float64          // K²h below the minimum asked about, lived again
	Seen    float64          // the same, of the time in which the tunnel's air is remembered
	Below   time.Duration    // for how long it was below it, lived again
	Used    float64          // Wh by pump and fans
	Off     float64          // K: root mean square of the tunnel air against the record
}

// Relive lives recorded days again, 24 hours each, by the decision itself: a lumped
// greenhouse under the air and sun that a memory holds, each day begun as it stood. A day
// of which too little is remembered is left out. Cold is counted below a minimum that need
// not be the house's own. The memory is not changed. wanted is asked before each day, and
// its error ends it; nil is not asked.
func Relive(h House, m *night.Memory, days []Begun, minimum quantity.Celsius, wanted func() error) (all []Relived, err error) {
	past := &remembered{memory: m, site: h.Plant.Site.Track()}
	var s *Season
	for _, d := range days {
		if !past.covers(d.At, d.At.Add(24*time.Hour)) {
			continue
		}
		if wanted != nil {
			if err := wanted(); err != nil {
				return nil, err
			}
		}
		if s, err = relived(s, h, past, d); err != nil {
			return nil, fmt.Errorf("a day lived again: %w", err)
		}
		all = append(all, s.relive(past, d, float64(minimum)))
	}
	return all, nil
}

// relived is a season at the beginning of a day; the decision's state goes on from the day
// before.
func relived(before *Season, h House, past *remembered, d Begun) (*Season, error) {
	past.begin(&h, d)
	s, err := New(h, d.At, func(weather.Sky) weather.Source { return past })
	if err != nil {
		return nil, err
	}
	if before != nil {
		s.state, s.mind = before.state, before.mind
	} else if s.mind != nil {
		s.mind.Recall(past.memory.Until(d.At))
	}
	return s, nil
}

// begin puts a house to where a day began.
func (r *remembered) begin(h *House, d Begun) {
	house := r.At(d.At).Air
	h.Plant.Greenhouse = forced
	h.Start = plant.State{
		Tank: d.Tank, Coil: d.Tank, Return: d.Tank, Tunnel: d.Tunnel, Bed: d.Bed, Greenhouse: house, Outdoors: house, BatteryCharge: d.Charge,
	}
}

// forced is a greenhouse whose air is what is outdoors within seconds: outdoors is then
// the recorded greenhouse.
var forced = plant.Greenhouse{Air: 1e4, Cover: 1e4}

// relive a day from where the season stands.
func (s *Season) relive(past *remembered, d Begun, minimum float64) Relived {
	l := living{past: past, minimum: minimum, x: Relived{At: d.At, Was: 99, Coldest: 99}}
	for end := d.At.Add(24 * time.Hour); s.plant.Clock().Before(end); {
		s.Step(minute)
		l.take(s.plant.Clock(), s.plant.Now().Tunnel)
	}
	l.x.Used = float64(s.plant.Meters().BatteryUsed)
	return l.lived()
}

// Covered says that enough of a day is remembered to live it again and to set that beside what
// was: the greenhouse's air, and the tunnel's.
func Covered(m *night.Memory, d Begun) bool {
	past, end := remembered{memory: m}, d.At.Add(24*time.Hour)
	return past.covers(d.At, end) && past.knows(d.At, end, func(s *night.Slot) float32 { return s.Air })
}

func sq(x float64) float64 { return x * x }

func slotAt(t time.Time) int64 { return int64(math.Floor(float64(t.Unix()) / night.Step)) }

// remembered is the weather that a memory holds, its greenhouse air as outdoors.
type remembered struct {
	memory *night.Memory
	site   interface {
		ClearSky(time.Time) (quantity.Angle, quantity.WattPerSquareMetre)
		Split(time.Time, quantity.Angle, quantity.WattPerSquareMetre) (dni, dhi quantity.WattPerSquareMetre)
	}
	last night.Slot
}

// enough of a day's slots must be remembered. Our choice.
const enough = 0.9

// covers says that the greenhouse's air is remembered from a time to another.
func (r *remembered) covers(from, to time.Time) bool {
	return r.knows(from, to, func(s *night.Slot) float32 { return s.House })
}

// knows says that enough of something is remembered from a time to another.
func (r *remembered) knows(from, to time.Time, of func(*night.Slot) float32) bool {
	n, all := 0, 0
	for slot := slotAt(from); slot < slotAt(to); slot++ {
		if s, ok := r.memory.Look(slot); ok && !math.IsNaN(float64(of(&s))) {
			n++
		}
		all++
	}
	return all > 0 && float64(n) >= enough*float64(all)
}

// usual is the mean of the level's sun at a slot's time of day, of the days on which it was
// known: a battery that is full, or a panel that is not measured, tells none.
func (r *remembered) usual(slot int64) float32 {
	const aDay = 24 * 6
	var sum float32
	n := 0
	for d := int64(-21); d <= 21; d++ {
		if s, ok := r.memory.Look(slot + d*aDay); ok && !math.IsNaN(float64(s.Level)) {
			sum, n = sum+s.Level, n+1
		}
	}
	if n == 0 {
		return 0
	}
	return sum / float32(n)
}

// At is the slot's air, and its light split for the sun as it stands; over a gap the last air
// that was known, and the light that is usual then.
func (r *remembered) At(t time.Time) weather.Sample {
	if s, ok := r.memory.Look(slotAt(t)); ok {
		if math.IsNaN(float64(s.House)) {
			s.House = r.last.House
		}
		if math.IsNaN(float64(s.Level)) {
			s.Level = r.usual(slotAt(t))
		}
		r.last = s
	}
	x := weather.Sample{Air: quantity.Celsius(r.last.House), DewPoint: quantity.Celsius(r.last.House) - 3, Wind: 1}
	if ghi := quantity.WattPerSquareMetre(1000 * max(0, r.last.Level)); ghi > 0 {
		zenith, clear := r.site.ClearSky(t)
		if clear > 0 {
			x.GHI = ghi
			x.DNI, x.DHI = r.site.Split(t, zenith, ghi)
		}
	}
	return x
}

// Ahead is what a mind advises from a moment on, that is begun as it stands, with what a
// memory holds of the days before.
func Ahead(h House, m *night.Memory, now Begun) (night.Advice, error) {
	past := &remembered{memory: m, site: h.Plant.Site.Track()}
	past.At(now.At.Add(-night.Step * time.Second)) // what was known last stands on
	s, err := relived(nil, h, past, now)
	if err != nil {
		return night.Advice{}, fmt.Errorf("the night ahead: %w", err)
	}
	if s.mind == nil {
		return night.Advice{}, nil
	}
	for range soon {
		s.Step(minute)
	}
	return s.mind.Advice(), nil
}

// soon is how many minutes a mind needs to see a slot end, and to have thought.
const soon = 12
