package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
	"duskloop/sim/trial"
)

type trialCommand struct {
	Files    []string `arg:"" name:"file" help:"Runs as CSV, each with columns time (s or RFC 3339), liquid_c or liquid_f, air_c or air_f, and, where the power changed, on (0 to 1), panel_v or irradiance (W/m2)."`
	Volume   string   `help:"Liquid in the vessel, as '4 L' or '1 gal'." required:"" placeholder:"VOLUME"`
	Glycerin float64  `help:"Share of glycerin in it by weight, 0 to 0.6." default:"0"`
	Vessel   float64  `help:"Heat that the vessel itself takes, J/K: 0.5 kJ for each kg of steel, 0.9 of aluminium, 0.8 of glass and K (from memory, unverified)." default:"0" placeholder:"J/K"`
	Units    string   `help:"us or si, for the text." enum:"us,si" default:"si"`
	JSON     bool     `help:"Print JSON." name:"json"`
}

// judged is a run with what it says.
type judged struct {
	run     trial.Run
	sun     trial.Sunlit
	highest float64 // V, of the panel, where that was followed
	trial.Fitted
}

// Run judges bench runs and compares their powers.
func (c *trialCommand) Run(s *session) error {
	heat, units, err := c.heat()
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
	if c.JSON {
		return printJSON(s.out, trialJSON(all))
	}
	printTrial(s.out, all, units)
	return nil
}

// heatAt is the temperature at which the mix's heat is taken: the middle of a usual run. It
// changes by 2 % from 20 to 60 °C (package fluid).
const heatAt = quantity.Celsius(40)

// heat capacity of liquid and vessel, J/K: the liquid's mass at 20 °C, where it was
// measured out.
func (c *trialCommand) heat() (heat float64, u quantity.Units, err error) {
	var volume quantity.Litre
	if err := errors.Join(u.Set(c.Units), named("--volume", volume.Set(c.Volume))); err != nil {
		return 0, u, err
	}
	if !(volume > 0) || c.Vessel < 0 {
		return 0, u, misuse("--volume and --vessel: more than none")
	}
	mix, err := fluid.New(quantity.Share(c.Glycerin))
	if err != nil {
		return 0, u, misused(fmt.Errorf("--glycerin: %w", err))
	}
	density, err := mix.Density(20)
	if err != nil {
		return 0, u, err
	}
	specific, err := mix.SpecificHeat(heatAt)
	if err != nil {
		return 0, u, err
	}
	return float64(density)*float64(volume)/1000*float64(specific) + c.Vessel, u, nil
}

// judge a file's run.
func judge(name string, heat float64) (j judged, err error) {
	in, err := os.Open(name)
	if err != nil {
		return j, err
	}
	defer in.Close()
	if j.run, j.sun, j.highest, err = trial.Read(in); err != nil {
		return j, err
	}
	j.run.Name, j.run.Heat = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)), heat
	j.Fitted, err = trial.Fit(&j.run)
	return j, err
}
