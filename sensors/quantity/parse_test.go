package quantity_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// Sources of the factors checked here, apart from plain decimal prefixes:
//
//	[811]  NIST Special Publication 811 (2008 edition), appendix B.8, "Factors
//	       for units listed alphabetically"
//	[C13]  NIST Handbook 44, appendix C, "General tables of units of
//	       measurement": 1 US gallon = 231 cubic inches, 4 quarts, 16 cups
//
// The values were put down from memory of these tables, and the exact ones were
// worked out again from the definitions of inch (25.4 mm), pound (0.45359237
// kg) and gallon.

// setter is any quantity under test.
type setter interface{ Set(string) error }

// set reads text into a new T.
func set[T any, P interface {
	*T
	setter
}](text string) (T, error) {
	var v T
	err := P(&v).Set(text)
	return v, err
}

// number is set as a bare number.
func number[T ~float64, P interface {
	*T
	setter
}](text string) (float64, error) {
	v, err := set[T, P](text)
	return float64(v), err
}

// kind is one quantity, and how it reads a text.
type kind func(string) (float64, error)

// kinds are all quantities that are plain numbers, by name.
func kinds() map[string]kind {
	return map[string]kind{
		"temperature":  number[quantity.Celsius],
		"difference":   number[quantity.Kelvin],
		"voltage":      number[quantity.Volt],
		"current":      number[quantity.Ampere],
		"resistance":   number[quantity.Ohm],
		"power":        number[quantity.Watt],
		"charge":       number[quantity.AmpereHour],
		"energy":       number[quantity.WattHour],
		"conductance":  number[quantity.WattPerKelvin],
		"capacity":     number[quantity.JoulePerKelvin],
		"irradiance":   number[quantity.WattPerSquareMetre],
		"rate":         number[quantity.KelvinPerMinute],
		"coefficient":  number[quantity.PerKelvin],
		"volume":       number[quantity.Litre],
		"flow":         number[quantity.LitrePerMinute],
		"mass":         number[quantity.Kilogram],
		"length":       number[quantity.Metre],
		"area":         number[quantity.SquareMetre],
		"air flow":     number[quantity.CubicMetreSecond],
		"share":        number[quantity.Share],
		"angle":        number[quantity.Angle],
		"span of time": number[span],
	}
}

// span lets a Span stand among the numbers, in seconds.
type span float64

func (s *span) Set(text string) error {
	v, err := set[quantity.Span](text)
	*s = span(v.Duration().Seconds())
	return err
}

