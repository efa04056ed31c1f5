package main

import (
	"fmt"
	"io"

	"duskloop/sensors/quantity"
	"duskloop/sim/trial"
)

// trialRow is a run in JSON. low and high are ends of 95 % intervals.
type trialRow struct {
	Run       string  `json:"run"`
	PowerW    float64 `json:"power_w"`
	PowerErr  float64 `json:"power_error_w"`
	PowerLow  float64 `json:"power_low_w"`
	PowerHigh float64 `json:"power_high_w"`
	LossWK    float64 `json:"loss_w_k"`
	LossErr   float64 `json:"loss_error_w_k"`
	NoiseK    float64 `json:"noise_k"`
	HeatJK    float64 `json:"heat_j_k"`
	Follows   string  `json:"power_follows"`
}

// trialPair compares two runs in JSON.
type trialPair struct {
	First  string  `json:"first"`
	Second string  `json:"second"`
	MoreW  float64 `json:"more_w"`
	ErrorW float64 `json:"error_w"`
	Differ bool    `json:"differ"`
}

type trialDocument struct {
	Runs  []trialRow  `json:"runs"`
	Pairs []trialPair `json:"pairs"`
}

// follows says in a word by what a power was followed.
func follows(s trial.Sunlit) string {
	return map[trial.Sunlit]string{trial.Constant: "constant", trial.ByIrradiance: "irradiance", trial.ByVoltage: "panel voltage"}[s]
}

func trialJSON(all []judged) trialDocument {
	d := trialDocument{Runs: []trialRow{}, Pairs: []trialPair{}}
	for i := range all {
		j := &all[i]
		low, high := trial.Interval(j.Power, j.PowerError)
		d.Runs = append(d.Runs, trialRow{
			j.run.Name, j.Power, j.PowerError, low, high, j.Loss, j.LossError, j.Noise, j.run.Heat, follows(j.sun),
		})
		for k := range i {
			c := trial.Compare(all[k].Fitted, j.Fitted)
			d.Pairs = append(d.Pairs, trialPair{all[k].run.Name, j.run.Name, c.More, c.Error, c.Differ})
		}
	}
	return d
}

// printTrial tells runs and comparisons in words.
func printTrial(out io.Writer, all []judged, u quantity.Units) {
	for i := range all {
		j := &all[i]
		low, high := trial.Interval(j.Power, j.PowerError)
		fmt.Fprintf(out, "%s: %.1f W into the liquid%s (95 %% sure: %.1f to %.1f W); standing loss %s.\n",
			j.run.Name, j.Power, atFull(j), low, high, lossWords(j, u))
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
	switch j.sun {
	case trial.ByIrradiance:
		return " at 1000 W/m²"
	case trial.ByVoltage:
		return fmt.Sprintf(" at %.1f V of the panel", j.highest)
	}
	return ""
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
	if a.sun == trial.ByVoltage || b.sun == trial.ByVoltage {
		return fmt.Sprintf("%s and %s: powers at the highest voltage of each run; compare them only where that was the same.", a.run.Name, b.run.Name)
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
