package quantity

import (
	"fmt"
	"math"
	"time"
)

// WattPerKelvin is a thermal conductance.
type WattPerKelvin float64

// JoulePerKelvin is a heat capacity of a whole thing.
type JoulePerKelvin float64

// WattPerSquareMetre is an irradiance or a heat flux.
type WattPerSquareMetre float64

// KelvinPerMinute is a rate of change of temperature.
type KelvinPerMinute float64

// Span is a length of time that a grower writes with a unit: "90 s", "5 min",
// "2 h", "7 days". It exists apart from time.Duration only for parsing.
type Span time.Duration

// Times is the heat flow through g at difference d.
func (g WattPerKelvin) Times(d Kelvin) Watt { return Watt(float64(g) * float64(d)) }

// Times is the energy that changes the temperature of c by d.
func (c JoulePerKelvin) Times(d Kelvin) WattHour { return WattHour(float64(c) * float64(d) / 3600) }

// Set reads a conductance such as "20 W/K" or "38 Btu/h°F" (1 Btu/(h·°F) is
// 0.52752793 W/K: 0.29307107 W over 5/9 K).
func (g *WattPerKelvin) Set(text string) error {
	return set(g, text, "a conductance", []unit{
		{names: []string{"W/K", "W/°C"}, scale: 1},
		{names: []string{"Btu/h°F", "Btu/h·°F", "Btu/(h·°F)", "Btu/(h °F)", "BTU/h°F", "BTU/h·°F", "BTU/(h·°F)"}, scale: 0.29307107 * 9 / 5},
	})
}

// String prints W/K.
func (g WattPerKelvin) String() string { return trim(float64(g), 2) + " W/K" }

// Set reads a heat capacity such as "60 kJ/K" or "32 Btu/°F" (1 Btu, International
// Table, is 1055.05585262 J).
func (c *JoulePerKelvin) Set(text string) error {
	return set(c, text, "a heat capacity", []unit{
		{names: []string{"kJ/K"}, scale: 1e3},
		{names: []string{"J/K"}, scale: 1},
		{names: []string{"MJ/K"}, scale: 1e6},
		{names: []string{"Wh/K"}, scale: 3600},
		{names: []string{"Btu/°F", "BTU/°F"}, scale: 1055.05585262 * 9 / 5},
	})
}

// String prints kJ/K.
func (c JoulePerKelvin) String() string { return trim(float64(c)/1e3, 2) + " kJ/K" }

// Set reads an irradiance such as "800 W/m2".
func (g *WattPerSquareMetre) Set(text string) error {
	return set(g, text, "an irradiance", []unit{{names: []string{"W/m2", "W/m²"}, scale: 1}})
}

// String prints W/m2.
func (g WattPerSquareMetre) String() string { return trim(float64(g), 1) + " W/m2" }

// Set reads a rate such as "2 K/min" or "4 °F/min".
func (r *KelvinPerMinute) Set(text string) error {
	return set(r, text, "a rate of change", []unit{
		{names: []string{"K/min", "°C/min"}, scale: 1},
		{names: []string{"°F/min"}, scale: 5.0 / 9},
		{names: []string{"K/h", "°C/h"}, scale: 1.0 / 60},
		{names: []string{"°F/h"}, scale: 5.0 / 540},
	})
}

// String prints K/min.
func (r KelvinPerMinute) String() string { return trim(float64(r), 2) + " K/min" }

// Duration is the span as the standard library's type.
func (s Span) Duration() time.Duration { return time.Duration(s) }

// longest keeps a span far from the limits of time.Duration (292 years).
const longest = 10 * 365 * 24 * 3600.0

// Set reads a length of time such as "90 s", "5 min", "2 h" or "7 days".
func (s *Span) Set(text string) error {
	seconds, err := parse(text, "a length of time", []unit{
		{names: []string{"s", "sec", "second", "seconds"}, scale: 1},
		{names: []string{"ms"}, scale: 1e-3},
		{names: []string{"min", "m", "minute", "minutes"}, scale: 60},
		{names: []string{"h", "hour", "hours"}, scale: 3600},
		{names: []string{"d", "day", "days"}, scale: 86400},
	})
	if err != nil {
		return err
	}
	if seconds > longest || seconds < -longest {
		return fmt.Errorf("%w: %q is longer than ten years", ErrUnit, text)
	}
	*s = Span(math.Round(seconds * float64(time.Second)))
	return nil
}

// String prints the span in the largest unit that keeps it whole.
func (s Span) String() string {
	d := time.Duration(s)
	switch {
	case d != 0 && d%(24*time.Hour) == 0:
		return trim(d.Hours()/24, 0) + " d"
	case d != 0 && d%time.Hour == 0:
		return trim(d.Hours(), 0) + " h"
	case d != 0 && d%time.Minute == 0:
		return trim(d.Minutes(), 0) + " min"
	case d%time.Second == 0:
		return trim(d.Seconds(), 0) + " s"
	}
	return trim(d.Seconds(), 3) + " s"
}

// PerKelvin is a temperature coefficient: a relative change for every kelvin.
type PerKelvin float64

// Set reads a coefficient such as "-0.31 %/K".
func (c *PerKelvin) Set(text string) error {
	return set(c, text, "a temperature coefficient", []unit{
		{names: []string{"%/K", "%/°C"}, scale: 0.01},
		{names: []string{"ppm/K", "ppm/°C"}, scale: 1e-6},
	})
}

// String prints percent for every kelvin.
func (c PerKelvin) String() string { return trim(100*float64(c), 3) + " %/K" }
