package nightly

import (
	"time"

	"duskloop/control"
)

// Night is one, noon to noon.
type Night struct {
	Date        string    `json:"night"` // the day on which it begins
	From        time.Time `json:"from"`
	To          time.Time `json:"to"`
	Loop        string    `json:"loop"`
	Simulated   bool      `json:"simulated"`
	Running     bool      `json:"running"` // it is not over
	RecordedPct float64   `json:"recorded_pct"`
	Gaps        []Gap     `json:"gaps"`
	MinimumC    float64   `json:"minimum_c"` // of the crop, as it stood at dusk

	ColdestC  *float64   `json:"coldest_c,omitempty"` // tunnel air
	ColdestAt *time.Time `json:"coldest_at,omitempty"`
	Squared   *float64   `json:"squared_degree_hours,omitempty"` // K²h below the minimum, of what was recorded

	HeatWh      *float64 `json:"heat_wh,omitempty"`      // through the coil into the tunnel, reckoned
	GatheredWh  *float64 `json:"gathered_wh,omitempty"`  // the other way, from a warm tunnel into the tank
	TankGaveWh  *float64 `json:"tank_gave_wh,omitempty"` // from dusk to dawn: by its fall, less its standing loss
	HeatUnseenS float64  `json:"heat_unseen_s"`          // of running without tank or tunnel known: not in it
	CoilWPerK   float64  `json:"coil_w_per_k"`           // by which it is reckoned, at full duty
	BatteryWh   *float64 `json:"battery_wh,omitempty"`
	RanS        float64  `json:"pump_ran_s"`

	Dusk              *time.Time `json:"dusk,omitempty"`
	Dawn              *time.Time `json:"dawn,omitempty"`
	ChargeDuskPct     *float64   `json:"charge_dusk_pct,omitempty"`
	ChargeDuskBandPct *float64   `json:"charge_dusk_band_pct,omitempty"`
	ChargeDawnPct     *float64   `json:"charge_dawn_pct,omitempty"`
	ChargeDawnBandPct *float64   `json:"charge_dawn_band_pct,omitempty"`

	Expected *Expected `json:"expected,omitempty"` // by the plan, at dusk
	// What came of it: until when the tank could warm the tunnel, absent where it could
	// until morning, and the charge at the coldest.
	HeatLastedTo     *time.Time `json:"heat_lasted_to,omitempty"`
	ChargeColdestPct *float64   `json:"charge_at_coldest_pct,omitempty"`

	Twin       *Twin   `json:"twin,omitempty"`
	TwinSilent string  `json:"twin_cannot_say,omitempty"` // why there is none
	Alerts     []Alert `json:"alerts"`
}

// Gap is a stretch in which the tunnel's air was not recorded.
type Gap struct {
	From time.Time `json:"from"`
	To   time.Time `json:"to"`
}

// Expected is what the plan said nearest to dusk. Where no heat was needed, the coldest is
// that without heat, and no hour of it was told.
type Expected struct {
	ToldAt           time.Time  `json:"told_at"`
	Way              string     `json:"way"` // by which heat was spent: plan, floor or minimum
	Why              string     `json:"why_no_plan,omitempty"`
	HeatNeeded       bool       `json:"heat_needed"`
	ColdestC         *float64   `json:"coldest_c,omitempty"`
	ColdestLowC      *float64   `json:"coldest_low_c,omitempty"` // four nights in five fall between
	ColdestHighC     *float64   `json:"coldest_high_c,omitempty"`
	ColdestAt        *time.Time `json:"coldest_at,omitempty"`
	HeatLastsTo      *time.Time `json:"heat_lasts_to,omitempty"`
	ChargeColdestPct *float64   `json:"charge_at_coldest_pct,omitempty"`
}

// Twin is the night lived again by the small greenhouse from how it stood at its noon, and
// again at dusk: with pump and fans as they ran, to see how far off it is, and at rest. At
// rest means this one night: a bed that was never heated before would be colder yet. In nine
// simulated weeks of the large plant, with probes that are off by 0.15 K each, what heat avoided
// was told 14 % too low to 6 % too high, in a tenth, mild one 11 K²h in place of 16; in one of
// the richer plant 4 % too low, in one of the demo, whose air is light, 17 % too low. All of it is of the time that is recorded.
//
// What heat avoided is taken between the two, not from the record: where the twin is too cold
// or too warm, both are, and where nothing ran both are the same.
type Twin struct {
	By             string  `json:"by"`    // record: learned from the week before; file: the greenhouse file's
	OffK           float64 `json:"off_k"` // as it ran, from the recorded tunnel air, root mean square
	SquaredAsItRan float64 `json:"squared_degree_hours_as_it_ran"`
	ColdestC       float64 `json:"coldest_without_heat_c"`
	Squared        float64 `json:"squared_degree_hours_without_heat"`
	Avoided        float64 `json:"squared_degree_hours_avoided"` // without heat, less as it ran
}

// Alert is one that was in force, and for how long of what is recorded.
type Alert struct {
	Code     string           `json:"code"`
	Place    string           `json:"place,omitempty"`
	Severity control.Severity `json:"severity"`
	LastedS  float64          `json:"lasted_s"`
}

// Enough is the share of a night that must be recorded for its figures to be taken for the
// night's. Our choice.
const Enough = 0.9

// Whole says that enough of the night, or of what there is of it yet, is recorded.
func (n *Night) Whole() bool { return n.RecordedPct >= 100*Enough }

// Relived takes what a twin made of the night, and reckons what heat avoided: the twin's cold at
// rest, less its cold as it ran. It is called of a night with tunnel air only.
func (n *Night) Relived(t Twin) {
	t.OffK, t.ColdestC = rounded(t.OffK, 2), rounded(t.ColdestC, 2)
	t.SquaredAsItRan, t.Squared = rounded(t.SquaredAsItRan, 2), rounded(t.Squared, 2)
	t.Avoided = rounded(t.Squared-t.SquaredAsItRan, 2)
	n.Twin = &t
}
