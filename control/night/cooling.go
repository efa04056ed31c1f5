package night

import (
	"errors"
	"fmt"
	"math"
)

// Cooling is a night's air that falls with the root of the time, from two hours after
// sunset: T(t) = Start + Fall √(t-2), t in hours after sunset. For nights of radiation:
// wind below 2 m/s, no cloud, fog or rain (Snyder & de Melo-Abreu, Frost Protection,
// FAO 2005, ch. 5), nights of up to LongestNight. On others it is a rule of thumb.
type Cooling struct {
	Start float64 // °C, two hours after sunset
	Fall  float64 // K per root of an hour; below 0 where it cools
}

// LongestNight is the longest for which a cooling answers, hours. Our choice: the sun
// that hardly rises does not end a night as the rule has it.
const LongestNight = 20.0

// ErrCooling is a question outside what the rule answers.
var ErrCooling = errors.New("outside the square-root rule of cooling")

// At is the air so many hours after sunset, 2 to LongestNight, °C: its minimum, asked
// for at sunrise.
func (c Cooling) At(hours float64) (float64, error) {
	if !(hours >= 2 && hours <= LongestNight) {
		return 0, fmt.Errorf("%w: %.1f h after sunset", ErrCooling, hours)
	}
	return c.Start + c.Fall*math.Sqrt(hours-2), nil
}

// Toward is the cooling that reaches a minimum at the end of a night of so many hours,
// more than 2.
func Toward(start, minimum, night float64) (Cooling, error) {
	if !(night > 2 && night <= LongestNight) {
		return Cooling{}, fmt.Errorf("%w: a night of %.1f h", ErrCooling, night)
	}
	return Cooling{Start: start, Fall: (minimum - start) / math.Sqrt(night-2)}, nil
}

// Heat is what holds air at a temperature from two hours after sunset to the end of a
// night, behind a cover of so many W/K: Wh. It is the integral of the cover's loss from
// where the cooling falls below what is held; a cooling that rises is refused.
func (c Cooling) Heat(cover, hold, night float64) (float64, error) {
	switch {
	case !(night >= 2 && night <= LongestNight):
		return 0, fmt.Errorf("%w: a night of %.1f h", ErrCooling, night)
	case !(c.Fall < 0):
		return 0, fmt.Errorf("%w: air that does not fall", ErrCooling)
	}
	above, all, from := hold-c.Start, night-2, 0.0
	if above < 0 {
		from = min(all, (above/c.Fall)*(above/c.Fall))
	}
	return cover * (above*(all-from) - 2./3*c.Fall*(math.Pow(all, 1.5)-math.Pow(from, 1.5))), nil
}

// Falling fits a cooling to a night while it lasts, by least squares through its start.
type Falling struct {
	start  float64
	xy, xx float64
	points int
}

// NewFalling begins two hours after sunset, at a temperature.
func NewFalling(start float64) Falling { return Falling{start: start} }

// Add takes in the air so many hours after sunset, more than 2.
func (f *Falling) Add(hours, air float64) error {
	if !(hours > 2 && hours <= LongestNight) || !known(air) {
		return fmt.Errorf("%w: %.1f °C at %.1f h after sunset", ErrCooling, air, hours)
	}
	f.xy += (air - f.start) * math.Sqrt(hours-2)
	f.xx += hours - 2
	f.points++
	return nil
}

// leastPoints is from how many on a fit says anything.
const leastPoints = 3

// Cooling so far; refused before the third point.
func (f *Falling) Cooling() (Cooling, error) {
	if f.points < leastPoints {
		return Cooling{}, fmt.Errorf("%w: %d points, and %d are needed", ErrCooling, f.points, leastPoints)
	}
	return Cooling{Start: f.start, Fall: f.xy / f.xx}, nil
}
