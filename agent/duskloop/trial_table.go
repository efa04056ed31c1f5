package main

import (
	"encoding/csv"
	"io"
	"strconv"

	"duskloop/sim/trial"
)

// trialRow is a run in JSON. low and high are ends of 95 % intervals.
type trialRow struct {
	Run       string    `json:"run"`
	PowerW    float64   `json:"power_w"`
	PowerErr  float64   `json:"power_error_w"`
	PowerLow  float64   `json:"power_low_w"`
	PowerHigh float64   `json:"power_high_w"`
	LossWK    float64   `json:"loss_w_k"`
	LossErr   float64   `json:"loss_error_w_k"`
	FirstC    float64   `json:"first_c"`
	NoiseK    float64   `json:"noise_k"`
	WanderK   float64   `json:"wander_k"` // of the readings about the curve, for longer than one
	HeatJK    float64   `json:"heat_j_k"`
	Kind      powerKind `json:"power_kind"`
	ToldBy    string    `json:"power_told_by"`
	Follows   string    `json:"power_follows"`
	Mean      bool      `json:"power_is_a_mean"` // of an unknown sun: no figure of the heater
	Unsteady  bool      `json:"unsteady"`        // the readings say that it was not as recorded
	VariedPct *float64  `json:"power_varied_pct,omitempty"`
	AtV       *float64  `json:"at_panel_v,omitempty"`
	Readings  int       `json:"readings"`
	Hours     float64   `json:"hours"`
}

// trialPair compares two runs in JSON. Where they cannot be compared it says why.
type trialPair struct {
	First      string  `json:"first"`
	Second     string  `json:"second"`
	MoreW      float64 `json:"more_w"`
	ErrorW     float64 `json:"error_w"`
	Differ     bool    `json:"differ"`
	Comparable bool    `json:"comparable"`
	Why        string  `json:"why_not,omitempty"`
}

type trialDocument struct {
	Runs  []trialRow  `json:"runs"`
	Pairs []trialPair `json:"pairs"`
}

func trialJSON(all []judged) trialDocument {
	d := trialDocument{Runs: []trialRow{}, Pairs: []trialPair{}}
	for i := range all {
		d.Runs = append(d.Runs, rowOf(&all[i]))
		for k := range i {
			d.Pairs = append(d.Pairs, pairOf(&all[k], &all[i]))
		}
	}
	return d
}

func rowOf(j *judged) trialRow {
	low, high := trial.Interval(j.Power, j.PowerError)
	kind, by := j.kind()
	x := trialRow{
		Run: j.run.Name, PowerW: j.Power, PowerErr: j.PowerError, PowerLow: low, PowerHigh: high,
		LossWK: j.Loss, LossErr: j.LossError, FirstC: j.First, NoiseK: j.Noise, WanderK: j.Wander, HeatJK: j.run.Heat,
		Kind: kind, ToldBy: by, Follows: follows(j.sun), Mean: kind == looksLikeTheSun, Unsteady: j.Unsteady,
		Readings: len(j.run.Readings), Hours: j.lasted() / 3600,
	}
	if j.sun != trial.Constant {
		x.VariedPct = known(100 * j.run.Varied())
	}
	if j.sun == trial.ByVoltage {
		x.AtV = known(j.highest)
	}
	return x
}

func pairOf(a, b *judged) trialPair {
	x := trialPair{First: a.run.Name, Second: b.run.Name, Why: unlike(a, b)}
	if x.Comparable = x.Why == ""; x.Comparable {
		c := trial.Compare(a.Fitted, b.Fitted)
		x.MoreW, x.ErrorW, x.Differ = c.More, c.Error, c.Differ
	}
	return x
}

// trialColumns are those of the results as CSV; each name ends in its unit.
var trialColumns = []string{
	"name", "power_w", "power_error_w", "power_low_w", "power_high_w", "loss_w_per_k", "loss_error_w_per_k",
	"first_c", "noise_k", "wander_k", "heat_j_per_k", "power_kind", "power_told_by", "at_panel_v", "readings", "hours",
}

// trialCSV writes a row for each run; what does not apply is empty.
func trialCSV(out io.Writer, all []judged) error {
	w := csv.NewWriter(out)
	_ = w.Write(trialColumns) // the error stays with the writer
	for i := range all {
		x := rowOf(&all[i])
		at := ""
		if x.AtV != nil {
			at = digits(*x.AtV)
		}
		_ = w.Write([]string{
			x.Run, digits(x.PowerW), digits(x.PowerErr), digits(x.PowerLow), digits(x.PowerHigh), digits(x.LossWK), digits(x.LossErr),
			digits(x.FirstC), digits(x.NoiseK), digits(x.WanderK), digits(x.HeatJK), string(x.Kind), x.ToldBy, at,
			strconv.Itoa(x.Readings), digits(x.Hours),
		})
	}
	w.Flush()
	return w.Error()
}

// digits of a figure, six of them.
func digits(x float64) string { return strconv.FormatFloat(x, 'g', 6, 64) }