func TestSet(t *testing.T) {
	t.Parallel()
	rows := []struct {
		kind, text string
		want       float64
		from       string
	}{
		{"coefficient", "-0.31 %/K", -0.0031, "percent of the value"},
		{"conductance", "38 Btu/(h·°F)", 20.04606, "38 x 0.52752793"},
		{"capacity", "32 Btu/°F", 60771.22, "32 x 1055.05585262 x 1.8"},
		{"volume", "50 cu ft", 1415.842, "[811] ft³ = 28.316846592 L"},
		{"temperature", "125 °F", 51.0 + 2.0/3, "[811] t/°C = (t/°F - 32)/1.8"},
		{"temperature", "14 °F", -10, "as a reading"},
		{"temperature", "14°F", -10, "no space"},
		{"temperature", "14 ° F", -10, "space inside"},
		{"temperature", "-40 F", -40, "where both scales meet"},
		{"temperature", "212 degF", 100, "boiling"},
		{"temperature", "-9.5 °C", -9.5, ""},
		{"temperature", "\u22129.5 ℃", -9.5, "U+2212 minus sign"},
		{"temperature", "  51.7   °C ", 51.7, "spaces around"},
		{"difference", "14 °F", 7 + 7.0/9, "as a difference: [811] 5/9 K"},
		{"difference", "8 K", 8, ""},
		{"difference", "8 °C", 8, ""},
		{"difference", "-2 K", -2, ""},
		{"voltage", "12.6 V", 12.6, ""},
		{"voltage", "12600 mV", 12.6, ""},
		{"current", "250 mA", 0.25, ""},
		{"current", "-3A", -3, ""},
		{"resistance", "10 mΩ", 0.01, ""},
		{"resistance", "1.44 ohm", 1.44, ""},
		{"resistance", "2 \u2126", 2, "U+2126 ohm sign"},
		{"power", "0.1 kW", 100, ""},
		{"power", "500 Btu/h", 146.535535, "[811] Btu(IT)/h = 0.29307107 W"},
		{"charge", "20 Ah", 20, ""},
		{"energy", "4.2 MJ", 1166.0 + 2.0/3, "3.6 MJ = 1 kWh"},
		{"energy", "1.2 kWh", 1200, ""},
		{"energy", "3412.14163 Btu", 1000, "[811] Btu(IT) = 1055.056 J"},
		{"conductance", "20 W/K", 20, ""},
		{"conductance", "38 Btu/h°F", 20.04606, "[811] Btu(IT)/(h·°F) = 0.5275279 W/K"},
		{"capacity", "60 kJ/K", 60000, ""},
		{"capacity", "22 Wh/K", 79200, ""},
		{"irradiance", "800 W/m²", 800, ""},
		{"rate", "2 K/min", 2, ""},
		{"rate", "4 °F/min", 20.0 / 9, ""},
		{"rate", "60 K/h", 1, ""},
		{"rate", "108 °F/h", 1, ""},
		{"volume", "5 gal", 18.92705892, "[811] US gallon = 3.785412 L; [C13] 231 in³ exactly"},
		{"volume", "1 gallon", 231 * 2.54 * 2.54 * 2.54 / 1000, "[C13] 231 in³"},
		{"volume", "4 qt", 3.785411784, "[C13] four quarts a gallon"},
		{"volume", "16 cups", 3.785411784, "[C13] sixteen cups a gallon"},
		{"volume", "0.02 m³", 20, ""},
		{"flow", "0.4 gal/min", 1.5141647136, "[811] gallon a minute = 3.785412 L/min"},
		{"flow", "90 L/h", 1.5, ""},
		{"mass", "12 lb", 5.44310844, "[811] pound = 0.45359237 kg"},
		{"mass", "16 oz", 0.45359237, "[811] sixteen ounces a pound"},
		{"length", "10 ft", 3.048, "[811] foot = 0.3048 m"},
		{"length", "2.5 cm", 0.025, ""},
		{"length", "12 in", 0.3048, "[811] inch = 0.0254 m"},
		{"area", "64 sq ft", 5.94579456, "[811] square foot = 0.09290304 m²"},
		{"air flow", "40 cfm", 0.018877897728, "[811] cubic foot a minute = 4.719474e-4 m³/s"},
		{"air flow", "65 m³/h", 65.0 / 3600, ""},
		{"share", "38 %", 0.38, ""},
		{"share", "38 % by weight", 0.38, ""},
		{"share", "38% by  mass", 0.38, "spaces folded"},
		{"angle", "60 deg", 60, ""},
		{"angle", "-79.95°", -79.95, ""},
		{"power", "1.6e2 W", 160, "exponent"},
		{"power", "1e-1 kW", 100, "negative exponent"},
		{"power", "+5 W", 5, "plus sign"},
		{"span of time", "90 s", 90, ""},
		{"span of time", "5 min", 300, ""},
		{"span of time", "2 h", 7200, ""},
		{"span of time", "7 days", 604800, ""},
		{"span of time", "250 ms", 0.25, ""},
		{"span of time", "0.7 min", 42, "no nanosecond lost"},
	}
	for _, row := range rows {
		t.Run(row.kind+" "+row.text, func(t *testing.T) {
			t.Parallel()
			got, err := kinds()[row.kind](row.text)
			require.NoError(t, err)
			// Seven digits, as in the printed tables.
			assert.InDelta(t, row.want, got, 1e-7+1e-6*abs(row.want), row.from)
		})
	}
}

func abs(x float64) float64 { return max(x, -x) }

