package main

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"text/tabwriter"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// printSeason prints a table, temperatures in the grower's units.
func printSeason(w io.Writer, f *config.File, flights []season.Flight, doubted []season.Score) error {
	u := f.Site.Units
	tw := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	unit, scale := "K", 1.0
	if u == quantity.US {
		unit, scale = "°F", 1.8
	}
	fmt.Fprintf(tw, "policy\t%[1]s·h below minimum\t%[1]s²·h\tmean night minimum\tone night in 20\thours of frost\tbattery kWh\tstarts a day\tcaptured\t\n", unit)
	scores := append(scoresOf(flights), doubted...)
	for _, s := range scores {
		if s.Draw > 0 {
			s.Policy = fmt.Sprintf("wrong figures %d", s.Draw)
		}
		fmt.Fprintf(tw, "%s\t%.0f\t%.0f\t%s\t%s\t%.0f\t%.1f\t%.1f\t%s\t\n", s.Policy, scale*s.Below, scale*scale*s.Squared,
			quantity.Celsius(s.MeanMin).In(u), quantity.Celsius(s.FifthMin).In(u), s.Frost, s.Battery, s.Starts, captured(s.Captured))
	}
	if err := tw.Flush(); err != nil {
		return err
	}
	for _, x := range flights {
		if x.Relaxed > 0 {
			fmt.Fprintf(w, "foresight without pulses, in its own lumped winter: %.0f %s²·h\n", scale*scale*x.Relaxed, unit)
		}
	}
	if mean, worst, ok := shares(doubted); ok {
		fmt.Fprintf(w, "plans that believe wrong figures: captured %.3f in the mean, %.3f at worst\n", mean, worst)
	}
	fmt.Fprintf(w, "crop minimum %s; captured: the share of what foresight removes of %s²·h (simulated)\n", f.Loop().Crop.Minimum.In(u), unit)
	return nil
}

func captured(share *float64) string {
	if share == nil {
		return "-"
	}
	return strconv.FormatFloat(*share, 'f', 2, 64)
}

// shares are the mean and the least captured; not ok without any.
func shares(of []season.Score) (mean, worst float64, ok bool) {
	worst = math.Inf(1)
	n := 0.0
	for _, s := range of {
		if s.Captured != nil {
			mean, worst, n = mean+*s.Captured, min(worst, *s.Captured), n+1
		}
	}
	return mean / n, worst, n > 0
}
