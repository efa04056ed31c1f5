package sun

import (
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// Site is a place on Earth with its usual haze.
type Site struct {
	Latitude  quantity.Angle // north positive, -90 to 90
	Longitude quantity.Angle // east positive, -180 to 180
	Elevation quantity.Metre // above the sea
	// Turbidity is the Linke turbidity of a clear day (2 very clean, 3 usual in
	// winter, 5 hazy). Zero means 3.
	Turbidity float64
}

// Validate refuses a place that is not on Earth.
func (s Site) Validate() error {
	switch {
	case !(math.Abs(float64(s.Latitude)) <= 90):
		return fmt.Errorf("latitude %v: must be -90 to 90 deg", s.Latitude)
	case !(math.Abs(float64(s.Longitude)) <= 180):
		return fmt.Errorf("longitude %v: must be -180 to 180 deg", s.Longitude)
	case !(s.Elevation >= -500 && s.Elevation <= 6000):
		return fmt.Errorf("elevation %v: must be -500 to 6000 m", s.Elevation)
	case s.Turbidity != 0 && !(s.Turbidity >= 1 && s.Turbidity <= 10):
		return fmt.Errorf("turbidity %g: must be 1 to 10", s.Turbidity)
	}
	return nil
}

// turbidity is the Linke turbidity with its default.
func (s Site) turbidity() float64 {
	if s.Turbidity == 0 {
		return 3
	}
	return s.Turbidity
}

// radians of an angle in degrees.
func radians(deg float64) float64 { return deg * math.Pi / 180 }

// degrees of an angle in radians.
func degrees(rad float64) float64 { return rad * 180 / math.Pi }
