package control

import (
	"fmt"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// Texts of the alert table: the numbers, and what to do. They are read in the
// cold on a phone, so the action stands in every one of them.

// Scalds is the one wording of what hot liquid does, wherever somebody may come near it.
// Source: common practice for hot-water supply; from memory, unverified.
const Scalds = "liquid above 60 °C (140 °F) scalds in seconds"

const cautionHot = " Keep away from the vessel's lid and fittings; " + Scalds + ". The thermal cut-out and the relief valve are the safeguard, not this program."

func tankDangerText(v *view) string {
	return fmt.Sprintf("Tank dangerously hot: %s (limit %s%s). %s Cover the panel or open its DC switch, and open the tunnel.%s",
		v.tempOf(v.tank), v.s.Tank.Danger.In(v.s.Units), v.held(v.tank, v.s.Tank.Danger), v.hotAnswer(), cautionHot)
}

// held says that an alert stays although a value is below its limit again.
func (v *view) held(k known, limit quantity.Celsius) string {
	if k.ok && k.c < limit {
		return "; it was above and is not yet clear of it"
	}
	return ""
}

func tankHotText(v *view) string {
	return fmt.Sprintf("Tank hot: %s (limit %s%s). %s%s",
		v.tempOf(v.tank), v.s.Tank.Hot.In(v.s.Units), v.held(v.tank, v.s.Tank.Hot), v.hotAnswer(), cautionHot)
}

// hotAnswer says what is being done about a hot tank, and what is not.
func (v *view) hotAnswer() string {
	var b strings.Builder
	if v.s.Fitted.Contactor {
		b.WriteString("The element's contactor is open.")
	} else {
		b.WriteString("There is no contactor: the panel goes on heating.")
	}
	switch {
	case v.st.Hand.Hold > 0:
		b.WriteString(" Heat is NOT being shed: everything is held off by hand.")
	case v.st.Hand.Watch > 0:
		b.WriteString(" Heat is NOT being shed: watch only.")
	case v.st.Mode == Shedding:
		b.WriteString(" Heat is being shed into the tunnel.")
	case v.st.Mode == Halted:
		b.WriteString(" Heat is NOT being shed: " + v.st.Reason.Words() + ".")
	case v.st.Hot.Tunnel:
		b.WriteString(" Shedding waits because the tunnel is above the crop's maximum: open the tunnel.")
	}
	return b.String()
}

func tankUnknownText(v *view) string {
	t := v.in.Places[Tank]
	last := "It has not been read since the start."
	switch {
	case v.suspectHot():
		last = fmt.Sprintf("A reading of %s came that is not believed, and may be true.", t.Suspect.In(v.s.Units))
	case t.Ever:
		last = fmt.Sprintf("Last believed %s, %s ago.", t.Value.In(v.s.Units), round(t.Age))
	}
	return fmt.Sprintf("Tank temperature not known%s. %s It is treated as hot. %s Look at the tank and its probe; in sun, cover the panel.%s",
		because(t.Cause), last, contactorText(v), cautionHot)
}

func contactorText(v *view) string {
	if v.s.Fitted.Contactor {
		return "The element's contactor is open."
	}
	return "There is no contactor: the panel goes on heating."
}

func levelLowText(v *view) string {
	return "Tank level low: an uncovered element burns. The pump is stopped. " + contactorText(v) +
		" Open the panel's DC switch, let the tank cool, then look for the leak and refill."
}

func cutOffText(v *view) string {
	return fmt.Sprintf("Battery cut off: %s freed of load, cut-off %s%s. Pump and fans stay off until it holds %s. Charge it or look at its panel and fuse.",
		v.rest.v, v.floors.cutOff, v.raised(), v.floors.reconnect)
}

// raised says that the cold has moved the battery's floors.
func (v *view) raised() string {
	if v.floors.cutOff == v.s.Battery.CutOff {
		return ""
	}
	return fmt.Sprintf(" (raised from %s, because the battery is at %s: cold it gives less, and low it can freeze)", v.s.Battery.CutOff, v.cell.c.In(v.s.Units))
}

func coldChargeText(v *view) string {
	held := ""
	if v.st.Charger.Off {
		held = " Its charger is held off by this program, and current flows all the same: look at that wiring."
	}
	return fmt.Sprintf("Battery too cold to charge: it is at %s and takes %s. Charging LiFePO4 below 0 °C (32 °F) harms it for good.%s Open the switch of its panel, or warm it; its own protection should refuse, do not rely on this program.",
		v.cell.c.In(v.s.Units), v.in.Meter.Amps, held)
}

func batteryLowText(v *view) string {
	c := v.st.Charge
	held := ""
	if v.st.Charger.Off {
		held = " Its charger is held off, because it is too cold to be charged: warm it."
	}
	return fmt.Sprintf("Battery low: charge %.0f %% ± %.0f, reserve %s. Comfort heat waits; the rest is kept for this computer and for safety.%s",
		float64(c.Share)*100, float64(c.Band)*100, v.floors.reserve, held)
}

func batteryUnknownText(v *view) string {
	m := v.in.Meter
	return fmt.Sprintf("Battery not known%s. It counts as at its reserve, and as cut off once its last voltage is older than %s. Look at the meter's wiring.",
		because(m.Cause), round(v.s.Battery.BlindAfter))
}

func nearFreezingText(v *view) string {
	f := v.s.Frost
	reads := "a loop probe that was near it is not known now"
	if v.nearFreezing(1) {
		reads = "a loop probe reads " + v.coldest.c.In(v.s.Units)
	}
	return fmt.Sprintf("Coolant near freezing: %s, the mix freezes at %s. %s Warm the coil gently or drain it; never pour boiling water on it.",
		reads, f.Freezing.In(v.s.Units), frostAnswer(v))
}

// frostAnswer says what is being done about the cold, and what is not.
func frostAnswer(v *view) string {
	switch {
	case v.st.Slush:
		return "It may be slush already and is not pumped; once it has thawed, give the order to resume if its probe is lost."
	case v.st.Hand.Hold > 0:
		return "The frost guard is NOT running: everything is held off by hand."
	case v.st.Hand.Watch > 0:
		return "The frost guard is NOT running: watch only."
	case v.st.Mode == Guarding:
		return "The frost guard is running."
	}
	return "The frost guard cannot help (" + v.st.Reason.Words() + ")."
}

// watchNote says that nothing is switched while the grower only watches.
func watchNote(v *view) string {
	if v.st.Hand.Watch > 0 {
		return " Nothing is switched: watch only."
	}
	return ""
}

func loopStillText(v *view) string {
	return fmt.Sprintf("Loop not moving heat in %d tries; the pump is halted. Look for air, a closed valve, ice, a stuck pump or a broken wire, with the fuse out; then give the order to resume.%s",
		v.st.Flow.Tries, hotNote(v))
}

func hotNote(v *view) string {
	if v.st.Hot.Hot {
		return " The tank is hot, so one more try is made each " + round(v.s.Proof.TryEvery) + "."
	}
	return ""
}

const recordText = "The record cannot be written: disk full, card failing or no permission. Control goes on without a memory."

const brokerText = "The broker cannot be reached. Control goes on; what is recorded is sent later."

const clockText = "The clock has not been set since the computer started, so dates in the record are wrong. Control does not depend on it. Set the time or fit a battery clock."

func heldText(v *view) string {
	return fmt.Sprintf("Held off by hand for another %s: no pump, no fans, no shedding, no frost guard. It ends by itself, and the pump may start then.", round(v.st.Hand.Hold))
}

func watchingText(v *view) string {
	return fmt.Sprintf("Watch only for another %s: pump and fans are not switched, shedding included. Now it would be %s.",
		round(v.st.Hand.Watch), v.st.Mode)
}

func probeLostText(v *view, p Place) string {
	t := v.in.Places[p]
	return fmt.Sprintf("Probe lost: %s%s. Look at its plug and cable.", p, because(t.Cause))
}

func probeDoubtedText(v *view, p Place) string {
	t := v.in.Places[p]
	return fmt.Sprintf("Probe not believable: %s%s; last believed %s, %s ago.", p, because(t.Cause), t.Value.In(v.s.Units), round(t.Age))
}

// tempOf prints a temperature that may be unknown.
func (v *view) tempOf(k known) string { return place(k.c, k.ok, v.s.Units) }

func because(cause string) string {
	if cause == "" {
		return ""
	}
	return " (" + cause + ")"
}

// round prints a duration in its largest fitting unit.
func round(d time.Duration) string {
	switch {
	case d >= 2*time.Hour:
		d = d.Round(time.Hour)
	case d >= 2*time.Minute:
		d = d.Round(time.Minute)
	default:
		d = d.Round(time.Second)
	}
	return quantity.Span(d).String()
}
