package season

import (
	"math"
	"time"

	"duskloop/sensors/quantity"
)

// living is a stretch while it is lived again.
type living struct {
	past    *remembered
	minimum float64
	x       Relived
	off     meanOff
}

// take in the air of a minute that ends at a time, beside what is remembered.
func (l *living) take(at time.Time, air quantity.Celsius) {
	l.x.Coldest = min(l.x.Coldest, air)
	below := sq(max(0, l.minimum-float64(air))) / 60
	if l.x.Squared += below; below > 0 {
		l.x.Below += time.Minute
	}
	k := slotAt(at)
	if slot, ok := l.past.memory.Look(k); ok && !math.IsNaN(float64(slot.Air)) {
		l.x.Was = min(l.x.Was, quantity.Celsius(slot.Air))
		l.x.Seen += below
		l.off.add(k, float64(air), float64(slot.Air))
	}
}

// lived ends it.
func (l *living) lived() Relived {
	l.x.Off = l.off.root()
	return l.x
}

// meanOff gathers how far an air is off a remembered one, slot by slot: what is remembered is
// a mean, and is compared with one.
type meanOff struct {
	slot   int64
	sum, n float64 // of the slot at hand
	seen   float64
	all, k float64
}

func (o *meanOff) add(slot int64, air, seen float64) {
	if slot != o.slot {
		o.close()
	}
	o.slot, o.seen = slot, seen
	o.sum, o.n = o.sum+air, o.n+1
}

func (o *meanOff) close() {
	if o.n > 0 {
		o.all, o.k = o.all+sq(o.sum/o.n-o.seen), o.k+1
	}
	o.sum, o.n = 0, 0
}

// root of the mean square.
func (o *meanOff) root() float64 {
	o.close()
	return math.Sqrt(o.all / max(o.k, 1))
}
