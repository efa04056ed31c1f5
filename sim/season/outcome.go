package season

import (
	"duskloop/sensors/quantity"
)

// Outcome is what a grower asks of a season.
type Outcome struct {
	Nights   int            `json:"nights"`  // whole ones, noon to noon
	Held     int            `json:"held"`    // of them, never more than a probe's half kelvin below the crop's minimum
	Coldest  float64        `json:"coldest"` // °C, of the tunnel's air
	Below    float64        `json:"degree_hours_below_min"`
	Squared  float64        `json:"squared_degree_hours"` // K²h
	Frost    float64        `json:"hours_below_0c"`       // of the tunnel's air
	TooHot   float64        `json:"hours_too_hot"`        // of the tank
	Hottest  float64        `json:"hottest"`              // °C, of the tank
	Battery  float64        `json:"battery_kwh"`          // drawn by pump and fans
	Flattest quantity.Share `json:"lowest_charge"`
}

// tells is how well a probe tells the tunnel's air, K: ±0.5 from -10 to 85 °C by the DS18B20's
// datasheet. A night that dips by less below the crop's minimum counts as held.
const tells = 0.5

// Outcome of a flight over a span, for a crop's minimum and a tank that is too hot from a
// temperature on.
func (f *Flight) Outcome(over Span, minimum, hot quantity.Celsius) Outcome {
	o := Outcome{
		Coldest: float64(f.Seen[0].Tunnel), Hottest: float64(f.Seen[0].Tank), Flattest: 1,
		Below: f.Score.Below, Squared: f.Score.Squared, Frost: f.Score.Frost, Battery: f.Score.Battery,
	}
	for _, n := range nightsOf(over, []Flight{*f}) {
		o.Nights++
		if f.frost(n) >= float64(minimum)-tells {
			o.Held++
		}
	}
	for _, g := range f.Seen {
		o.Coldest, o.Hottest = min(o.Coldest, float64(g.Tunnel)), max(o.Hottest, float64(g.Tank))
		o.Flattest = min(o.Flattest, quantity.Share(g.Charge))
		if g.Tank >= float32(hot) {
			o.TooHot += minute.Hours()
		}
	}
	return o
}
