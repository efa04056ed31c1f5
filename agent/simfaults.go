package agent

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

func toShare(v float64) quantity.Share { return quantity.Share(v) }

// Fault is a failure on demand in the simulated greenhouse, from a time after
// the start until the end.
type Fault struct {
	Name string
	At   time.Duration
}

// faultNames are the failures that can be asked for.
var faultNames = []string{"probe-lost", "meter-lost", "pump-stuck", "fan-dead", "cloud-week", "panel-covered", "element-dead", "contactor-welded", "level-low"}

// Set reads "NAME" or "NAME@HOURS", and for probe-lost "probe-lost:PLACE@HOURS".
func (f *Fault) Set(text string) error {
	name, at, timed := strings.Cut(text, "@")
	kind, place, placed := strings.Cut(name, ":")
	if !slices.Contains(faultNames, kind) {
		return fmt.Errorf("no fault is called %q; there are %s", kind, strings.Join(faultNames, ", "))
	}
	if placed != (kind == "probe-lost") {
		return fmt.Errorf("write probe-lost:PLACE, and no place for other faults")
	}
	if placed {
		if _, err := placeCalled(place); err != nil {
			return err
		}
	}
	f.Name, f.At = name, 0
	if !timed {
		return nil
	}
	hours, err := strconv.ParseFloat(strings.TrimSuffix(at, "h"), 64)
	if err != nil || !(hours >= 0 && hours < 1e5) {
		return fmt.Errorf("write the hours after the start, as pump-stuck@6, not %q", at)
	}
	f.At = time.Duration(hours * float64(time.Hour))
	return nil
}

func placeCalled(word string) (control.Place, error) {
	for p := range control.Places {
		if p.String() == word {
			return p, nil
		}
	}
	return 0, fmt.Errorf("no place is called %q", word)
}

// fail brings the faults into force whose time has come.
func (g *Greenhouse) fail(faults []Fault, passed time.Duration) {
	var broken plant.Faults
	for _, f := range faults {
		if passed < f.At {
			continue
		}
		kind, place, _ := strings.Cut(f.Name, ":")
		switch kind {
		case "probe-lost":
			p, _ := placeCalled(place) // checked when it was read
			g.probes.Lose(placeOf(p), true)
		case "meter-lost":
			g.probes.LoseMeter(true)
		case "pump-stuck":
			broken.PumpStuck = true
		case "fan-dead":
			broken.FanDead = true
		case "panel-covered":
			broken.PanelCovered = true
		case "contactor-welded":
			broken.ContactorWelded = true
		case "element-dead":
			broken.ElementDead = true
		case "level-low":
			g.level = control.LevelLow
		case "cloud-week":
			g.clouds(f.At)
		}
	}
	g.plant.SetFaults(broken)
}

// clouds covers the sky for a week from a time after the start.
func (g *Greenhouse) clouds(at time.Duration) {
	if g.clouded {
		return
	}
	g.clouded = true
	if gen, ok := g.sky.(*weather.Generator); ok {
		gen.Overcast(g.start.Add(at), 7*24*time.Hour)
	}
}

// FaultNames are the failures that can be asked for, for help texts.
func FaultNames() string { return strings.Join(faultNames, ", ") }
