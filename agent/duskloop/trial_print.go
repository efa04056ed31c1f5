package main

import (
	"fmt"
	"io"

	"duskloop/sensors/quantity"
	"duskloop/sim/trial"
)

// printTrial tells runs and comparisons in words.
func printTrial(out io.Writer, all []judged, u quantity.Units) {
	for i := range all {
		j := &all[i]
		low, high := trial.Interval(j.Power, j.PowerError)
		fmt.Fprintf(out, "%s: %.1f W into the liquid%s (95 %% sure: %.1f to %.1f W); standing loss %s. %s\n",
			j.run.Name, j.Power, atFull(j), low, high, lossWords(j, u), powerWords(j))
	}
	for i := range all {
		for k := range i {
			fmt.Fprintln(out, versus(&all[k], &all[i]))
		}
	}
	fmt.Fprintln(out, "\nThe errors are those of the readings' scatter. A volume wrong by 1 % makes every power wrong by 1 %, a probe\n"+
		"that reads a kelvin too high shifts it by the standing loss of a kelvin; between runs with one vessel and\n"+
		"one pair of probes both drop out.")
	fmt.Fprintln(out, "Hot liquid scalds, and a sealed vessel can burst: heat only in a vented one, with a thermal cut-out.")
}

// atFull says at what light a power under the sun is stated.
func atFull(j *judged) string {
	if j.sun == trial.Constant {
		return ""
	}
	return " " + statedAt(j)
}

// powerWords says whether power was steady, by what that is known, and what follows.
func powerWords(j *judged) string {
	kind, by := j.kind()
	switch {
	case kind == looksLikeTheSun:
		return fmt.Sprintf("This looks like a changing sun: the readings leave the curve of a constant power by %.2f K, for longer than chance"+
			" does. Its power is a mean only, and its loss a guess. Record the panel's voltage or the irradiance."+
			" (Liquid that nobody stirs, a probe at the heater or a pump that carries heat away can look the same.)", j.Wander)
	case kind == steadyPower && j.sun == trial.Constant:
		return "Nothing in its readings speaks against a constant power."
	case kind == steadyPower:
		return fmt.Sprintf("Constant power, by its %s (within %.0f %%).%s", by, 100*j.run.Varied(), offCurve(j))
	}
	return fmt.Sprintf("Under a changing sun, followed by its %s (power varied by %.0f %%).%s", by, 100*j.run.Varied(), offCurve(j))
}

// offCurve warns where a recorded sun does not explain the readings.
func offCurve(j *judged) string {
	switch {
	case !j.Unsteady:
		return ""
	case j.sun == trial.ByIrradiance:
		return fmt.Sprintf(" The readings leave the curve by %.2f K, for longer than chance does: a heater wired straight to a panel does not follow"+
			" the light in proportion. Its panel's voltage tells more; take the errors as too small.", j.Wander)
	}
	return fmt.Sprintf(" The readings leave the curve by %.2f K, for longer than chance does: take the errors as too small, stir, read more often.", j.Wander)
}

// btuPerHour is 1 W in Btu/h (international table: 1 Btu is 1055.056 J; ISO 80000-5).
const btuPerHour = 3600 / 1055.056

// lossWords is a standing loss with its standard error.
func lossWords(j *judged, u quantity.Units) string {
	if u == quantity.US {
		per := btuPerHour / 1.8
		return fmt.Sprintf("%.3g ± %.1g Btu/h for each °F over the air", j.Loss*per, j.LossError*per)
	}
	return fmt.Sprintf("%.3g ± %.1g W for each K over the air", j.Loss, j.LossError)
}

// versus compares two runs in a sentence.
func versus(a, b *judged) string {
	if why := unlike(a, b); why != "" {
		return fmt.Sprintf("%s and %s cannot be compared: %s.", a.run.Name, b.run.Name, why)
	}
	c := trial.Compare(a.Fitted, b.Fitted)
	if !c.Differ {
		return fmt.Sprintf("%s and %s: no difference beyond chance (%.1f ± %.1f W).", a.run.Name, b.run.Name, c.More, c.Error)
	}
	first, second, more := a, b, c.More
	if more < 0 {
		first, second, more = b, a, -more
	}
	return fmt.Sprintf("%s heats faster than %s: by %.1f ± %.1f W, %.0f %%.", first.run.Name, second.run.Name, more, c.Error, 100*more/second.Power)
}
