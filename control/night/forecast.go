package night

import (
	"errors"
	"fmt"
	"time"
)

// Forecast is what somebody outside says of the hours to come: outdoor air in °C and, if
// told, the sun as a share of full, each the mean of an hour from From on.
type Forecast struct {
	From time.Time
	Air  []float64
	Sun  []float64 // empty where not told
}

// longestForecast is ten days, in hours.
const longestForecast = 240

// ErrForecast is a forecast that cannot be used.
var ErrForecast = errors.New("forecast refused")

// Validate refuses what is empty, too long, or no weather of this earth: air beyond -90
// to 60 °C (the records are -89.2 and 56.7 °C, World Meteorological Organization; from
// memory), sun beyond 0 to 1.5, which no panel sees (our estimate).
func (f *Forecast) Validate() error {
	switch {
	case f.From.IsZero():
		return fmt.Errorf("%w: no time", ErrForecast)
	case len(f.Air) == 0 || len(f.Air) > longestForecast:
		return fmt.Errorf("%w: %d hours of air, 1 to %d can be used", ErrForecast, len(f.Air), longestForecast)
	case len(f.Sun) != 0 && len(f.Sun) != len(f.Air):
		return fmt.Errorf("%w: %d hours of sun beside %d of air", ErrForecast, len(f.Sun), len(f.Air))
	}
	for i, x := range f.Air {
		if !(x >= -90 && x <= 60) {
			return fmt.Errorf("%w: air of %v °C in hour %d", ErrForecast, x, i+1)
		}
	}
	for i, x := range f.Sun {
		if !(x >= 0 && x <= 1.5) {
			return fmt.Errorf("%w: sun of %v in hour %d", ErrForecast, x, i+1)
		}
	}
	return nil
}

// hourly is a forecast's value in the middle of a slot, straight between the middles of
// hours; not ok outside.
func (f *Forecast) hourly(of []float64, slot int64) (x float64, ok bool) {
	hours := time.Unix(slot*int64(Step)+int64(Step)/2, 0).Sub(f.From).Hours()
	if hours < 0 || hours >= float64(len(of)) {
		return 0, false
	}
	at := min(max(hours-0.5, 0), float64(len(of)-1))
	i := int(at)
	if i+1 == len(of) {
		return of[i], true
	}
	return of[i] + (at-float64(i))*(of[i+1]-of[i]), true
}
