package main

import (
	"fmt"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

type trialCommand struct {
	Judge  trialJudge  `cmd:"" default:"withargs" help:"Judge runs that stand in files, and compare them."`
	Follow trialFollow `cmd:"" help:"Follow a run on the bench from the probes of the running daemon, keep it as CSV and judge it."`
}

type trialJudge struct {
	Files []string `arg:"" name:"file" help:"Runs as CSV, each with columns time (s or RFC 3339), liquid_c or liquid_f, air_c or air_f, and, where the power changed, on (0 to 1), panel_v or irradiance (W/m2). For a heater wired straight to its panel panel_v tells most."`
	trialVessel
	trialShown
}

// trialVessel is what is heated.
type trialVessel struct {
	Volume   string  `help:"Liquid in the vessel, as '4 L' or '1 gal'." required:"" placeholder:"VOLUME"`
	Glycerin float64 `help:"Share of glycerin in it by weight, 0 to 0.6." default:"0"`
	Vessel   float64 `help:"Heat that the vessel itself takes, J/K: 0.5 kJ for each kg of steel, 0.9 of aluminium, 0.8 of glass and K (from memory, unverified)." default:"0" placeholder:"J/K"`
}

// trialShown is how results are told.
type trialShown struct {
	Units string `help:"us or si, for the text." enum:"us,si" default:"si"`
	JSON  bool   `help:"Print JSON." name:"json" xor:"form"`
	SVG   string `help:"Draw all runs against time into this file as well." name:"svg" placeholder:"FILE"`
	CSV   bool   `help:"Print the results as CSV, a row for each run." name:"csv" xor:"form"`
}

// Run judges bench runs and compares their powers.
func (c *trialJudge) Run(s *session) error {
	heat, err := c.heat()
	if err != nil {
		return err
	}
	var all []judged
	for _, name := range c.Files {
		j, err := judge(name, heat)
		if err != nil {
			return fmt.Errorf("%s: %w", name, err)
		}
		all = append(all, j)
	}
	return c.show(s, all)
}

// show tells what the runs say, in the form that was asked for.
func (c *trialShown) show(s *session, all []judged) error {
	var units quantity.Units
	if err := units.Set(c.Units); err != nil {
		return named("--units", err)
	}
	atOneVoltage(all)
	if c.SVG != "" {
		if err := c.draw(all, units); err != nil {
			return err
		}
	}
	switch {
	case c.JSON:
		return printJSON(s.out, trialJSON(all))
	case c.CSV:
		return trialCSV(s.out, all)
	}
	printTrial(s.out, all, units)
	return nil
}

// heatAt is the temperature at which the mix's heat is taken: the middle of a usual run. It
// changes by 2 % from 20 to 60 °C (package fluid).
const heatAt = quantity.Celsius(40)

// heat capacity of liquid and vessel, J/K: the liquid's mass at 20 °C, where it was
// measured out.
func (c *trialVessel) heat() (float64, error) {
	var volume quantity.Litre
	if err := volume.Set(c.Volume); err != nil {
		return 0, named("--volume", err)
	}
	if !(volume > 0) || c.Vessel < 0 {
		return 0, misuse("--volume and --vessel: more than none")
	}
	mix, err := fluid.New(quantity.Share(c.Glycerin))
	if err != nil {
		return 0, misused(fmt.Errorf("--glycerin: %w", err))
	}
	density, err := mix.Density(20)
	if err != nil {
		return 0, err
	}
	specific, err := mix.SpecificHeat(heatAt)
	if err != nil {
		return 0, err
	}
	return float64(density)*float64(volume)/1000*float64(specific) + c.Vessel, nil
}
