package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// tunnelHysteresis is how far tunnel air must fall below the crop's maximum
// before heat may go there again. Chosen: twice a probe's ±0.5 K.
const tunnelHysteresis = quantity.Kelvin(1)

// pass judges tank and tunnel. An unknown tank keeps what it was, so that a
// probe lost in the heat does not end the alarm.
func (h Heat) pass(d time.Duration, v *view) Heat {
	h.For = held(h.For, d, h.Hot)
	if v.tank.ok {
		limits := v.s.Tank
		h.Hot = above(h.Hot, v.tank.c, limits.Hot, limits.Hysteresis)
		h.Danger = above(h.Danger, v.tank.c, limits.Danger, limits.Hysteresis)
	}
	h.Tunnel = v.tunnel.ok && above(h.Tunnel, v.tunnel.c, v.s.Crop.Maximum, tunnelHysteresis)
	return h
}

// above is a threshold with hysteresis: set at the limit, cleared below it.
func above(was bool, c, limit quantity.Celsius, hysteresis quantity.Kelvin) bool {
	if was {
		return c > limit.Plus(-hysteresis)
	}
	return c >= limit
}

// cool says that the tank is known and below tank-hot by the hysteresis: only
// then may the contactor close.
func (v *view) cool() bool {
	return v.tank.ok && v.tank.c <= v.s.Tank.Hot.Plus(-v.s.Tank.Hysteresis)
}

// mustOpen says whether the element must be cut: tank hot or unknown, its level
// low (an uncovered element burns), or a reading that is not believed yet but
// would be hot. A false suspicion costs some minutes of sun; a true one that
// waited for proof could cost more.
func (v *view) mustOpen() bool {
	hot := v.st.Hot.Hot || v.st.Hot.Danger || v.suspectHot()
	return hot || !v.tank.ok || v.in.Level == LevelLow
}

// pass opens at once and closes only after the minimum open time.
func (c Contactor) pass(d time.Duration, v *view) Contactor {
	c.For += d
	switch {
	case !v.s.Fitted.Contactor:
		return Contactor{}
	case v.mustOpen() && c.Closed:
		return Contactor{}
	case !c.Closed && !v.mustOpen() && v.cool() && c.For >= v.s.Tank.MinOpen:
		return Contactor{Closed: true}
	}
	return c
}
