package tuning

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/tune"
)

// turned is a knob with how its value is written in the greenhouse file.
type turned struct {
	tune.Knob
	write  func(float64, quantity.Units) string // as a file takes it
	usable func(f *config.File) bool            // the file can use it
	now    func(r *rules) float64
}

// rules are what a file's loop runs by, with the plan's own figures where the file leaves
// them to the plant.
type rules struct {
	*config.Loop
	plan night.Wishes
}

func kelvins(x float64, u quantity.Units) string  { return quantity.Kelvin(x).In(u) }
func celsius(x float64, u quantity.Units) string  { return quantity.Celsius(x).In(u) }
func percents(x float64, _ quantity.Units) string { return fmt.Sprintf("%.4g %%", x) }
func minutes(x float64, _ quantity.Units) string  { return fmt.Sprintf("%.4g min", x) }
func hours(x float64, _ quantity.Units) string    { return fmt.Sprintf("%.4g h", x) }
func bare(x float64, _ quantity.Units) string     { return fmt.Sprintf("%.4g", x) }

func always(*config.File) bool         { return true }
func byPlan(f *config.File) bool       { return f.Loop().Carry.Spend == config.ByPlan }
func byDifference(f *config.File) bool { return !byPlan(f) }
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

// slotHours is a step of the plan.
const slotHours = night.Step / 3600.0

// table are all knobs, in the order in which they are told. The ranges are choices of ours.
func table(l *config.Loop) []turned {
	minimum := float64(l.Crop.Minimum)
	return []turned{
		{tune.Knob{Key: "carry.start_difference", Low: 3, High: 20, Step: 0.5}, kelvins, byDifference, func(r *rules) float64 { return float64(r.Carry.Start) }},
		{tune.Knob{Key: "carry.stop_difference", Low: 1, High: 12, Step: 0.5}, kelvins, always, func(r *rules) float64 { return float64(r.Carry.Stop) }},
		{tune.Knob{Key: "carry.worthwhile", Low: 0, High: 20, Step: 1}, bare, always, func(r *rules) float64 { return float64(r.Carry.Worth) }},
		{tune.Knob{Key: "crop.comfortable", Low: minimum + 0.5, High: minimum + 9, Step: 0.5}, celsius, byDifference, func(r *rules) float64 { return float64(r.Crop.Comfort) }},
		{tune.Knob{Key: "plan.margin", Low: 0, High: 2, Step: 0.1}, kelvins, byPlan, func(r *rules) float64 { return r.plan.Margin }},
		{tune.Knob{Key: "plan.thrift", Low: 0.01, High: 0.5, Step: 0.01}, bare, byPlan, func(r *rules) float64 { return r.plan.Thrift }},
		{tune.Knob{Key: "plan.ahead", Low: 12, High: 42, Step: 3}, hours, byPlan, func(r *rules) float64 { return slotHours * float64(r.plan.Horizon) }},
		{tune.Knob{Key: "battery.reserve", Low: leastReserve(l), High: 80, Step: 5}, percents, always, func(r *rules) float64 { return 100 * float64(r.Battery.Reserve) }},
		{tune.Knob{Key: "carry.minimum_run", Low: 2, High: 15, Step: 1}, minutes, always, func(r *rules) float64 { return r.Carry.MinRun.Duration().Minutes() }},
		{tune.Knob{Key: "carry.minimum_rest", Low: 2, High: 30, Step: 1}, minutes, always, func(r *rules) float64 { return r.Carry.MinRest.Duration().Minutes() }},
		{tune.Knob{Key: "pump.duty", Low: 30, High: 100, Step: 10}, percents, pumpDimmed, func(r *rules) float64 { return 100 * float64(r.Pump.Duty) }},
		{tune.Knob{Key: "fans.duty", Low: 30, High: 100, Step: 10}, percents, fansDimmed, func(r *rules) float64 { return 100 * float64(r.Fans.Duty) }},
	}
}

// rulesOf a file. The error says why no plan can be made for its greenhouse.
func rulesOf(f *config.File) (*rules, error) {
	s, _, err := agent.Planner(f)
	return &rules{f.Loop(), s.Wishes}, err
}

// knobs that a file can use, today's values in them.
func knobs(f *config.File) ([]turned, error) {
	r, err := rulesOf(f)
	if err != nil {
		return nil, err
	}
	var all []turned
	for _, k := range table(r.Loop) {
		if k.usable(f) {
			k.Now = k.now(r)
			all = append(all, k)
		}
	}
	return all, nil
}

// Changes are a set's settings that differ from today's, as they are written in the file, in
// its units.
func (b *Bench) Changes(set tune.Set) map[string]string {
	changed, u := make(map[string]string), b.file.Site.Units
	for i := range b.knobs {
		k := &b.knobs[i]
		if set[i] == k.Now {
			continue
		}
		changed[k.Key] = k.write(set[i], u)
		if k.Key == "carry.minimum_run" && 60*set[i] > b.file.Loop().Carry.StirFor.Duration().Seconds() {
			changed["carry.stir_for"] = changed[k.Key] // no run is shorter than the shortest
		}
	}
	return changed
}

// Shown is a knob's value in some units.
func (b *Bench) Shown(key string, x float64, u quantity.Units) string {
	for i := range b.knobs {
		if k := &b.knobs[i]; k.Key == key {
			return k.write(x, u)
		}
	}
	return bare(x, u)
}

// Snippet are the lines of a set for the greenhouse file, by its tables.
func (b *Bench) Snippet(set tune.Set) string {
	changed, tables := b.Changes(set), make(map[string][]string)
	for _, key := range slices.Sorted(maps.Keys(changed)) {
		table, _, _ := strings.Cut(key, ".")
		tables[table] = append(tables[table], config.Assigned(key, changed[key]))
	}
	var out strings.Builder
	for _, table := range slices.Sorted(maps.Keys(tables)) {
		fmt.Fprintf(&out, "[loop.%s.%s]\n%s\n", b.file.Loop().Name, table, strings.Join(tables[table], "\n"))
	}
	return out.String()
}
