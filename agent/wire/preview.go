package wire

import "time"

// Preview is what changed settings would have done to the last nights, lived again by the
// twin. With faults nothing else is told.
type Preview struct {
	Units    string            `json:"units"`            // the grower's, si or us, in which the words are
	Faults   map[string]string `json:"faults,omitempty"` // what is wrong with a value, by key
	Changes  []SettingChange   `json:"changes,omitempty"`
	Twin     string            `json:"twin,omitempty"`      // by which greenhouse: TwinFitted, TwinLearned or TwinFile
	FittedOn *time.Time        `json:"fitted_on,omitempty"` // when that was fitted
	MinimumC *float64          `json:"minimum_c,omitempty"` // below which cold is counted: the crop's, as it stands
	OffK     *float64          `json:"off_k,omitempty"`     // root mean square of the replay as set now against the record, tunnel air
	Nights   []PreviewNight    `json:"nights"`
	LeftOut  []LeftOut         `json:"left_out,omitempty"`
	Tonight  string            `json:"tonight,omitempty"` // the outlook, changed
	Words    string            `json:"words,omitempty"`   // what the change would have done
}

// By which greenhouse nights are lived again.
const (
	TwinFitted  = "fitted"
	TwinLearned = "learned"
	TwinFile    = "file"
)

// PreviewNight is one night as recorded, lived again as set now, and as changed: the tunnel
// air's coldest, K²h of it below the crop's minimum, and Wh by pump and fans.
type PreviewNight struct {
	Night       string    `json:"night"` // the day on which it begins
	Noon        time.Time `json:"noon"`  // of that day
	RecordedC   float64   `json:"recorded_c"`
	AgainC      float64   `json:"again_c"`
	ThenC       float64   `json:"then_c"`
	AgainK2h    float64   `json:"again_k2h"`
	ThenK2h     float64   `json:"then_k2h"`
	AgainBelowS float64   `json:"again_below_s"` // for how long below that minimum
	ThenBelowS  float64   `json:"then_below_s"`
	AgainWh     float64   `json:"again_wh"`
	ThenWh      float64   `json:"then_wh"`
}

// LeftOut is a night that was not lived again.
type LeftOut struct {
	Night string    `json:"night"`
	Noon  time.Time `json:"noon"`
	Why   string    `json:"why"`
}