// TestSetRefuses goes through every quantity: none takes a bare number, a unit
// alone, a number that is none, or another quantity's unit.
func TestSetRefuses(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, text, says string }{
		{"nothing", "", "no number"},
		{"missing unit", "5", "no unit"},
		{"missing unit, spaces", " 5 ", "no unit"},
		{"missing number", "K", "no number"},
		{"not a number", "NaN K", "no number"},
		{"infinite", "Inf W", "no number"},
		{"infinite, signed", "-Inf W", "not a number"},
		{"too large to be a number", "1e999 W", "not a number"},
		{"two signs", "--5 K", "not a number"},
		{"two points", "1.2.3 V", "not a number"},
		{"decimal comma", "1,5 kg", "no unit of"},
		{"hexadecimal", "0x10 W", "no unit of"},
		{"two quantities", "5 gal 3 qt", "no unit of"},
		{"unit of nothing", "5 parsecs", "no unit of"},
		{"wrong case", "5 k", "no unit of"},
	}
	for name, read := range kinds() {
		for _, row := range rows {
			t.Run(name+" "+row.name, func(t *testing.T) {
				t.Parallel()
				_, err := read(row.text)
				require.ErrorIs(t, err, quantity.ErrUnit)
				assert.ErrorContains(t, err, row.says)
			})
		}
	}
}

// TestSetRefusesInfinityByConversion: a finite number may turn infinite when
// it is multiplied by its unit.
func TestSetRefusesInfinityByConversion(t *testing.T) {
	t.Parallel()
	for kind, text := range map[string]string{
		"power": "1e308 kW", "energy": "1e308 MJ", "capacity": "1e305 MJ/K", "volume": "1e308 gal", "span of time": "1e308 days",
	} {
		_, err := kinds()[kind](text)
		assert.ErrorIs(t, err, quantity.ErrUnit, text)
	}
}

// TestSetNamesTheUnits: the message tells the grower what to write instead.
func TestSetNamesTheUnits(t *testing.T) {
	t.Parallel()
	_, err := set[quantity.Kelvin]("14")
	assert.EqualError(t, err, `not a quantity: "14" has no unit; write a temperature difference in K, °C, °F`)
	_, err = set[quantity.Litre]("5 bushels")
	assert.EqualError(t, err, `not a quantity: "bushels" is no unit of a volume; use L, mL, gal, qt, cup, m3, cu ft`)
}

// TestSetLeavesTheOldValue when it refuses.
func TestSetLeavesTheOldValue(t *testing.T) {
	t.Parallel()
	tank := quantity.Celsius(51.7)
	require.Error(t, tank.Set("hot"))
	assert.Equal(t, quantity.Celsius(51.7), tank)
}

func TestSpan(t *testing.T) {
	t.Parallel()
	rows := []struct {
		text, prints string
		want         time.Duration
	}{
		{"90 s", "90 s", 90 * time.Second},
		{"120 seconds", "2 min", 2 * time.Minute},
		{"60 min", "1 h", time.Hour},
		{"48 h", "2 d", 48 * time.Hour},
		{"1 day", "1 d", 24 * time.Hour},
		{"250 ms", "0.25 s", 250 * time.Millisecond},
		{"0 s", "0 s", 0},
		{"-5 min", "-5 min", -5 * time.Minute},
	}
	for _, row := range rows {
		t.Run(row.text, func(t *testing.T) {
			t.Parallel()
			got, err := set[quantity.Span](row.text)
			require.NoError(t, err)
			assert.Equal(t, row.want, got.Duration())
			assert.Equal(t, row.prints, got.String())
		})
	}
	for _, text := range []string{"11 years", "4000 days", "-4000 days", "5 min 30 s"} {
		_, err := set[quantity.Span](text)
		assert.ErrorIs(t, err, quantity.ErrUnit, text)
	}
}

func TestUnits(t *testing.T) {
	t.Parallel()
	for text, want := range map[string]quantity.Units{"si": quantity.SI, " US ": quantity.US} {
		got, err := set[quantity.Units](text)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	_, err := set[quantity.Units]("metric")
	require.ErrorIs(t, err, quantity.ErrUnit)
	assert.Equal(t, "si", quantity.SI.String())
	assert.Equal(t, "us", quantity.US.String())
}

// FuzzSet: whatever the text, no quantity panics, and what is accepted is a
// finite number.
func FuzzSet(f *testing.F) {
	for _, text := range []string{"14 °F", "38 % by weight", "\u22125 K", "1e308 kW", "7 days", "5", "° F", "NaN K", "+.e1 W"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		for name, read := range kinds() {
			v, err := read(text)
			if err != nil {
				require.ErrorIs(t, err, quantity.ErrUnit, name)
				continue
			}
			require.True(t, quantity.Finite(v), "%s reads %q as %v", name, text, v)
		}
	})
}
