package fit

import (
	"math"
	"time"

	"duskloop/control/night"
)

// Minute is what a record says of one minute. What is not known is night.Absent.
type Minute struct {
	Tank, Air, House, Bed night.Known // °C, at its beginning
	// Sun is the mean in the plane of the element's panel, as a share of full sun.
	Sun night.Known
	// On is for what share of the minute pump and fans ran together, and Speed how fast
	// then, as a share of full speed; Stirred is for what share the pump ran
	// alone, Blown for what share the fans did. Power is the mean share of their full draw.
	On, Speed, Stirred, Blown, Power float64
	Seen                             bool        // the record has the minute at all
	Volts, Amps                      night.Known // of the battery, at its beginning; amperes into it
}

// Record is what a fit sees: minutes without a hole, from a time on.
type Record struct {
	Start   time.Time
	Minutes []Minute
	// Heated says that Sun is by the voltage of the element's panel, so that it tells what
	// heats the tank; otherwise it only tells about how bright it is.
	Heated bool
	// Skies tell the sun on the level from that in the plane, and when the sun is down.
	Skies night.Skies
}

// Nothing is a minute of which nothing is known.
func Nothing() Minute {
	x := math.NaN()
	return Minute{Tank: x, Air: x, House: x, Bed: x, Sun: x, Volts: x, Amps: x}
}

func known(x float64) bool { return !math.IsNaN(x) }

// at is the time of a minute.
func (r *Record) at(k int) time.Time { return r.Start.Add(time.Duration(k) * time.Minute) }

// slot is the slot of all time that a minute is in.
func (r *Record) slot(k int) int64 {
	return int64(math.Floor(float64(r.at(k).Unix()) / night.Step))
}
