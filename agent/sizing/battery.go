package sizing

import (
	"slices"
	"time"

	"duskloop/sim/season"
)

// Battery is how the battery fares through the winter with heat.
type Battery struct {
	Usable    float64   `json:"usable_wh"` // full to reserve, at 25 °C
	Cold      float64   `json:"usable_cold_wh"`
	ColdAt    float64   `json:"cold_c"`                 // in the coldest greenhouse air
	Hours     float64   `json:"hours_of_pump_and_fans"` // computer included
	HoursCold float64   `json:"hours_cold"`
	HardDay   float64   `json:"hard_day_wh"`        // all loads; one day in ten takes more
	Nights    float64   `json:"nights_without_sun"` // that long a full, cold battery covers hard days
	Lowest    float64   `json:"lowest_charge"`
	Full      int       `json:"days_full"` // on which it came to 95 %
	Days      int       `json:"days"`
	Held      float64   `json:"hours_at_reserve"` // in which pump and fans had to wait
	Unserved  float64   `json:"computer_unserved_wh"`
	Given     float64   `json:"panel_given_wh"`
	Used      float64   `json:"used_wh"`
	Lows      []float64 `json:"lowest_charge_by_day"`
}

// filled is the charge at which a day counts as one on which the battery became full.
const filled = 0.95

// nominal is the voltage at which watt-hours of a battery are stated.
const nominal = 12

func (s *Sketch) battery(warm *season.Flight) Battery {
	l := s.File.Loop()
	b := Battery{Days: s.Over.Days, Lowest: 1, ColdAt: coldestHouse(warm)}
	b.Usable = float64(1-l.Battery.Reserve) * float64(l.Battery.Capacity) * nominal
	b.Cold = b.Usable * float64(s.house.Plant.Supply.Battery.Chemistry.CapacityAt(celsius(b.ColdAt)))
	loads := float64(l.Pump.Draw + l.Fans.Draw + l.Battery.Computer)
	b.Hours, b.HoursCold = b.Usable/loads, b.Cold/loads
	m := warm.Meters
	b.Unserved, b.Given = float64(m.Unserved), float64(m.PanelGiven)
	b.Used = float64(m.BatteryUsed + m.BaseUsed)
	b.byDay(warm, float64(l.Battery.Reserve), 24*float64(l.Battery.Computer))
	b.Nights = b.Cold / b.HardDay
	return b
}

// byDay goes through the days of a flight; base is what the computer takes in one.
func (b *Battery) byDay(f *season.Flight, reserve, base float64) {
	const aDay = int(24 * time.Hour / time.Minute)
	var uses []float64
	for first := 0; first+aDay <= len(f.Seen); first += aDay {
		day := f.Seen[first : first+aDay]
		low, high := 1.0, 0.0
		for _, g := range day {
			low, high = min(low, float64(g.Charge)), max(high, float64(g.Charge))
			if float64(g.Charge) <= reserve {
				b.Held += time.Minute.Hours()
			}
		}
		b.Lows, b.Lowest = append(b.Lows, low), min(b.Lowest, low)
		if high >= filled {
			b.Full++
		}
		uses = append(uses, base+float64(day[aDay-1].Used-day[0].Used))
	}
	slices.Sort(uses)
	b.HardDay = season.Quantile(uses, 0.9)
}
