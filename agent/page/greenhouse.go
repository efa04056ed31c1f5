package page

import (
	"context"
	"io"
	"time"

	"duskloop/agent/picture"
	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// Greenhouse is what the page asks of the daemon. Its methods may be called from any
// goroutine, and wait for nothing that the loop does but Submit, which is answered between
// two ticks.
type Greenhouse interface {
	// Submit hands a command to the loop, as it comes by MQTT.
	Submit(ctx context.Context, command []byte, who string) (wire.Answer, error)
	// Night draws from one noon to the next about a time, with what is expected yet.
	Night(ctx context.Context, m *Moment, f Figures) (picture.Picture, error)
	// Day draws one that is over, or as far as it came.
	Day(ctx context.Context, day time.Time, f Figures) (picture.Picture, error)
	// Days are the last so many, the latest first.
	Days(ctx context.Context, before time.Time, n int) ([]Day, error)
	// Export writes readings, or events, of a time range as CSV.
	Export(ctx context.Context, w io.Writer, from, to time.Time, events bool) error
	// Seek says that somebody looks at the devices on the bus: for a while the moments have
	// those too that the file does not name.
	Seek()
	// Settings that may be changed, with the values in units.
	Settings(u quantity.Units) []Setting
	// Same says whether two texts give a setting the same value, in whichever units.
	Same(name, a, b string) bool
	// Stands says whether a text is a setting's present value, in whichever units.
	Stands(name, text string) bool
	// Preview says what changed settings would have done; the values' faults are by key.
	Preview(ctx context.Context, changed map[string]string, u quantity.Units) (Preview, error)
}

// Figures are how a browser wants them.
type Figures struct {
	Units quantity.Units
	Half  bool // a 12-hour clock
}

// Day is one, noon to noon, in figures.
type Day struct {
	Noon            time.Time
	Coldest         quantity.Celsius // tunnel
	ColdestAt       time.Time
	Known           bool // any of it was recorded
	Ran             time.Duration
	Squared         float64          // K²h below the crop's minimum
	Lowest, Highest quantity.Celsius // tunnel
}

// Setting is one that may be changed.
type Setting struct {
	Name, About    string // its key, as crop.minimum, and what it does
	Value, Allowed string
}

// Change is a setting's value as it stands and as it would.
type Change struct{ Name, From, To string }

// Preview is what changed settings would have done.
type Preview struct {
	Faults  map[string]string // by key; with any, nothing else is told
	Changes []Change
	Nights  []Replayed
	Tonight string   // the outlook with the settings changed, a sentence; may be empty
	Words   []string // what the change would have done, how far to believe it, what is left out
}

// Replayed is one night as it was, as the replay has it, and with the change.
type Replayed struct {
	Noon                      time.Time
	Was, Again, Then          quantity.Celsius // coldest tunnel air: recorded, replayed, changed
	SquaredAgain, SquaredThen float64          // K²h below today's minimum
	BelowAgain, BelowThen     time.Duration    // for how long it was below it
	WhAgain, WhThen           float64          // drawn by pump and fans
}
