package fluid

import "duskloop/sensors/quantity"

// langeFreezing is the freezing point in °C at 0, 10 ... 60 % glycerin by weight:
// Lange's Handbook of Chemistry, 15th ed., table 5.13 (0 °C for water by
// definition of the Celsius scale to 0.01 K).
var langeFreezing = [...]float64{0, -1.6, -4.8, -9.5, -15.5, -22.0, -33.6}

// Freezing is where the first ice appears: Melinder's curve, lifted to Lange's
// table where the table is warmer (by up to 1.3 K). Sources disagree by about
// that much; a grower is safer with the warmer figure.
func (m Mix) Freezing() quantity.Celsius {
	x := m.w * 10
	i := min(int(x), len(langeFreezing)-2)
	share := x - float64(i)
	lift := (1-share)*langeOver(i) + share*langeOver(i+1)
	return quantity.Celsius(melinderFreezing(m.w) + max(lift, 0))
}

// langeOver is how much warmer the table is than the curve at its i-th point.
func langeOver(i int) float64 { return langeFreezing[i] - melinderFreezing(float64(i)/10) }

func melinderFreezing(w float64) float64 { return row(&freezingRow, w) - 273.15 }
