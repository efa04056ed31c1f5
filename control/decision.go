package control

import (
	"fmt"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// Outputs is what is switched. The zero value is the inert state: pump and
// fans off, contactor open, buzzer silent.
type Outputs struct {
	Pump   quantity.Share // duty, 0 to 1
	Fans   quantity.Share // duty, 0 to 1
	Closed bool           // element contactor closed: the panel heats the element
	Buzzer bool
	// ChargerOff holds the battery's charger off.
	ChargerOff bool
}

// Decision is what one step decided and why. Wanted and Outputs differ only
// while the grower has asked to watch only.
type Decision struct {
	Mode    Mode
	Reason  Reason
	Wanted  Outputs
	Outputs Outputs
	Facts   Facts
	Changes []AlertChange // raised, repeated or cleared in this step; nil if none
}

// Facts are the numbers behind the reason.
type Facts struct {
	Tank, Air, Coil       quantity.Celsius
	TankOK, AirOK, CoilOK bool // known; Air stands at the crop's minimum when not
	Difference            quantity.Kelvin
	StopAt                quantity.Kelvin // the difference at which carrying ends
	Rest                  quantity.Volt   // battery voltage freed of load
	RestOK                bool
	Charge, Band          quantity.Share
	Zero                  quantity.Ampere // what the battery's meter says when nothing flows, as learned
	ChargeOK              bool
	Heating               quantity.Watt // by the panel's voltage
	HeatingOK             bool
	Reserve               quantity.Share // of the charge, as it stands
	Tonight               night.Advice
	Barred                Barred // no heat comes, whatever Tonight has
	FansBlocked, Overrun  bool   // fans wait for a warm coil; fans finish the coil's heat
	Watching              bool   // watch only: pump and fans are not switched
	Rising, Sparing       bool
}

// Same says whether two decisions would look the same to a reader: equal mode,
// reason and outputs. Numbers may differ.
func (d Decision) Same(other Decision) bool {
	return d.Mode == other.Mode && d.Reason == other.Reason &&
		d.Wanted == other.Wanted && d.Outputs == other.Outputs &&
		d.Facts.Watching == other.Facts.Watching
}

// Explain says the reason with its numbers in the grower's units.
func (d Decision) Explain(u quantity.Units) string {
	words := d.Reason.Words()
	f := d.Facts
	switch d.Reason {
	case Difference, NotWorth, TankCool, CropCold, WarmEnough:
		words += fmt.Sprintf(" (tank %s, tunnel %s, difference %s, stops at %s)",
			place(f.Tank, f.TankOK, u), place(f.Air, f.AirOK, u), f.Difference.In(u), f.StopAt.In(u))
	case TankHot, TankDanger, TankHotWaits:
		words += fmt.Sprintf(" (tank %s, tunnel %s)", place(f.Tank, f.TankOK, u), place(f.Air, f.AirOK, u))
	case BatteryCutOff, BatteryReserve:
		words += fmt.Sprintf(" (%s, %s freed of load)", chargeText(f), f.Rest)
	}
	if f.Barred.By == NotBarred { // a plan that is not followed explains nothing
		words += planWords(d.Reason, &f.Tonight, u)
	}
	if f.Watching && d.Wanted != d.Outputs {
		words += "; watch only: pump and fans are left as they are"
	}
	if f.Overrun {
		words += "; fans finish the coil's heat"
	}
	return words
}

func place(c quantity.Celsius, ok bool, u quantity.Units) string {
	if !ok {
		return "not known"
	}
	return c.In(u)
}

func chargeText(f Facts) string {
	if !f.ChargeOK {
		return "charge not known"
	}
	return fmt.Sprintf("charge %.0f %% ± %.0f", float64(f.Charge)*100, float64(f.Band)*100)
}
