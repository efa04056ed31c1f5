package config

import (
	"strings"

	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/fluid"
)

// The least that the simulation takes where it is not nothing.
const (
	leastTaper quantity.Kelvin = 0.5
	leastLoop  quantity.Litre  = 0.05
)

// A wrong notes a fault where bad: of a key with its value, in words with the values
// of others. All are told in the grower's units.
type wrong func(bad bool, key string, value any, problem string, others ...any)

// lumpedRelations looks at what only a lumped plant may say.
func lumpedRelations(l *Loop, wrong wrong) {
	m := l.Model
	wrong(m.TaperBand > 0 && m.TaperBand < leastTaper, "model.taper_band", m.TaperBand, "neither none nor at least %v", leastTaper)
	wrong(l.Coil.Volume > 0 && l.Coil.Volume < leastLoop, "coil.volume", l.Coil.Volume, "neither none nor at least %v", leastLoop)
	wrong(l.Coil.Volume == 0 && m.CoilFins > 0, "coil.volume", l.Coil.Volume, "only a coil told by its conductance takes heat straight from the tank, not one by model.coil_fins")
	wrong(l.Coil.Volume == 0 && (l.Probes[control.Coil].ID != "" || l.Probes[control.Return].ID != ""), "coil.volume", l.Coil.Volume, "a probe on coil or return shows that there is a loop")
}

// Line is where a key was written in the file it came from, counted from 1; 0 where the
// default stands.
func (f *File) Line(key string) int { return f.written[key] }

// unpushed says why the described pump cannot push the described flow; nothing where
// it can, or where no head is described.
func unpushed(l *Loop) string {
	m := l.Model
	if m.PumpHead == 0 || l.Pump.Stated <= 0 {
		return ""
	}
	warm, ok := viscosity(l.Tank.Glycerin)
	if !ok {
		return "" // said of the mix itself
	}
	_, err := coil.NewPumped(coil.Circuit{
		Flow: l.Coil.Flow / quantity.LitrePerMinute(l.Pump.Stated), // at full duty
		Head: m.PumpHead, Bore: m.PipeBore, Length: m.PipeLength,
	}, warm)
	if err != nil {
		return strings.ReplaceAll(err.Error(), coil.ErrRange.Error()+": ", "")
	}
	return ""
}

// viscosity is the mix's kinematic one in m²/s at coil.Warm.
func viscosity(w quantity.Share) (float64, bool) {
	mix, err := fluid.New(w)
	if err != nil {
		return 0, false
	}
	mu, err1 := mix.Viscosity(coil.Warm) // mPa s
	rho, err2 := mix.Density(coil.Warm)
	return float64(mu) / 1000 / float64(rho), err1 == nil && err2 == nil
}
