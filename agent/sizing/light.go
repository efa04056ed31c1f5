package sizing

import (
	"math"
	"slices"
	"time"

	"duskloop/agent"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/match"
	"duskloop/sim/pv"
	"duskloop/sim/sun"
)

const greenhouse = control.Greenhouse

// glimpse is how often the winter's light is looked at. Looking every two minutes changes
// the winter's heat by less than half a per cent (TestGlimpse).
const glimpse = 10 * time.Minute

// Light is the winter's on the element's panels, and its days.
type Light struct {
	*match.Season
	days    []day
	coldest quantity.Celsius // outdoors
}

// Coldest air outdoors.
func (x *Light) Coldest() quantity.Celsius { return x.coldest }

// day is one of the winter.
type day struct {
	number int
	sun    float64 // Wh/m² in the plane of the element's panel
	heat   float64 // Wh that the element takes
}

// Lit is the winter's light on the element's panels.
func (s *Sketch) Lit() (*Light, error) { return s.LitEvery(glimpse) }

// LitEvery is Lit, looked at every so often.
func (s *Sketch) LitEvery(every time.Duration) (*Light, error) {
	m, err := s.house.Plant.Element.Panel.Module()
	if err != nil {
		return nil, err
	}
	x, l := s.sunlit(s.house.Plant.Element.Panel.Plane, m, every), s.File.Loop()
	for n, heat := range x.Daily(l.Element.Resistance, l.Element.Cable, len(x.days)) {
		x.days[n].heat = heat
	}
	return x, nil
}

// sunlit is the winter's light on panels in a plane, looked at every so often.
func (s *Sketch) sunlit(plane sun.Plane, m pv.Module, every time.Duration) *Light {
	site := agent.SunSite(s.File.Site)
	sky := s.Sky(site.Track())
	lit := &Light{match.New(m), make([]day, s.Over.Days), quantity.Celsius(math.Inf(1))}
	for at, end := s.Over.Start, s.Over.Start.AddDate(0, 0, s.Over.Days); at.Before(end); at = at.Add(every) {
		mid := at.Add(every / 2)
		x := sky.At(mid)
		n := int(at.Sub(s.Over.Start) / (24 * time.Hour))
		l := match.Light{Hours: every.Hours(), Day: n, Air: x.Air, Wind: float64(x.Wind)}
		if x.GHI > 0 {
			l.Plane = site.OnPlane(plane, mid, sun.Light{GHI: x.GHI, DNI: x.DNI, DHI: x.DHI})
		}
		lit.Add(l)
		lit.days[n].number, lit.coldest = n, min(lit.coldest, x.Air)
		lit.days[n].sun += float64(l.Plane) * l.Hours
	}
	return lit
}

// start of the day, by the winter's own clock.
func (d day) start(s *Sketch) time.Time { return s.Over.Start.AddDate(0, 0, d.number) }

// dark are the days of the three months about the winter's middle: December to February,
// or June to August south of the equator.
func (s *Sketch) dark(days []day) []day {
	return slices.DeleteFunc(slices.Clone(days), func(d day) bool {
		m := d.start(s).Add(s.Over.Offset).Month()
		if s.File.Site.Latitude < 0 {
			m = (m+5)%12 + 1
		}
		return m != time.December && m > time.February
	})
}
