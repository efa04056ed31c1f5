package fit

import (
	"fmt"
	"math"
	"slices"
)

// unlit are the figures that go with the sun, where its panel is not measured.
func (s *solved) unlit() []Figure {
	if s.search.laid.heated {
		return nil
	}
	all := []Figure{s.bySlope()}
	for _, f := range []int{ofAirSun, ofBedSun} {
		x := *s.search.file.at(f)
		all = append(all, Figure{
			Name: table[f].name, Unit: table[f].unit, File: x, Value: x, Low: x, High: x,
			Why:        "the voltage of the element's panel is not recorded, and the battery's current tells the sun too roughly",
			Experiment: "measure the panel's voltage (daemon.panel_divider)",
		})
	}
	return all
}

// bySlope is the element by what the tank took up in its brightest hours: no figure of the
// element under a known sun, and said so.
func (s *solved) bySlope() Figure {
	l, m := s.search.laid, &s.model
	var all []float64
	for k := 0; k+60 < len(l.cells); k += 10 {
		if w, ok := l.uptake(k, m); ok {
			all = append(all, w)
		}
	}
	f := Figure{Name: table[ofElement].name, Unit: table[ofElement].unit, File: m.Element, Value: m.Element, Low: m.Element, High: m.Element}
	f.Why, f.Experiment = "the voltage of its panel is not recorded", "measure the panel's voltage (daemon.panel_divider), or judge a bench run with duskloop trial"
	if len(all) > 0 {
		slices.Sort(all)
		f.Why += fmt.Sprintf("; in its brightest hours the tank took up %.0f W", all[len(all)*98/100])
	}
	return f
}

// uptake is what heats a tank in the hour from a minute on, W; not ok where pump or fans ran
// or a reading is missing.
func (l *laid) uptake(k int, m *Model) (w float64, ok bool) {
	for j := k; j <= k+60; j++ {
		c := &l.cells[j]
		if l.dark[j] || c.on+c.stirred > 0 || !known(l.tank[j]) || !known(c.house) {
			return 0, false
		}
		w += m.TankLoss * (l.tank[j] - c.house) / 61
	}
	return w + m.Tank*(l.tank[k+60]-l.tank[k])/3600, true
}

// tellable is the standard error, as a share, above which a figure is not told; a conductance,
// which sizing and cover go by, must be told better. Our choices.
const (
	tellable            = 0.25
	tellableConductance = 0.08
)

func tellableOf(f int) float64 {
	if table[f].unit == "W/K" {
		return tellableConductance
	}
	return tellable
}

// tell makes the figures that are told or refused by name.
func (s *solved) tell() ([]Figure, error) {
	sp, err := s.spreads()
	if err != nil {
		return nil, err
	}
	half := sp.half95()
	swung := s.search.laid.swings()
	var all []Figure
	for i, f := range s.search.of {
		if f >= helpers || f == ofBedSun && !s.search.laid.heated {
			continue
		}
		x := Figure{Name: table[f].name, Unit: table[f].unit, File: *s.search.file.at(f), Value: *s.model.at(f)}
		wide := half * sp.all[i]
		if table[f].log {
			x.Low, x.High = x.Value*math.Exp(-wide), x.Value*math.Exp(wide)
		} else {
			x.Low, x.High = x.Value-wide, x.Value+wide
		}
		x.Why, x.Experiment = swung.missing(f)
		switch {
		case x.Why != "":
		case !(sp.own[i] <= tellableOf(f)):
			x.Why, x.Experiment = fmt.Sprintf("it may be %.0f %% off as far as the record says", 100*min(sp.own[i], 9.99)), experiments[f]
		case math.Abs(s.by[f]) > 0.97*table[f].reach:
			x.Why, x.Experiment = "it went as far from the file's as a fit may go: something else is wrong", experiments[f]
			x.Value, x.Low, x.High = x.File, x.File, x.File // no guess
		default:
			x.Told = true
		}
		all = append(all, x)
	}
	return all, nil
}

// Units are those of every figure that a fit may tell, by name.
func Units() map[string]string {
	units := map[string]string{ofDraw: "W", ofBase: "W", ofCapacity: "Ah", ofCharging: "share"}
	for i := range helpers {
		units[table[i].name] = table[i].unit
	}
	return units
}

// Names of the battery's figures.
const (
	ofDraw     = "pump and fans"
	ofBase     = "always on"
	ofCapacity = "battery"
	ofCharging = "charging"
)
