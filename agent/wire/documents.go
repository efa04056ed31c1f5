package wire

import (
	"time"

	"duskloop/control"
)

// Head stands at the beginning of every document of a loop.
type Head struct {
	Time      time.Time `json:"time"`
	Loop      string    `json:"loop"`
	Simulated bool      `json:"simulated"`
}

// Decision says what the loop does and why.
type Decision struct {
	Head
	Mode      control.Mode   `json:"mode"`
	Reason    control.Reason `json:"reason"`
	Words     string         `json:"words"`
	Pump      float64        `json:"pump"`      // duty, 0 to 1
	Fans      float64        `json:"fans"`      // duty, 0 to 1
	Contactor string         `json:"contactor"` // closed, open or none
	Charger   string         `json:"charger"`   // of the battery: held-off, free or none
	Buzzer    bool           `json:"buzzer"`
	WatchOnly bool           `json:"watch_only"`
	TankC     *float64       `json:"tank_c,omitempty"` // absent when not known
	TunnelC   *float64       `json:"tunnel_c,omitempty"`
	ChargePct *float64       `json:"charge_pct,omitempty"`
	BandPct   *float64       `json:"charge_band_pct,omitempty"`
}

// Tonight says what the night should bring and what that rests on. What is not known, or
// does not come, is absent.
type Tonight struct {
	Head
	Way          string     `json:"way"` // by which heat is spent: plan, floor or minimum
	Words        string     `json:"words"`
	Why          string     `json:"why_no_plan,omitempty"`
	HeatNeeded   bool       `json:"heat_needed"`
	NoHeat       string     `json:"no_heat,omitempty"` // what keeps all heat from the tunnel: held-by-hand, watch-only or a reason
	NoHeatUntil  *time.Time `json:"no_heat_until,omitempty"`
	ColdestC     *float64   `json:"coldest_c,omitempty"`     // of the tunnel, with the heat that is planned
	ColdestLowC  *float64   `json:"coldest_low_c,omitempty"` // four nights in five fall between
	ColdestHighC *float64   `json:"coldest_high_c,omitempty"`
	ColdestAt    *time.Time `json:"coldest_at,omitempty"`
	UnheatedC    *float64   `json:"unheated_c,omitempty"`
	HeatLastsTo  *time.Time `json:"heat_lasts_to,omitempty"`
	NextFrom     *time.Time `json:"next_from,omitempty"` // the next spell of heat
	NextTo       *time.Time `json:"next_to,omitempty"`
	HeatLeftWh   *float64   `json:"heat_left_wh,omitempty"`
	HeatWantedWh *float64   `json:"heat_wanted_wh,omitempty"`
	ChargePct    *float64   `json:"charge_pct,omitempty"`
	ChargeThen   *float64   `json:"charge_then_pct,omitempty"` // at the coldest
	Nights       int        `json:"nights_remembered"`
	RestsOn      string     `json:"rests_on"` // outlook or forecast
	OutlookOffK  *float64   `json:"outlook_off_k,omitempty"`
	ForecastOffK *float64   `json:"forecast_off_k,omitempty"`
	Learned      []Learned  `json:"learned,omitempty"`
}

// Learned is a figure of the greenhouse that was learned from the record.
type Learned struct {
	Name     string  `json:"name"`
	Unit     string  `json:"unit"`
	ByFile   float64 `json:"by_file"` // as the greenhouse file has it
	ByRecord float64 `json:"by_record"`
	WidthPct float64 `json:"width_pct"` // one standard deviation
}

// Alert says that an alert was raised, repeated or cleared, and which alerts
// are in force now.
type Alert struct {
	Head
	Code     string           `json:"code"`
	Place    string           `json:"place,omitempty"`
	Change   string           `json:"change"` // raised, repeated or cleared
	Severity control.Severity `json:"severity"`
	Text     string           `json:"text"`
	Active   []Active         `json:"active"`
}

// Active is one alert in force.
type Active struct {
	Code     string           `json:"code"`
	Place    string           `json:"place,omitempty"`
	Severity control.Severity `json:"severity"`
	Text     string           `json:"text"`
}

// Alerts lists the alerts in force, for a late subscriber.
type Alerts struct {
	Head
	Active []Active `json:"active"`
}

// Change says that settings were changed, or something was asked for by hand.
type Change struct {
	Head
	Who     string         `json:"who"`
	Setting *SettingChange `json:"setting,omitempty"`
	Hand    *HandChange    `json:"hand,omitempty"`
}

// SettingChange is one setting from one value to another, each with its unit.
type SettingChange struct {
	Key  string `json:"key"`
	From string `json:"from"`
	To   string `json:"to"`
}

// HandChange is one order by hand.
type HandChange struct {
	Order string  `json:"order"`
	ForS  float64 `json:"for_s"`
}

// Answer says whether a command was accepted.
type Answer struct {
	Head
	ID       string          `json:"id"`
	Accepted bool            `json:"accepted"`
	Reason   string          `json:"reason"` // why not, or what was done
	Changes  []SettingChange `json:"changes,omitempty"`
	Settings []Setting       `json:"settings,omitempty"` // for a command that asks for them
	Spend    string          `json:"spend,omitempty"`    // by what heat is spent, beside the settings
	Readings *Report         `json:"readings,omitempty"` // likewise
	Preview  *Preview        `json:"preview,omitempty"`  // likewise
}

// Report is what a cycle read at the places that have a probe, and of the panel where its
// voltage is measured.
type Report struct {
	At      time.Time  `json:"at"` // of the cycle
	PeriodS float64    `json:"period_s"`
	Places  []Reported `json:"places"`
	Panel   *Reported  `json:"panel,omitempty"`
}

// Reported is the last believed value of a place, °C, or of the panel, V, with its age. It is
// fresh where the latest attempt was believed and is not old.
type Reported struct {
	Place   string   `json:"place"`
	V       *float64 `json:"value,omitempty"`
	AgeS    float64  `json:"age_s"`
	Fresh   bool     `json:"fresh"`
	Trouble string   `json:"trouble,omitempty"`
}

// Setting is one setting that may be changed while running.
type Setting struct {
	Key   string `json:"key"`
	Value string `json:"value"`
}

// Presence says whether the daemon is there.
type Presence struct {
	Presence  string    `json:"presence"` // online or offline
	Time      time.Time `json:"time"`
	Simulated bool      `json:"simulated"`
}

// Daemon says what happened to the daemon itself: started, stopped, rows that
// had to be dropped.
type Daemon struct {
	Head
	What  string `json:"what"`
	Count int64  `json:"count,omitempty"`
	Text  string `json:"text"`
}

// Heartbeat goes out only after a full successful cycle: readings taken,
// decided, applied and recorded.
type Heartbeat struct {
	Head
	Cycle int64 `json:"cycle"`
}
