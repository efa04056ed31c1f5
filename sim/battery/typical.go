package battery

import (
	"time"

	"duskloop/sensors/quantity"
)

// ratedIn is the time in which the printed capacity is drawn (20 h rate).
const ratedIn = 20 * time.Hour

// Typical is a battery of a kind with usual figures, its rated capacity being that
// at the 20 h rate and 25 °C, as printed on it.
//
// The wells: lead-acid c and k are fitted by us to usual datasheet ratios, from
// memory, unverified: AGM gives 65 % of the 20 h capacity in 1 h and 87 % in 5 h,
// flooded 55 and 82 %. The fit then says 95 and 93 % for 10 h (datasheets 93-95) and
// 104 and 106 % for 100 h (datasheets 105-110, so a little is left out). LiFePO4 is
// nearly one well: 98 % in 1 h; its c and k are our estimate. If they are wrong, a
// heavy load empties the battery too early or too late; a load of C/20 does not.
//
// Efficiency: lead-acid 85 % (a weak web source), LiFePO4 99 % (from
// memory). Self-discharge a month: flooded 5-15 % (one datasheet), AGM 1-3 %,
// LiFePO4 2-3 % (both from memory). Resistance: AGM 12 V 20 Ah 10-15 mΩ (from
// memory), scaled with size; flooded taken one and a half times that; LiFePO4 is our
// estimate. The slow
// part and the set-points are our estimates of common practice, no
// source: surface charge of some tenths of a volt that fades in an hour or two.
func Typical(c Chemistry, rated quantity.AmpereHour) Params {
	size := quantity.Ohm(20 / float64(rated))
	p := Params{Chemistry: c}
	switch c {
	case LiFePO4:
		p.Ready, p.Exchange = 0.95, 2
		p.Resistance, p.Slow, p.SlowTime = 0.020*size, 0.010*size, 10*time.Minute
		p.Efficiency, p.SelfDischarge = 0.99, 0.025
		p.Absorb, p.Float = 14.2, 13.5
	case AGM:
		p.Ready, p.Exchange = 0.52, 0.86
		p.Resistance, p.Slow, p.SlowTime = 0.0125*size, 0.150*size, 90*time.Minute
		p.Efficiency, p.SelfDischarge = 0.85, 0.02
		p.Absorb, p.Float = 14.4, 13.6
	default:
		p.Ready, p.Exchange = 0.405, 0.915
		p.Resistance, p.Slow, p.SlowTime = 0.019*size, 0.200*size, 90*time.Minute
		p.Efficiency, p.SelfDischarge = 0.85, 0.10
		p.Absorb, p.Float = 14.6, 13.5
	}
	w := wells{c: float64(p.Ready), k: float64(p.Exchange)}
	p.Capacity = rated / quantity.AmpereHour(w.capacity(ratedIn.Hours()))
	return p
}
