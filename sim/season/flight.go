package season

import (
	"cmp"
	"math"
	"slices"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// Flight is how a policy did, and what was seen on the way.
type Flight struct {
	Score  Score
	Duties []float32 // of every minute
	// Seen is the greenhouse at the beginning of every minute.
	Seen []Glance
	// Relaxed is what foresight's search came to without pulses, K²h; 0 for the others.
	Relaxed float64
	// Meters are the plant's sums at the end; none of foresight's.
	Meters plant.Meters
}

// Glance is the greenhouse at a moment: temperatures in °C, the Wh that pump and fans
// have drawn since the season began, and the battery's charge, 0 to 1.
type Glance struct{ Tank, Tunnel, House, Used, Charge float32 }

func newFlight(over Span) Flight {
	n := over.Days * 24 * 60
	return Flight{Duties: make([]float32, 0, n), Seen: make([]Glance, 0, n)}
}

// keep notes how things stand, and at what duty the next minute is flown.
func (f *Flight) keep(p *plant.Plant, duty quantity.Share) {
	s := p.Now()
	f.Duties = append(f.Duties, float32(duty))
	f.Seen = append(f.Seen, Glance{
		Tank: float32(s.Tank), Tunnel: float32(s.Tunnel), House: float32(s.Greenhouse), Used: float32(p.Meters().BatteryUsed),
		Charge: float32(s.BatteryCharge),
	})
}

// Night is the 24 hours from a noon, by the minutes of a flight.
type Night struct {
	Start       time.Time
	First, Last int  // minutes; Last is the first of the next night
	Timed       bool // chosen for what foresight gains on the thermostat
}

// aNight is how many minutes a night has, noon to noon.
const aNight = 24 * 60

// coldestNights is of how many nights the one is taken that shows most.
const coldestNights = 10

// HardNight is, of the ten nights from noon to noon in which the greenhouse was coldest
// in the first flight, the one whose coldest tunnel air foresight warms most over the
// thermostat's: there it counts most when the heat is spent. Where either was not flown it
// is the one on which the flights differ most. Not ok without a whole night.
func HardNight(over Span, flights []Flight) (hard Night, ok bool) {
	nights := nightsOf(over, flights)
	slices.SortStableFunc(nights, func(a, b Night) int {
		return cmp.Compare(flights[0].coldest(a), flights[0].coldest(b))
	})
	most := math.Inf(-1)
	telling, timed := tellingOf(flights)
	for _, n := range nights[:min(len(nights), coldestNights)] {
		low, high := math.Inf(1), math.Inf(-1)
		for _, f := range telling {
			cold := f.frost(n)
			low, high = min(low, cold), max(high, cold)
		}
		if high-low > most {
			hard, most, ok = n, high-low, true
			hard.Timed = timed
		}
	}
	return hard, ok
}

// tellingOf are the flights by which a night is chosen, and whether they are the two that
// show what timing is worth.
func tellingOf(flights []Flight) (some []*Flight, timed bool) {
	for i := range flights {
		if p := flights[i].Score.Policy; p == PolicyThermostat || p == PolicyForesight {
			some = append(some, &flights[i])
		}
	}
	if len(some) == 2 {
		return some, true
	}
	some = some[:0]
	for i := range flights {
		some = append(some, &flights[i])
	}
	return some, false
}

// nightsOf are the whole nights of flights over a span.
func nightsOf(over Span, flights []Flight) (all []Night) {
	if len(flights) == 0 {
		return nil
	}
	for first := over.noon(); first+aNight <= len(flights[0].Seen); first += aNight {
		all = append(all, Night{over.Start.Add(time.Duration(first) * minute), first, first + aNight, false})
	}
	return all
}

// coldest of the greenhouse in a night, °C.
func (f *Flight) coldest(n Night) float32 {
	low := f.Seen[n.First].House
	for _, g := range f.Seen[n.First:n.Last] {
		low = min(low, g.House)
	}
	return low
}

// frost is the tunnel's coldest air in a night, °C.
func (f *Flight) frost(n Night) float64 {
	low := f.Seen[n.First].Tunnel
	for _, g := range f.Seen[n.First:n.Last] {
		low = min(low, g.Tunnel)
	}
	return float64(low)
}

// noon is the first minute of a span that begins one.
func (s Span) noon() int {
	local := s.Start.Add(s.Offset)
	since := local.Sub(local.Truncate(24 * time.Hour))
	return int(((36*time.Hour - since) % (24 * time.Hour)) / minute)
}
