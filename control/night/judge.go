package night

import "math"

// How far an hour's forecast by the twin may be off before it is not believed: the tank by
// so many K or this share of what it changed, the air in its mean by so many K (runs
// shorter than a slot swing it). Not judged where a vent may be open or the element
// tapers. Our choices: several times the usual error of a twin that fits.
const (
	tankOff  = 4.0
	airOff   = 3.5
	shareOff = 0.5
)

// judge holds an hour's forecast against what came. A twin that was wrong is not
// believed for an hour, by a clock that may have been set back since.
func (m *Mind) judge(now int64) {
	if m.wrong > now+piece {
		m.wrong = 0
	}
	var w [piece + 1]Slot
	for k := range w {
		s, ok := m.memory.Look(now - piece - 1 + int64(k))
		if !ok || !known(float64(s.TankFirst)) || !known(float64(s.AirFirst)) || !known(float64(s.House)) || !known(float64(s.Sun)) {
			return
		}
		w[k] = s
	}
	n, light := Now{Tank: float64(w[0].TankFirst), Air: float64(w[0].AirFirst), Bed: m.bed}, m.set.Twin.Light()
	if light {
		n.Air = m.lately(now-piece-1, n.Air)
	}
	var l link
	air, open := 0.0, false
	for k := range piece {
		a, b := &w[k], &w[k+1]
		m.twin.after(&n, float64(a.House), float64(a.Sun), float64(a.Level), float64(a.Flow), float64(a.Power), &l)
		n = l.end()
		ends := float64(b.AirFirst)
		if light {
			ends = float64(a.Air)
		}
		air += (n.Air - ends) / piece
		open = open || max(n.Air, ends) > m.twin.VentOpens-1
	}
	last := &w[piece]
	tank := n.Tank - float64(last.TankFirst)
	allowed := tankOff + shareOff*math.Abs(float64(last.TankFirst-w[0].TankFirst))
	hot := max(n.Tank, float64(last.TankFirst)) > m.twin.Limit-10
	if !hot && math.Abs(tank) > allowed || !open && math.Abs(air) > airOff {
		m.wrong = now + piece
	}
}
