package tuning

import (
	"fmt"
	"math"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/tune"
)

// turned is a knob with how its value is written in the greenhouse file.
type turned struct {
	tune.Knob
	write  func(float64) string
	usable func(f *config.File) bool // the file can use it
	now    func(l *config.Loop) float64
}

func kelvins(x float64) string  { return fmt.Sprintf("%g K", x) }
func percents(x float64) string { return fmt.Sprintf("%g %%", x) }
func minutes(x float64) string  { return fmt.Sprintf("%g s", math.Round(60*x)) }
func bare(x float64) string     { return fmt.Sprintf("%g", x) }
func celsius(x float64) string  { return fmt.Sprintf("%.4g °C", x) }

func always(*config.File) bool         { return true }
func byDifference(f *config.File) bool { return f.Loop().Carry.Spend != config.ByPlan }
func pumpDimmed(f *config.File) bool   { return f.Loop().Pump.Dim != config.NoDim }
func fansDimmed(f *config.File) bool   { return f.Loop().Fans.Dim != config.NoDim }

// leastReserve is how low a reserve may be tuned, %: lead-acid batteries last longest above half
// full and are harmed when often below about a third (common practice, no source); a lithium
// iron phosphate one bears more.
func leastReserve(l *config.Loop) float64 {
	if l.Battery.Chemistry.Kind == control.LFP {
		return 20
	}
	return 35
}

// table are all knobs, in the order in which they are told. The ranges are choices of ours.
func table(l *config.Loop) []turned {
	minimum := float64(l.Crop.Minimum)
	return []turned{
		{tune.Knob{Key: "carry.start_difference", Low: 3, High: 20, Step: 0.5}, kelvins, byDifference, func(l *config.Loop) float64 { return float64(l.Carry.Start) }},
		{tune.Knob{Key: "carry.stop_difference", Low: 1, High: 12, Step: 0.5}, kelvins, always, func(l *config.Loop) float64 { return float64(l.Carry.Stop) }},
		{tune.Knob{Key: "carry.worthwhile", Low: 0, High: 20, Step: 1}, bare, always, func(l *config.Loop) float64 { return float64(l.Carry.Worth) }},
		{tune.Knob{Key: "crop.comfortable", Low: minimum + 0.5, High: minimum + 9, Step: 0.5}, celsius, byDifference, func(l *config.Loop) float64 { return float64(l.Crop.Comfort) }},
		{tune.Knob{Key: "battery.reserve", Low: leastReserve(l), High: 80, Step: 5}, percents, always, func(l *config.Loop) float64 { return 100 * float64(l.Battery.Reserve) }},
		{tune.Knob{Key: "carry.minimum_run", Low: 2, High: 15, Step: 1}, minutes, always, func(l *config.Loop) float64 { return l.Carry.MinRun.Duration().Minutes() }},
		{tune.Knob{Key: "carry.minimum_rest", Low: 2, High: 30, Step: 1}, minutes, always, func(l *config.Loop) float64 { return l.Carry.MinRest.Duration().Minutes() }},
		{tune.Knob{Key: "pump.duty", Low: 30, High: 100, Step: 10}, percents, pumpDimmed, func(l *config.Loop) float64 { return 100 * float64(l.Pump.Duty) }},
		{tune.Knob{Key: "fans.duty", Low: 30, High: 100, Step: 10}, percents, fansDimmed, func(l *config.Loop) float64 { return 100 * float64(l.Fans.Duty) }},
	}
}

// knobs that a file can use, today's values in them.
func knobs(f *config.File) []turned {
	var all []turned
	l := f.Loop()
	for _, k := range table(l) {
		if k.usable(f) {
			k.Now = k.now(l)
			all = append(all, k)
		}
	}
	return all
}

// Changes are a set's settings that differ from today's, as they are written in the file.
func (b *Bench) Changes(set tune.Set) map[string]string {
	changed := make(map[string]string)
	for i := range b.knobs {
		if k := &b.knobs[i]; set[i] != k.Now {
			changed[k.Key] = k.write(set[i])
		}
		if k := &b.knobs[i]; k.Key == "carry.minimum_run" && 60*set[i] > b.file.Loop().Carry.StirFor.Duration().Seconds() {
			changed["carry.stir_for"] = k.write(set[i]) // no run is shorter than the shortest
		}
	}
	return changed
}

// Shown is a knob's value in the grower's units.
func (b *Bench) Shown(key string, x float64, u quantity.Units) string {
	for i := range b.knobs {
		if k := &b.knobs[i]; k.Key == key {
			switch text := k.write(x); {
			case key == "crop.comfortable":
				return quantity.Celsius(x).In(u)
			case key == "carry.start_difference" || key == "carry.stop_difference":
				return quantity.Kelvin(x).In(u)
			case key == "carry.minimum_run" || key == "carry.minimum_rest":
				return fmt.Sprintf("%g min", x)
			default:
				return text
			}
		}
	}
	return bare(x)
}
