package night

import (
	"cmp"
	"errors"
	"fmt"
	"time"
)

// Forecast is what somebody outside says of the hours to come: outdoor air in °C and, if
// told, the sun as a share of full, each the mean of a step from From on.
type Forecast struct {
	From time.Time
	Step time.Duration // 0: an hour
	Air  []float64
	Sun  []float64 // empty where not told
}

// longestForecast is ten days; its steps are of a slot of the memory to a quarter of a day.
const (
	longestForecast = 240 * time.Hour
	shortestStep    = 10 * time.Minute
	longestStep     = 6 * time.Hour
)

// step is how long each value stands for.
func (f *Forecast) step() time.Duration { return cmp.Or(f.Step, time.Hour) }

// ErrForecast is a forecast that cannot be used.
var ErrForecast = errors.New("forecast refused")

// Validate refuses what is empty, too long, or no weather of this earth: air beyond -90
// to 60 °C (the records are -89.2 and 56.7 °C, World Meteorological Organization; from
// memory), sun beyond 0 to 1.5, which no panel sees (our estimate).
func (f *Forecast) Validate() error {
	switch {
	case f.From.IsZero():
		return fmt.Errorf("%w: no time", ErrForecast)
	case f.step() < shortestStep || f.step() > longestStep:
		return fmt.Errorf("%w: steps of %v, %v to %v can be used", ErrForecast, f.Step, shortestStep, longestStep)
	case len(f.Air) == 0 || len(f.Air) > int(longestForecast/f.step()):
		return fmt.Errorf("%w: %d steps of air, 1 to %d of %v can be used", ErrForecast, len(f.Air), longestForecast/f.step(), f.step())
	case len(f.Sun) != 0 && len(f.Sun) != len(f.Air):
		return fmt.Errorf("%w: %d steps of sun beside %d of air", ErrForecast, len(f.Sun), len(f.Air))
	}
	for i, x := range f.Air {
		if !(x >= -90 && x <= 60) {
			return fmt.Errorf("%w: air of %v °C in step %d", ErrForecast, x, i+1)
		}
	}
	for i, x := range f.Sun {
		if !(x >= 0 && x <= 1.5) {
			return fmt.Errorf("%w: sun of %v in step %d", ErrForecast, x, i+1)
		}
	}
	return nil
}

// told is a forecast's value in the middle of a slot, straight between the middles of
// steps; not ok outside.
func (f *Forecast) told(of []float64, slot int64) (x float64, ok bool) {
	steps := float64(time.Unix(slot*int64(Step)+int64(Step)/2, 0).Sub(f.From)) / float64(f.step())
	if steps < 0 || steps >= float64(len(of)) {
		return 0, false
	}
	at := min(max(steps-0.5, 0), float64(len(of)-1))
	i := int(at)
	if i+1 == len(of) {
		return of[i], true
	}
	return of[i] + (at-float64(i))*(of[i+1]-of[i]), true
}
