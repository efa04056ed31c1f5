package sizing

import (
	"fmt"
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/weather"
)

// Coil is what coil and fans give to the tunnel's air at the crop's minimum.
type Coil struct {
	Draw float64 `json:"draw_watt"` // of pump and fans
	// Stop is the difference of tank and tunnel at which it stops being worth the watts, or
	// at which the grower has it stop.
	Stop float64   `json:"stop_difference_k"`
	Rows []CoilRow `json:"rows"`
}

// CoilRow is the coil with the tank at a temperature.
type CoilRow struct {
	Tank    float64  `json:"tank_c"`
	Heat    float64  `json:"heat_watt"`
	PerK    float64  `json:"watt_per_k"`
	PerWatt float64  `json:"heat_for_a_watt"`
	Leaving *float64 `json:"leaving_air_c"` // null where the file's air flow cannot carry that heat
}

// tankAt are the tank's temperatures that are shown.
var tankAt = [...]quantity.Celsius{20, 30, 40, 50, 60, 70}

// airHeat is what a cubic metre of air takes for a kelvin, J: 0.33 Wh (plant.AirChange).
const airHeat = 0.33 * 3600

func (s *Sketch) coil() (Coil, error) {
	l := s.File.Loop()
	draw := float64(l.Pump.Draw + l.Fans.Draw)
	c := Coil{Draw: draw, Stop: float64(s.house.Settings.StopDifference())}
	into := l.Crop.Minimum
	for _, t := range tankAt {
		if t < into+5 {
			continue
		}
		heat, err := s.carried(t, into)
		if err != nil {
			return c, err
		}
		row := CoilRow{Tank: float64(t), Heat: heat, PerK: heat / float64(t-into), PerWatt: heat / draw}
		air := float64(l.Model.CoilAir) * float64(l.Fans.Duty) * airHeat
		if out := float64(into) + heat/air; out <= float64(t) {
			row.Leaving = &out
		}
		c.Rows = append(c.Rows, row)
	}
	return c, nil
}

// carried is the heat that the simulated coil gives at once, W, pump and fans at their
// duties.
func (s *Sketch) carried(tank, into quantity.Celsius) (float64, error) {
	l, start := s.File.Loop(), s.house.Start
	start.Tank, start.Coil, start.Return = tank, tank, tank
	start.Tunnel, start.Bed, start.Greenhouse = into, into, into
	p, err := plant.New(s.house.Plant, s.Over.Start, start)
	if err != nil {
		return 0, fmt.Errorf("heat of the coil: %w", err)
	}
	p.Step(time.Second, plant.Act{Pump: l.Pump.Duty, Fans: l.Fans.Duty}, weather.Sample{Air: into, DewPoint: into - 5})
	return float64(p.Now().CoilPower), nil
}
