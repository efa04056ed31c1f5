package weather

import (
	"time"

	"duskloop/sensors/quantity"
)

// MetrePerSecond is a wind speed.
type MetrePerSecond float64

// Sample is the weather at one instant.
type Sample struct {
	Air      quantity.Celsius
	DewPoint quantity.Celsius
	// GHI, DNI and DHI are global horizontal, direct normal and diffuse
	// horizontal irradiance.
	GHI, DNI, DHI quantity.WattPerSquareMetre
	Wind          MetrePerSecond
	Cloud         quantity.Share
}

// Source is anything that knows the weather: Generator or Series.
type Source interface {
	At(t time.Time) Sample
}
