package battery

import (
	"duskloop/sensors/quantity"
)

// Rest voltages of a 12 V battery at even steps of charge from empty to full.
//
// Flooded (BCI-type table) and AGM at 0, 25, 50, 75, 100 %, 25-27 °C: from memory,
// unverified; the flooded figures agree with the rule of thumb 11.6/12.0/12.2/
// 12.4/12.6 of a radio amateurs' list within 0.3 V when empty and 0.06 V above.
// LiFePO4 at 0, 10 ... 100 %: four times the cell table of the Zephyr project's
// battery.h. Its middle is flat: 30 to 90 % spans 0.27 V.
var (
	restFlooded = []quantity.Volt{11.89, 12.06, 12.24, 12.45, 12.65}
	restAGM     = []quantity.Volt{11.80, 12.05, 12.30, 12.60, 12.85}
	restLiFePO4 = []quantity.Volt{8.052, 12.272, 12.636, 12.776, 12.840, 12.884, 12.916, 12.984, 13.024, 13.048, 13.392}
)

// RestVoltage is the voltage of a rested 12 V battery at a state of charge; charge
// outside 0..1 counts as the nearer end.
func (c Chemistry) RestVoltage(charge quantity.Share) quantity.Volt {
	switch c {
	case AGM:
		return interpolate(restAGM, float64(charge))
	case LiFePO4:
		return interpolate(restLiFePO4, float64(charge))
	}
	return interpolate(restFlooded, float64(charge))
}

// emptyVoltage is where a battery under load counts as empty: 1.75 V in each of six
// lead-acid cells (the end of the 20 h rating, common to datasheets), 2.5 V in each
// of four LiFePO4 cells (common to cell datasheets; both from memory).
func (c Chemistry) emptyVoltage() quantity.Volt {
	if c == LiFePO4 {
		return 10.0
	}
	return 10.5
}

// Capacity against temperature, as shares of that at 25 °C. Lead-acid at -15, 0,
// 25 °C: 65, 82.5, 100 % (middle of common ranges, from memory, unverified).
// LiFePO4 at -20, 0, 25 °C: 70, 80, 100 % (0 and -20 °C from a vendor's page).
var (
	coldLead    = [3]point{{-15, 0.65}, {0, 0.825}, {25, 1}}
	coldLiFePO4 = [3]point{{-20, 0.70}, {0, 0.80}, {25, 1}}
)

type point struct{ celsius, share float64 }

// CapacityAt is the share of the 25 °C capacity that can be drawn at a temperature;
// held constant outside the points above.
func (c Chemistry) CapacityAt(at quantity.Celsius) quantity.Share {
	points := &coldLead
	if c == LiFePO4 {
		points = &coldLiFePO4
	}
	t := float64(at)
	if t <= points[0].celsius {
		return quantity.Share(points[0].share)
	}
	for i := 1; i < len(points); i++ {
		if a, b := points[i-1], points[i]; t < b.celsius {
			return quantity.Share(a.share + (b.share-a.share)*(t-a.celsius)/(b.celsius-a.celsius))
		}
	}
	return 1
}

// interpolate between values at even steps over 0..1.
func interpolate(values []quantity.Volt, x float64) quantity.Volt {
	x = min(max(x, 0), 1) * float64(len(values)-1)
	i := min(int(x), len(values)-2)
	return values[i] + quantity.Volt(x-float64(i))*(values[i+1]-values[i])
}
