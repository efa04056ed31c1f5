package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Zero is what the current meter says when nothing flows, learned at rest: at night,
// with pump and fans off, only what the settings call the draw at rest flows. Where the
// settings do not tell that draw nothing is learned, because a load that nobody told of
// is real and an offset is not. The draw of a computer behind a converter falls as
// the voltage rises, by a tenth or so; that much is learned as an offset, within the limit
// below.
type Zero struct {
	Offset quantity.Ampere
	Rested time.Duration // of rest behind it
}

// Numbers we chose, with what happens if they are wrong.
const (
	zeroMemory = 100 * time.Hour // of rest; shorter follows noise, longer a meter that was changed
	zeroPrior  = time.Hour       // the offset counts as zero for so long before all rest
	stillAfter = 5 * time.Minute // a motor that runs down
	largest    = 0.5             // of the drift that the band allows anyway
	mostOffset = quantity.Ampere(0.02)
)

// learn takes one sample.
func (z Zero) learn(c *Charge, v *view) Zero {
	b, m := &v.s.Battery, &v.st.Samples
	if !b.RestKnown || !v.in.Meter.HasAmps || c.Uncharged < unchargedAfter || !v.st.still() {
		return z
	}
	off := m.amps() + b.RestDraw
	if limit := b.offsetLimit(); off > limit || off < -limit {
		return z
	}
	z.Rested = min(z.Rested+m.Span, zeroMemory)
	z.Offset += quantity.Ampere(float64(m.Span)/float64(z.Rested+zeroPrior)) * (off - z.Offset)
	return z
}

// offsetLimit is the largest offset worth believing: a draw told wrong is learned as an
// offset, and then the band must still hold. More than 20 mA no meter of this kind has:
// 100 µV over 10 mΩ give 10 mA (INA219 datasheet, offset voltage at most ±100 µV; from
// memory, unverified).
func (b *Battery) offsetLimit() quantity.Ampere {
	return min(mostOffset, quantity.Ampere(largest*float64(driftPerDay)*float64(b.Capacity)/24))
}

// still says that neither pump nor fans have run for a while.
func (st *State) still() bool {
	idle := st.Hand.Watch > 0
	return idle || !st.Pump.On && !st.Fans.On && min(st.Pump.For, st.Fans.For) >= stillAfter
}
