package config

import (
	"strings"

	"duskloop/sensors/quantity"
	"duskloop/sim/coil"
	"duskloop/sim/fluid"
)

// Line is where a key was written in the file it came from, counted from 1; 0 where the
// default stands.
func (f *File) Line(key string) int { return f.written[key] }

// unpushed says why the described pump cannot push the described flow; nothing where
// it can, or where no head is described.
func unpushed(l *Loop) string {
	m := l.Model
	if m.PumpHead == 0 || l.Pump.Duty <= 0 {
		return ""
	}
	warm, ok := viscosity(l.Tank.Glycerin)
	if !ok {
		return "" // said of the mix itself
	}
	_, err := coil.NewPumped(coil.Circuit{
		Flow: l.Coil.Flow / quantity.LitrePerMinute(l.Pump.Duty), // at full duty
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
