package quantity

// Celsius is a temperature in degrees Celsius.
type Celsius float64

// Kelvin is a difference of two temperatures in kelvin. It is never an
// absolute temperature: formulas that need one use Celsius.Absolute.
type Kelvin float64

// zeroCelsius is 0 °C in kelvin, exact by definition of the Celsius scale
// (BIPM, SI brochure, 9th edition, 2.3.1).
const zeroCelsius = 273.15

// Minus is the difference c - other.
func (c Celsius) Minus(other Celsius) Kelvin { return Kelvin(c - other) }

// Plus is the temperature d above c.
func (c Celsius) Plus(d Kelvin) Celsius { return c + Celsius(d) }

// Absolute is the thermodynamic temperature in kelvin, as a bare number for
// use inside formulas.
func (c Celsius) Absolute() float64 { return float64(c) + zeroCelsius }

// FromAbsolute is the temperature at k kelvin above absolute zero.
func FromAbsolute(k float64) Celsius { return Celsius(k - zeroCelsius) }

// Fahrenheit is the same temperature in degrees Fahrenheit.
func (c Celsius) Fahrenheit() float64 { return float64(c)*9/5 + 32 }

// Set reads a temperature such as "125 °F" or "-9.5 °C".
func (c *Celsius) Set(text string) error {
	return set(c, text, "a temperature", []unit{
		{names: []string{"°C", "C", "degC", "℃", "° C"}, scale: 1},
		{names: []string{"°F", "F", "degF", "℉", "° F"}, scale: 5.0 / 9, offset: -160.0 / 9},
	})
}

// String prints degrees Celsius.
func (c Celsius) String() string { return c.In(SI) }

// In prints the temperature in the grower's units.
func (c Celsius) In(u Units) string {
	if u == US {
		return trim(c.Fahrenheit(), 1) + " °F"
	}
	return trim(float64(c), 1) + " °C"
}

// Set reads a temperature difference such as "14 °F" or "8 K".
func (k *Kelvin) Set(text string) error {
	return set(k, text, "a temperature difference", []unit{
		{names: []string{"K"}, scale: 1},
		{names: []string{"°C", "C", "degC", "℃", "° C"}, scale: 1},
		{names: []string{"°F", "F", "degF", "℉", "° F"}, scale: 5.0 / 9},
	})
}

// String prints kelvin.
func (k Kelvin) String() string { return k.In(SI) }

// In prints the difference in the grower's units: K, or °F.
func (k Kelvin) In(u Units) string {
	if u == US {
		return trim(float64(k)*9/5, 1) + " °F"
	}
	return trim(float64(k), 1) + " K"
}
