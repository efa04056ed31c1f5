package main

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
)

func (f *follower) say(format string, args ...any) { fmt.Fprintf(f.out, format+"\n", args...) }

// greet says what is kept, which words there are, and what hurts.
func (f *follower) greet(path string, simulated bool) {
	what := "liquid"
	if simulated {
		what = "simulated liquid"
	}
	f.say("Following %s at %s and air at %s, kept in %s.", what, f.liquid, f.air, path)
	if f.file.volts {
		f.say("Power is followed by the panel's voltage. For a heater on another supply end this and begin with --steady.")
	} else {
		f.say("The panel's voltage is not followed: heat from a steady supply, or the power found is a mean.")
	}
	f.say("Say heat when the heater goes on, off when it goes off, stop at the end; Ctrl-C ends too. Until heat it counts as off.")
	f.say("While the pump carries heat away a run says nothing of the heater; the daemon goes on by its rules, and this switches nothing.")
	f.say(trialCautions)
}

// trialCautions stand before the first switch is touched.
const trialCautions = "Before you heat: vent the vessel, never seal it; a closed one needs a relief valve. Fit a thermal cut-out that needs no" +
	" software. Cover the heater with liquid. No glass. On DC use switches and fuses rated for DC: its arcs do not go out by themselves." +
	" Keep liquid and wiring apart. Never leave it alone, and follow your local codes."

// hear obeys a word and says whether it was the last.
func (f *follower) hear(word string) (stop bool) {
	switch word {
	case "heat":
		f.turn(true)
		f.say("Heater on now. Stay beside it: the liquid will scald, and a vessel without a vent can burst.")
	case "off":
		f.turn(false)
		f.say("Heater off now. Leave it as it is to cool, best for as long as it was heated: that tells the loss. It stays hot for hours.")
	case "stop":
		f.say("Stopped. Switch the heater off. The liquid is still hot: let it cool before you lift or open anything.")
		return true
	default:
		f.say("%q is no word here: say heat, off or stop.", word)
	}
	return false
}

// turn remembers when the heater was switched. Where the daemon has just not answered that
// is when it last did, which is said.
func (f *follower) turn(on bool) {
	f.switches = append(f.switches, switching{f.now, on})
	if f.mute {
		f.say("The daemon does not answer: it counts from %s, when it last did.", f.now.Local().Format(time.TimeOnly))
	}
}

// hotLiquid are temperatures at which the grower is warned, once each. Water at 60 °C
// scalds in seconds (common practice for hot-water supply; from memory, unverified).
var hotLiquid = [...]struct {
	at   quantity.Celsius
	says string
}{
	{60, "it scalds in seconds from here on"},
	{90, "it is about to boil: switch the heater off, and stand clear of the vent"},
}

// showEvery is how often a reading is shown while nothing happens.
const showEvery = time.Minute

// show tells a reading now and then, and warns of heat.
func (f *follower) show(r runRow) {
	liquid := quantity.Celsius(r.liquid)
	for f.warns < len(hotLiquid) && liquid >= hotLiquid[f.warns].at {
		f.say("The liquid is at %s: %s.", liquid.In(f.units), hotLiquid[f.warns].says)
		f.warns++
	}
	if r.at.Sub(f.told) < showEvery {
		return
	}
	f.told = r.at
	power := "off"
	if f.heats() {
		power = "on"
	}
	f.say("%s  %s %s  %s %s  heater %s", r.at.Local().Format(time.TimeOnly), f.liquid, liquid.In(f.units), f.air, quantity.Celsius(r.air).In(f.units), power)
}

// heats says whether the heater is on by the last word.
func (f *follower) heats() bool {
	if n := len(f.switches); n > 0 {
		return f.switches[n-1].on
	}
	return f.on
}
