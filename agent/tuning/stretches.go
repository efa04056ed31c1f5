package tuning

import (
	"fmt"
	"time"

	"duskloop/agent"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// stretch is a part of a winter: a calendar month of it.
type stretch struct {
	name   string
	start  time.Time // of the run-in
	long   time.Duration
	sky    func(weather.Sky) weather.Source
	judged bool
}

// A run-in is not counted: it lets tank, bed and battery forget how they began. A short flight
// sorts out what is hopeless. Our choices.
const (
	runIn = 3 * 24 * time.Hour
	short = 5 * 24 * time.Hour
)

// months cuts a winter into calendar months by the place's clock; every other one is judged,
// from the second on, or all are.
func months(over season.Span, sky func(weather.Sky) weather.Source, label string, all bool) []stretch {
	var out []stretch
	local := over.Start.Add(over.Offset).UTC()
	end := local.AddDate(0, 0, over.Days)
	for at, k := local, 0; at.Before(end); k++ {
		next := time.Date(at.Year(), at.Month()+1, 1, 0, 0, 0, 0, time.UTC)
		if next.After(end) {
			next = end
		}
		if long := next.Sub(at) - runIn; long > short {
			out = append(out, stretch{
				name: fmt.Sprintf("%s %s", label, at.Format("Jan 2006")), start: at.Add(-over.Offset), long: long, sky: sky, judged: all || k%2 == 1,
			})
		}
		at = next
	}
	return out
}

// Winters are what a bench flies on: a winter of a weather file or an invented one, in two
// halves, and invented winters that are only judged on.
func (b *Bench) Winters(over season.Span, sky func(weather.Sky) weather.Source, label string, invented []uint64) {
	b.stretches = months(over, sky, label, false)
	for _, seed := range invented {
		sky := func(weather.Sky) weather.Source { return agent.InventedWeather(b.file, seed) }
		more := months(over, sky, fmt.Sprintf("invented winter %d,", seed), true)
		b.stretches = append(b.stretches, more[min(int(seed%2), len(more)):min(len(more), 5)]...)
	}
}

// Invented is the seeded weather of the file's place.
func (b *Bench) Invented(seed uint64) weather.Source { return agent.InventedWeather(b.file, seed) }

// Halves are the stretches that are searched and those that are judged.
func (b *Bench) Halves() (searched, judged []int) {
	for i, x := range b.stretches {
		if x.judged {
			judged = append(judged, i)
		} else {
			searched = append(searched, i)
		}
	}
	return searched, judged
}

// Name of a stretch.
func (b *Bench) Name(stretch int) string { return b.stretches[stretch].name }
