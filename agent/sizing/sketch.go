package sizing

import (
	"fmt"
	"time"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// Sketch is a greenhouse on paper under the weather of a winter.
type Sketch struct {
	File    *config.File
	Over    season.Span
	Sky     func(weather.Sky) weather.Source // a new one for each flight
	Weather string                           // what it is, in words
	Policy  string                           // by which the heat is spent
	Warm    quantity.Celsius                 // that a heat-up is timed to

	house season.House
}

// onPaper is the name of a probe that a sketch may lack and a simulation needs.
const onPaper = "28-000000000000"

// Ready builds the simulated greenhouse; a cable to the element that is told by its length
// stands in place of element.cable. The error says what cannot be built.
func (s *Sketch) Ready() error {
	l, keys := s.File.Loop(), make(map[string]string)
	if l.Probes[greenhouse].ID == "" {
		keys["probes.greenhouse"] = onPaper
	}
	if c := l.Cables.Element; c.Length > 0 {
		keys["element.cable"] = c.Resistance().String()
	}
	f, _, err := s.File.Sketched(keys)
	if err != nil {
		return err
	}
	s.File = f
	site := agent.SunSite(s.File.Site)
	outdoors := s.Sky(site.Track()).At(s.Over.Start.Add(30 * time.Second)).Air
	house, err := agent.House(s.File, outdoors, 1)
	s.house = house
	return err
}

// changed is the sketch with keys of its file changed.
func (s *Sketch) changed(keys map[string]string) (*Sketch, error) {
	f, _, err := s.File.Sketched(keys)
	if err != nil {
		return nil, err
	}
	next := *s
	next.File = f
	return &next, next.Ready()
}

// Fly is the winter without heat (season.PolicyOff) or by the sketch's policy.
func (s *Sketch) Fly(policy string) (season.Flight, error) {
	on := s.File.Loop().Crop.Minimum
	f, err := season.Bench{House: s.house, Over: s.Over, Sky: s.Sky, On: &on}.Fly(policy)
	if err != nil {
		return f, fmt.Errorf("the winter by %s: %w", policy, err)
	}
	return f, nil
}

// winter says from when to when.
func (s *Sketch) winter() string {
	from := s.Over.Start.Add(s.Over.Offset)
	return from.Format("2 January") + " to " + from.AddDate(0, 0, s.Over.Days-1).Format("2 January")
}

// outcome of a flight of the sketch.
func (s *Sketch) outcome(f *season.Flight) season.Outcome {
	l := s.File.Loop()
	return f.Outcome(s.Over, l.Crop.Minimum, l.Tank.Hot)
}

func celsius(v float64) quantity.Celsius { return quantity.Celsius(v) }
