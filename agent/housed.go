package agent

import (
	"fmt"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// What a season begins with, as in the study that the figures are compared with: a tank at
// 20 °C, tunnel and bed at 12 °C, the greenhouse as it is outdoors, the battery full.
const (
	firstTank   quantity.Celsius = 20
	firstTunnel quantity.Celsius = 12
)

// House is the greenhouse that a file describes, with probes and meter that err, for a
// season that begins at an outdoor temperature. It plans whatever the file has its heat
// spent by; the error names the probe that is missing for that.
func House(f *config.File, outdoors quantity.Celsius, seed uint64) (season.House, error) {
	settings, err := f.Settings()
	if err != nil {
		return season.House{}, err
	}
	l := f.Loop()
	if place := missing(l); place != "" {
		return season.House{}, fmt.Errorf("%w: a plan needs a probe at the %s", ErrConfig, place)
	}
	h := season.House{
		Plant: plantParams(f), Settings: settings, Probes: plant.Typical(seed), PanelMeasured: f.Daemon.PanelRatio > 0,
		Start: plant.State{
			Tank: firstTank, Coil: firstTunnel, Return: firstTunnel, Tunnel: firstTunnel, Bed: firstTunnel,
			Greenhouse: outdoors, Outdoors: outdoors, BatteryCharge: 1,
		},
	}
	h.Probes.Noise, h.Probes.Spread = 0.1, 0.1
	if l.Level.Fitted() {
		h.Level = control.LevelGood
	}
	h.Night, err = planner(f)
	return h, err
}
