package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Volt is an electric potential difference.
type Volt float64

// Ampere is a current. For a battery, positive charges it.
type Ampere float64

// Ohm is a resistance.
type Ohm float64

// Watt is a power, electric or thermal.
type Watt float64

// AmpereHour is a charge, the trade's unit of battery capacity.
type AmpereHour float64

// WattHour is an energy, the trade's unit on a bench.
type WattHour float64

// Joules is the energy in joules.
func (e WattHour) Joules() float64 { return float64(e) * 3600 }

// Across is the voltage that a current drives over a resistance.
func (a Ampere) Across(r Ohm) Volt { return Volt(float64(a) * float64(r)) }

// Over is the current that drives p at v; v must not be zero.
func (p Watt) Over(v Volt) Ampere { return Ampere(float64(p) / float64(v)) }

// Set reads a voltage such as "12.6 V".
func (v *Volt) Set(text string) error {
	return set(v, text, "a voltage", []unit{
		{names: []string{"V"}, scale: 1},
		{names: []string{"mV"}, scale: 1e-3},
	})
}

// String prints volts.
func (v Volt) String() string { return trim(float64(v), 2) + " V" }

// Set reads a current such as "3 A" or "250 mA".
func (a *Ampere) Set(text string) error {
	return set(a, text, "a current", []unit{
		{names: []string{"A"}, scale: 1},
		{names: []string{"mA"}, scale: 1e-3},
	})
}

// String prints amperes.
func (a Ampere) String() string { return trim(float64(a), 2) + " A" }

// Set reads a resistance such as "1.44 ohm" or "10 mΩ".
func (r *Ohm) Set(text string) error {
	return set(r, text, "a resistance", []unit{
		{names: []string{"ohm", "Ω", "Ohm", "ohms", "\u2126"}, scale: 1},
		{names: []string{"mohm", "mΩ", "milliohm"}, scale: 1e-3},
	})
}

// String prints ohms.
func (r Ohm) String() string { return trim(float64(r), 3) + " ohm" }

// Set reads a power such as "160 W", "0.1 kW" or "500 Btu/h" (1 Btu/h is
// 0.29307107 W, NIST SP 811 B.8, International Table Btu).
func (p *Watt) Set(text string) error {
	return set(p, text, "a power", []unit{
		{names: []string{"W"}, scale: 1},
		{names: []string{"kW"}, scale: 1e3},
		{names: []string{"mW"}, scale: 1e-3},
		{names: []string{"Btu/h", "BTU/h"}, scale: 0.29307107},
	})
}

// String prints watts.
func (p Watt) String() string { return trim(float64(p), 1) + " W" }

// Set reads a charge such as "20 Ah".
func (q *AmpereHour) Set(text string) error {
	return set(q, text, "a battery capacity", []unit{
		{names: []string{"Ah"}, scale: 1},
		{names: []string{"mAh"}, scale: 1e-3},
	})
}

// String prints ampere-hours.
func (q AmpereHour) String() string { return trim(float64(q), 1) + " Ah" }

// Set reads an energy such as "240 Wh", "1.2 kWh" or "4 MJ".
func (e *WattHour) Set(text string) error {
	return set(e, text, "an energy", []unit{
		{names: []string{"Wh"}, scale: 1},
		{names: []string{"kWh"}, scale: 1e3},
		{names: []string{"kJ"}, scale: 1.0 / 3.6},
		{names: []string{"MJ"}, scale: 1e3 / 3.6},
		{names: []string{"Btu", "BTU"}, scale: 0.29307107},
	})
}

// String prints watt-hours.
func (e WattHour) String() string { return trim(float64(e), 0) + " Wh" }

// SquareMillimetre is the cross-section of a wire.
type SquareMillimetre float64

// Set reads a cross-section such as "1.5 mm2", or a wire gauge such as "14 AWG": a
// diameter of 0.127 mm times 92 to the power (36-n)/39 (ASTM B258; from memory), solid or
// stranded alike.
func (a *SquareMillimetre) Set(text string) error {
	if number, ok := strings.CutSuffix(strings.TrimSpace(text), "AWG"); ok {
		n, err := strconv.Atoi(strings.TrimSpace(number))
		if err != nil || n < 0 || n > 40 {
			return fmt.Errorf("%w: %q: a wire gauge is 0 to 40 AWG", ErrUnit, text)
		}
		d := 0.127 * math.Pow(92, float64(36-n)/39)
		*a = SquareMillimetre(math.Pi / 4 * d * d)
		return nil
	}
	return set(a, text, "a cross-section", []unit{
		{names: []string{"mm2", "mm²"}, scale: 1},
		{names: []string{"sq in", "in2"}, scale: 645.16},
	})
}

// String prints square millimetres.
func (a SquareMillimetre) String() string { return trim(float64(a), 2) + " mm2" }
