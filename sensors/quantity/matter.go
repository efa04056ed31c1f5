package quantity

// Litre is a volume.
type Litre float64

// LitrePerMinute is a volume flow.
type LitrePerMinute float64

// Kilogram is a mass.
type Kilogram float64

// Metre is a length.
type Metre float64

// SquareMetre is an area.
type SquareMetre float64

// CubicMetreSecond is a volume flow of air in cubic metres a second.
type CubicMetreSecond float64

// Share is a part of a whole, 0 to 1: a mass fraction, a state of charge, a
// duty. It is written in percent.
type Share float64

// Angle is an angle in degrees.
type Angle float64

// Set reads a volume such as "5 gal" or "20 L". Gallons and cups are US ones.
func (v *Litre) Set(text string) error {
	return set(v, text, "a volume", []unit{
		{names: []string{"L", "l", "litre", "litres", "liter", "liters"}, scale: 1},
		{names: []string{"mL", "ml"}, scale: 1e-3},
		{names: []string{"gal", "gallon", "gallons"}, scale: 3.785411784},
		{names: []string{"qt", "quart", "quarts"}, scale: 0.946352946},
		{names: []string{"cup", "cups"}, scale: 0.2365882365},
		{names: []string{"m3", "m³"}, scale: 1e3},
		{names: []string{"cu ft", "ft3", "ft³"}, scale: 28.316846592},
	})
}

// String prints litres.
func (v Litre) String() string { return v.In(SI) }

// In prints litres or US gallons.
func (v Litre) In(u Units) string {
	if u == US {
		return trim(float64(v)/3.785411784, 2) + " gal"
	}
	return trim(float64(v), 2) + " L"
}

// Set reads a flow such as "1.5 L/min" or "0.4 gal/min".
func (f *LitrePerMinute) Set(text string) error {
	return set(f, text, "a flow", []unit{
		{names: []string{"L/min", "l/min"}, scale: 1},
		{names: []string{"L/h", "l/h"}, scale: 1.0 / 60},
		{names: []string{"gal/min", "gpm"}, scale: 3.785411784},
		{names: []string{"gal/h", "gph"}, scale: 3.785411784 / 60},
	})
}

// String prints litres a minute.
func (f LitrePerMinute) String() string { return trim(float64(f), 2) + " L/min" }

// Set reads a mass such as "20 kg" or "12 lb".
func (m *Kilogram) Set(text string) error {
	return set(m, text, "a mass", []unit{
		{names: []string{"kg"}, scale: 1},
		{names: []string{"g"}, scale: 1e-3},
		{names: []string{"lb", "lbs"}, scale: 0.45359237},
		{names: []string{"oz"}, scale: 0.45359237 / 16},
	})
}

// String prints kilograms.
func (m Kilogram) String() string { return trim(float64(m), 2) + " kg" }

// Set reads a length such as "273 m" or "10 ft".
func (l *Metre) Set(text string) error {
	return set(l, text, "a length", []unit{
		{names: []string{"m"}, scale: 1},
		{names: []string{"cm"}, scale: 1e-2},
		{names: []string{"mm"}, scale: 1e-3},
		{names: []string{"ft", "feet"}, scale: 0.3048},
		{names: []string{"in", "inch", "inches"}, scale: 0.0254},
	})
}

// String prints metres, or millimetres below one metre.
func (l Metre) String() string {
	if l != 0 && l < 1 && l > -1 {
		return trim(1000*float64(l), 1) + " mm"
	}
	return trim(float64(l), 2) + " m"
}

// Set reads an area such as "6 m2" or "64 sq ft".
func (a *SquareMetre) Set(text string) error {
	return set(a, text, "an area", []unit{
		{names: []string{"m2", "m²"}, scale: 1},
		{names: []string{"sq ft", "ft2", "ft²", "sqft"}, scale: 0.3048 * 0.3048},
	})
}

// String prints square metres.
func (a SquareMetre) String() string { return trim(float64(a), 2) + " m2" }

// Set reads an air flow such as "65 m3/h" or "40 cfm".
func (f *CubicMetreSecond) Set(text string) error {
	return set(f, text, "an air flow", []unit{
		{names: []string{"m3/s", "m³/s"}, scale: 1},
		{names: []string{"m3/h", "m³/h"}, scale: 1.0 / 3600},
		{names: []string{"L/s", "l/s"}, scale: 1e-3},
		{names: []string{"cfm"}, scale: 0.3048 * 0.3048 * 0.3048 / 60},
	})
}

// String prints cubic metres an hour.
func (f CubicMetreSecond) String() string { return trim(float64(f)*3600, 1) + " m3/h" }

// Set reads a share such as "38 %" or "38 % by weight".
func (s *Share) Set(text string) error {
	return set(s, text, "a share", []unit{
		{names: []string{"%", "percent", "% by weight", "% by mass"}, scale: 1e-2},
	})
}

// String prints percent.
func (s Share) String() string { return trim(float64(s)*100, 1) + " %" }

// Set reads an angle such as "60 deg" or "-79.95°".
func (a *Angle) Set(text string) error {
	return set(a, text, "an angle", []unit{{names: []string{"deg", "°", "degrees"}, scale: 1}})
}

// String prints degrees.
func (a Angle) String() string { return trim(float64(a), 4) + " deg" }
