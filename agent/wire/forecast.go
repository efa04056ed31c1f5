package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"time"
)

// Forecast is what somebody outside says of the hours to come. Each value is the mean of a
// step, the first beginning at From.
type Forecast struct {
	From  time.Time `json:"from"`
	StepS int64     `json:"step_s"`
	AirC  []float64 `json:"air_c"`              // outdoors, °C
	SunW  []float64 `json:"sun_w_m2,omitempty"` // on the level, W/m²
}

// longestForecast is more than ten days of hours of air and sun take.
const longestForecast = 16384

// Bounds of a forecast; messages.json has the same. Steps are from a slot of the memory
// to a quarter of a day. Air is that of this earth (-89.2 and 56.7 °C are the records,
// World Meteorological Organization; from memory, unverified). A surface turned to the
// sun above the atmosphere has 1361 W/m² (Kopp & Lean, Geophysical Research Letters 38,
// 2011, L01706); broken cloud can for minutes exceed a clear sky, 1600 is our estimate
// of the most that is no error.
const (
	shortestStep = 600
	longestStep  = 21600
	mostSteps    = 1440
	coldestAir   = -90.0
	hottestAir   = 60.0
	brightestSun = 1600.0
)

// ErrForecast is wrapped by every refusal of a forecast's form.
var ErrForecast = errors.New("forecast refused")

// ParseForecast decodes and checks a forecast.
func ParseForecast(data []byte) (Forecast, error) {
	f, err := decodeForecast(data)
	if err == nil {
		err = f.check()
	}
	if err != nil {
		return Forecast{}, fmt.Errorf("%w: %w", ErrForecast, err)
	}
	return f, nil
}

func decodeForecast(data []byte) (f Forecast, err error) {
	if len(data) > longestForecast {
		return f, fmt.Errorf("longer than %d bytes", longestForecast)
	}
	if err := onlyOnce(data); err != nil {
		return f, err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return f, fmt.Errorf("not the JSON that is wanted: %w", err)
	}
	return f, nil
}

func (f *Forecast) check() error {
	switch {
	case f.From.IsZero():
		return errors.New("from says no time")
	case f.StepS < shortestStep || f.StepS > longestStep:
		return fmt.Errorf("step_s is %d to %d, not %d", shortestStep, longestStep, f.StepS)
	case len(f.AirC) == 0 || len(f.AirC) > mostSteps:
		return fmt.Errorf("%d values of air_c, 1 to %d can be used", len(f.AirC), mostSteps)
	case len(f.SunW) != 0 && len(f.SunW) != len(f.AirC):
		return fmt.Errorf("%d values of sun_w_m2 beside %d of air_c", len(f.SunW), len(f.AirC))
	}
	if err := within("air_c", f.AirC, coldestAir, hottestAir); err != nil {
		return err
	}
	return within("sun_w_m2", f.SunW, 0, brightestSun)
}

func within(what string, all []float64, low, high float64) error {
	for i, x := range all {
		if !(x >= low && x <= high) {
			return fmt.Errorf("value %d of %s is %g, not %g to %g", i+1, what, x, low, high)
		}
	}
	return nil
}
