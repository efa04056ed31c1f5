package control

import (
	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// Bands we chose around the grower's comfort limits. Each is about what two
// probes can tell apart (±0.5 K each); smaller chatters, larger is felt.
const (
	cropBand    = quantity.Kelvin(1)
	comfortBand = quantity.Kelvin(1)
	usefulBand  = quantity.Kelvin(1)
)

// carry brings heat to the tunnel: because the crop is cold and the tank is
// usefully warmer, or because the difference is large.
func carry(v *view) (wish, bool) {
	d, ok := v.difference()
	if !ok {
		return wish{}, false
	}
	w := wish{pump: true, fans: true, kind: comfort, mode: Carrying}
	running := v.st.Pump.On && (v.st.Mode == Carrying || v.st.Mode == ByHand && v.st.Fans.On)
	switch {
	case v.cropCold(d, running):
		w.reason = CropCold
	case v.differs(d, running):
		w.reason = Difference
	default:
		return wish{}, false
	}
	return w, true
}

func (v *view) cropCold(d quantity.Kelvin, running bool) bool {
	minimum := v.s.Crop.Minimum
	if running {
		return v.air < minimum.Plus(cropBand) && d > v.stopAt
	}
	return v.air < minimum && d >= v.stopAt+usefulBand
}

func (v *view) differs(d quantity.Kelvin, running bool) bool {
	enough := v.s.Crop.Comfort
	if running {
		return v.air < enough && d > v.stopAt
	}
	start := max(v.s.Carry.Start, v.stopAt+usefulBand)
	return v.air < enough.Plus(-comfortBand) && d >= start
}

// stir mixes the tank for a moment while the element heats, so that the liquid
// at the element does not boil while the probe reads cool.
func stir(v *view) (wish, bool) {
	s := v.st.Stir
	due := v.st.Trend.Rising && s.Since >= v.s.Carry.StirEvery
	w := wish{pump: true, kind: comfort, mode: Stirring, reason: Stir}
	return w, v.tank.ok && (due || s.On)
}

// rest explains why nothing runs.
func rest(v *view) wish {
	w := wish{kind: comfort, mode: Resting, reason: TankCool}
	d, ok := v.difference()
	switch {
	case ok && v.in.Tonight.Way != night.Unasked:
		w.reason = v.saves()
	case !ok && v.st.Up < v.s.StaleAfter && !v.in.Places[Tank].Ever:
		w.reason = JustStarted
	case !ok:
		w.reason = TankUnknown
	case v.air >= v.s.Crop.Comfort.Plus(-comfortBand):
		w.reason = WarmEnough
	case d <= v.stopAt && d > 0:
		w.reason = NotWorth
	}
	return w
}
