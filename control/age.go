package control

import (
	"time"

	"duskloop/sensors/quantity"
)

// Age is what the battery still holds when full, a share of its rated capacity,
// learned slowly: whenever it is full the count begins anew, and whenever it then rests
// well below, what was drawn stands against what the rest voltage says is gone.
//
// The voltage errs the same way each time, so that no number of nights makes it better;
// therefore it is taken as a bound and not averaged. Holds moves only where a reading,
// with all its doubt, contradicts it, and then half of the way to what it allows.
type Age struct {
	Rated quantity.AmpereHour // what it is a share of; another battery begins anew
	Holds quantity.Share
	Drawn quantity.AmpereHour // since it was last full
	Put   quantity.AmpereHour // since then
	Since time.Duration       // since it was last full
	Full  bool                // it has been full
	Deep  quantity.Share      // how deep it was when last judged since then
}

// Numbers we chose, with what happens if they are wrong.
const (
	// A battery holds about what is printed on it, by this much more or less, and what is
	// learned is no better. Too small, and the band of the count is false.
	ageBand = quantity.Share(0.13)
	// Less deep, and the voltage's own band is most of what is judged; deeper, and even
	// a small load pulls lead-acid's voltage down.
	deepEnough, tooDeep = quantity.Share(0.3), quantity.Share(0.7)
	deeper              = quantity.Share(0.05) // for another look
	putAtMost           = 0.3                  // of what was drawn: its efficiency is poorly known
	// Bounds of belief: beyond them something else is wrong.
	leastHolds, mostHolds = quantity.Share(0.4), quantity.Share(1.1)
)

// of is the age of the battery that the settings describe.
func (a Age) of(b *Battery) Age {
	if a.Rated != b.Capacity || a.Holds == 0 {
		return Age{Rated: b.Capacity, Holds: 1}
	}
	return a
}

// count takes a current over a time.
func (a Age) count(amps float64, d time.Duration) Age {
	a.Since += d
	if ah := quantity.AmpereHour(amps * d.Hours()); ah < 0 {
		a.Drawn -= ah
	} else {
		a.Put += ah
	}
	return a
}

// filled begins the count anew.
func (a Age) filled() Age {
	a.Drawn, a.Put, a.Deep, a.Since, a.Full = 0, 0, 0, 0, true
	return a
}

// judge holds what was drawn against a rested reading.
func (a Age) judge(r reading, c Chemistry) Age {
	deep := 1 - r.share
	if !a.Full || deep < max(deepEnough, a.Deep+deeper) || deep > tooDeep && c != LFP || float64(a.Put) > putAtMost*float64(a.Drawn) {
		return a
	}
	gone := float64(a.Drawn) - float64(a.Put)*c.chargeEfficiency()
	seen := quantity.Share(gone/float64(a.Rated)) / deep
	doubt := seen*(r.band/deep+meterGain) + a.counted()/deep
	allowed := min(max(a.Holds, seen-doubt), seen+doubt)
	a.Deep = deep
	a.Holds = min(max(a.Holds+(allowed-a.Holds)/2, leastHolds), mostHolds)
	return a
}

// counted is how far the count itself may be off, of the rated capacity: what was put in,
// by its efficiency, and the drift of all those days.
func (a Age) counted() quantity.Share {
	put := quantity.Share(chargeGain * float64(a.Put/a.Rated))
	return put + driftPerDay*quantity.Share(a.Since.Hours()/24)
}

// lost forgets the count after a gap, in which anything may have flowed.
func (a Age) lost() Age {
	a.Full = false
	return a
}

// agedBelow is where a battery is due to be replaced: below 80 % of its rated capacity
// (the criterion of IEEE 450 and 1188 for stationary lead-acid; from memory, unverified).
const agedBelow = quantity.Share(0.8)

// aged says that the battery holds less than it should, whatever the band.
func (v *view) aged(margin quantity.Share) bool {
	a := v.st.Charge.Age
	return a.Rated == v.s.Battery.Capacity && a.Holds > 0 && a.Holds+ageBand < agedBelow+margin
}
