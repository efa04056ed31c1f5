package control

import (
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// Settings is everything the grower chose or the greenhouse file derives. Its
// values have been checked against each other by whoever builds it; the fields
// carry no defaults of their own.
type Settings struct {
	Units      quantity.Units // for the texts of alerts and reasons
	StaleAfter time.Duration  // a place is unknown once its last believed reading is older

	Tank    TankLimits
	Element Element
	Crop    CropLimits
	Carry   Carry
	Frost   Frost
	Battery Battery
	Proof   Proof
	Fitted  Fitted
}

// Fitted says what hardware the loop has beside tank probe, pump and fans.
type Fitted struct {
	Places    [Places]bool // which places have a probe
	Contactor bool         // the element can be disconnected
	Charger   bool         // the battery's charger can be held off
	Level     bool         // a level switch is in the tank
}

// TankLimits are the temperatures at which the tank must be answered.
type TankLimits struct {
	Hot        quantity.Celsius // contactor opens, heat is shed
	Danger     quantity.Celsius // heat is shed even into a hot tunnel
	Hysteresis quantity.Kelvin  // both end this far below
	MinOpen    time.Duration    // contactor stays open at least so long
}

// Element is the heater in the tank and what it should do in the sun.
type Element struct {
	Resistance quantity.Ohm  // 0: nothing is made of a panel's voltage
	Cable      quantity.Ohm  // both ways
	FullSun    quantity.Watt // taken at 1000 W/m²
	Bright     quantity.Watt // taken at 400 W/m²
	// Sign is the current into the battery that its own panel gives only where the sun
	// is at least that bright; 0 without such a panel.
	Sign quantity.Ampere
	Heat quantity.JoulePerKelvin // of the tank and what is in it
	Loss quantity.WattPerKelvin  // of the tank at rest
}

// CropLimits are tunnel air temperatures.
type CropLimits struct {
	Minimum quantity.Celsius // below it comfort heat starts whatever the start difference
	Comfort quantity.Celsius // above it comfort heat is kept for later
	Maximum quantity.Celsius // above it shedding waits until the tank is in danger
	// Harm is where cold does lasting harm, at most Minimum: a minute at air below
	// Minimum weighs (Minimum - air)² (1 + max(0, Harm - air) / 1 K). How fast harm grows
	// is our choice. No rule that switches asks for it yet.
	Harm quantity.Celsius
}

// Carry shapes the carrying of heat from tank to tunnel.
type Carry struct {
	Start, Stop quantity.Kelvin        // tank less tunnel air
	Worth       float64                // heat moved per electrical watt below which it stops
	Conductance quantity.WattPerKelvin // coil, at full duty: heat per kelvin of difference
	Draw        quantity.Watt          // pump and fans together
	MinRun      time.Duration          // comfort only
	MinRest     time.Duration          // comfort only
	SafetyMin   time.Duration          // safety's own short minimum, run and rest
	FanMargin   quantity.Kelvin        // fans need the coil this much warmer than the air
	FanOverrun  time.Duration
	StirEvery   time.Duration   // while the element heats
	StirFor     time.Duration   // at least MinRun
	StirRise    quantity.Kelvin // rise in ten minutes that shows the element heating
	// Drive is how pump and fans answer to a plan: at full speed for a share of the time,
	// or slower.
	Drive    night.Drive
	PumpDuty quantity.Share
	FanDuty  quantity.Share
}

// Frost guards the liquid itself.
type Frost struct {
	Freezing quantity.Celsius // of the mix
	Margin   quantity.Kelvin  // guard starts this far above it
}

// Chemistry names a kind of 12 V battery.
type Chemistry int

// The kinds of battery whose rest-voltage curves are known.
const (
	Flooded Chemistry = iota // flooded lead-acid
	AGM                      // absorbed-glass-mat lead-acid
	LFP                      // lithium iron phosphate, four cells
)

// Battery describes the 12 V battery and where it is spared.
type Battery struct {
	Chemistry  Chemistry
	Capacity   quantity.AmpereHour
	Resistance quantity.Ohm   // internal, with its leads up to the meter
	Reserve    quantity.Share // below: comfort waits
	Recovery   quantity.Share // reserve ends this far above
	CutOff     quantity.Volt  // load-compensated, held for Delay: all stops
	Reconnect  quantity.Volt  // load-compensated, held for Delay: may run again
	Delay      time.Duration
	BlindAfter time.Duration // last voltage older than this counts as below cut-off
	// RestDraw flows out of it when pump and fans are off and no sun shines; measured,
	// where RestKnown says so.
	RestDraw  quantity.Ampere
	RestKnown bool
	// Where it stands: the probe there tells its temperature. Without Placed, or while
	// that probe is not known, it counts as warm.
	Where  Place
	Placed bool
}

// Proof is how the loop must show that it moves liquid after a start.
type Proof struct {
	Within      time.Duration   // time given
	Difference  quantity.Kelvin // tank to coil at the start, for proof by temperature
	Tries       int             // failures in a row before it is halted
	TryEvery    time.Duration
	PumpCurrent quantity.Ampere // drawn from the battery; 0 means not judged by current
	FanCurrent  quantity.Ampere // both fans
}

// stopDifference is where carrying stops: the grower's stop difference, or
// where the heat moved per electrical watt falls under Worth, whichever is
// larger: G·ΔT/P >= K gives ΔT = K·P/G (first law; the worthwhile-heat floor).
func (c Carry) stopDifference() quantity.Kelvin {
	if c.Conductance <= 0 {
		return c.Stop
	}
	worth := quantity.Kelvin(c.Worth * float64(c.Draw) / float64(c.Conductance))
	return max(c.Stop, worth)
}

// StopDifference is the tank-to-tunnel difference at which carrying ends: the
// grower's, or the one below which the heat is not worth the watts.
func (s *Settings) StopDifference() quantity.Kelvin { return s.Carry.stopDifference() }
