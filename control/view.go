package control

import (
	"duskloop/sensors/quantity"
)

// known is a temperature that may be absent.
type known struct {
	c  quantity.Celsius
	ok bool
}

// view is what one step sees: settings, state already moved on in time, and
// the inputs reduced to what is known. Rules read it and change nothing.
type view struct {
	s  *Settings
	st *State
	in *Inputs

	tank, coil, ret, tunnel known
	cell                    known // the battery's temperature
	floors                  floors
	air                     quantity.Celsius // tunnel, or the crop's minimum when unknown
	airOK                   bool             // a comparison with air makes sense
	coldest                 known            // of the loop's probes
	stopAt                  quantity.Kelvin
	rest                    battery // as this step's sample has it
}

// battery is a sample of the meter that may be absent.
type battery struct {
	v    quantity.Volt   // freed of load
	amps quantity.Ampere // measured or assumed
	ok   bool
}

// see builds the view.
func see(s *Settings, st *State, in *Inputs) view {
	v := view{s: s, st: st, in: in}
	v.tank, v.coil = v.at(Tank), v.at(Coil)
	v.ret, v.tunnel = v.at(Return), v.at(Tunnel)
	v.air, v.airOK = v.tunnel.c, v.tunnel.ok
	if !v.tunnel.ok {
		v.air, v.airOK = s.Crop.Minimum, v.tank.ok
	}
	for _, k := range [...]known{v.tank, v.coil, v.ret} {
		if k.ok && (!v.coldest.ok || k.c < v.coldest.c) {
			v.coldest = k
		}
	}
	v.stopAt = s.Carry.stopDifference()
	v.rest = restVoltage(s, st, in)
	if b := &s.Battery; b.Placed && b.Where >= 0 && b.Where < Places {
		v.cell = v.at(b.Where)
	}
	v.floors = s.Battery.floors(v.cell)
	return v
}

// at is what is known of a place: fitted, believed once, and not too old.
func (v *view) at(p Place) known {
	t := &v.in.Places[p]
	ok := v.s.Fitted.Places[p] && t.Ever && t.Age <= v.s.StaleAfter
	return known{c: t.Value, ok: ok}
}

// lost says whether a fitted place is unknown. In the first moments after a
// start nothing has been read yet, and nothing is lost.
func (v *view) lost(p Place) bool {
	if !v.s.Fitted.Places[p] || v.at(p).ok {
		return false
	}
	return v.in.Places[p].Ever || v.st.Up >= v.s.StaleAfter
}

// loopProbeMissing says that a fitted probe on coil or return is not known.
func (v *view) loopProbeMissing() bool {
	fitted := &v.s.Fitted.Places
	return fitted[Coil] && !v.coil.ok || fitted[Return] && !v.ret.ok
}

// suspectHot says that a tank reading came which is not believed yet, and would
// be hot.
func (v *view) suspectHot() bool { return v.in.Places[Tank].Suspect >= v.s.Tank.Hot }

// difference is tank less air; both must be known enough.
func (v *view) difference() (quantity.Kelvin, bool) {
	if !v.tank.ok || !v.airOK {
		return 0, false
	}
	return v.tank.c.Minus(v.air), true
}

// heater is what the fans would blow through: the coil, or the tank where no
// coil probe is fitted or its reading is lost and the pump brings tank liquid.
func (v *view) heater() known {
	if v.coil.ok {
		return v.coil
	}
	return v.tank
}

// blind says that the battery's last voltage is too old to go on without. A
// restart does not make it younger.
func (v *view) blind() bool { return v.st.Samples.Unseen > v.s.Battery.BlindAfter }

// meterKnown says that the battery's voltage is fresh.
func (v *view) meterKnown() bool {
	return v.in.Meter.HasVolts && v.in.Meter.Age <= v.s.StaleAfter
}

// batteryLost is meterKnown's opposite, except in the first moments.
func (v *view) batteryLost() bool {
	return !v.meterKnown() && (v.in.Meter.HasVolts || v.st.Up >= v.s.StaleAfter)
}

func (v *view) facts() Facts {
	f := Facts{
		Tank: v.tank.c, TankOK: v.tank.ok, Air: v.air, AirOK: v.tunnel.ok,
		Coil: v.coil.c, CoilOK: v.coil.ok, StopAt: v.stopAt,
		Rest: v.rest.v, RestOK: v.rest.ok,
		Charge: v.st.Charge.Share, Band: v.st.Charge.Band, ChargeOK: v.st.Charge.OK, Zero: v.st.Charge.Zero.Offset,
		Watching: v.st.Hand.Watch > 0, Rising: v.st.Trend.Rising, Sparing: v.st.Battery.Sparing,
		Reserve: v.floors.reserve, Tonight: v.in.Tonight,
	}
	f.Difference, _ = v.difference()
	f.Heating, f.HeatingOK = v.heating()
	return f
}
