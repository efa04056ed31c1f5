package control

import "fmt"

// Mode is what the loop is doing, in one word.
//
//	               ┌───────────── any mode ─────────────┐
//	grower holds   │   a stop    tank hot   coil near   │
//	               ▼             ▼          freezing    ▼
//	  held       halted       shedding              guarding
//	               │             │                     │
//	               └── cause gone: the rules below ◀───┘
//	                             │
//	 battery at reserve ┌────────┼────────────┐ grower runs it
//	                    ▼        ▼            ▼
//	                 sparing   resting ──▶  byhand
//	                    │      ▲  │ ▲  start difference or cold crop
//	                    │      │  ▼ │
//	                    └────▶ carrying      resting ──▶ stirring ──▶ resting
//
// The upper row wins over the lower in the order held, halted, shedding,
// guarding, sparing, byhand, carrying, stirring, resting. Nothing remembers a
// mode to decide the next one except through hysteresis (hot, sparing,
// carrying) and minimum times, so every mode can follow every other.
type Mode int

// The modes. The zero value is the safe one.
const (
	Resting  Mode = iota // nothing needs to run
	Carrying             // heat goes to the tunnel for the crop
	Shedding             // heat goes to the tunnel because the tank is hot
	Guarding             // warm liquid goes through a coil that is near freezing
	Stirring             // a short run mixes the tank while the element heats
	Sparing              // battery at its reserve: comfort waits
	Halted               // a stop holds pump and fans
	Held                 // the grower holds everything off
	ByHand               // the grower runs it for a stated time
	modes                // how many there are
)

var modeWords = [modes]string{
	"resting", "carrying", "shedding", "guarding", "stirring", "sparing", "halted", "held", "by-hand",
}

// String is the mode's word in log, record, message and page.
func (m Mode) String() string {
	if m < 0 || m >= modes {
		return modeWords[Resting]
	}
	return modeWords[m]
}

// MarshalText writes the word.
func (m Mode) MarshalText() ([]byte, error) { return []byte(m.String()), nil }

// UnmarshalText reads the word; an unknown one is an error.
func (m *Mode) UnmarshalText(text []byte) error {
	for i, w := range modeWords {
		if w == string(text) {
			*m = Mode(i)
			return nil
		}
	}
	return fmt.Errorf("no mode is called %q", text)
}
