package fit

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// cellsOf a world's battery, as a file has it: printed a quarter too large, and charged better
// than it is.
func (w *world) cellsOf() *Cells {
	b := w.house.Plant.Supply.Battery
	return &Cells{
		Rest:       func(x float64) float64 { return float64(b.Chemistry.RestVoltage(quantity.Share(x))) },
		Resistance: float64(b.Resistance), Capacity: 1.25 * float64(b.Capacity), Efficiency: 0.95, Draw: 2 * w.truth.Draw, Base: 2 * w.truth.Base,
	}
}

// The meter tells draw and base within 5 %, and capacity and efficiency, where they are told at
// all, within their intervals, on plants whose battery has two wells, sags and fades.
func TestBatteryByItsMeter(t *testing.T) {
	t.Parallel()
	told := 0
	for seed := range uint64(6) {
		w, _ := newWorld(t, 500+seed)
		w.house.Settings.Battery.Reserve = 0.3
		w.house.Plant.Supply.Panel.Rating = 40
		w.forceOneNight(1)
		w.days(10)
		c := w.cellsOf()
		truth := map[string]float64{
			"pump and fans": w.truth.Draw, "always on": w.truth.Base,
			"battery": float64(w.house.Plant.Supply.Battery.Capacity), "charging": float64(w.house.Plant.Supply.Battery.Efficiency),
		}
		text := ""
		for _, f := range w.record.cells(c) {
			text += fmt.Sprintf("%s %.2f (%.2f to %.2f) true %.2f %s; ", f.Name, f.Value, f.Low, f.High, truth[f.Name], f.Why)
			if !f.Told {
				assert.NotEmpty(t, f.Why)
				assert.NotEmpty(t, f.Experiment)
				assert.InDelta(t, f.File, f.Value, 1e-9)
				continue
			}
			told++
			x := truth[f.Name]
			if f.Unit == "W" {
				assert.InEpsilon(t, x, f.Value, 0.05, f.Name)
				continue
			}
			assert.True(t, x >= f.Low && x <= f.High, "%s of %g, told %g to %g", f.Name, x, f.Low, f.High)
		}
		t.Log(text)
	}
	require.GreaterOrEqual(t, told, 12)
}
