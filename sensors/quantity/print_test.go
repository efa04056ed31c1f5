package quantity_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
)

func TestString(t *testing.T) {
	t.Parallel()
	rows := []struct {
		value fmt.Stringer
		want  string
	}{
		{quantity.Celsius(51.6666), "51.7 °C"},
		{quantity.Celsius(-0.04), "0 °C"},
		{quantity.Kelvin(7.777), "7.8 K"},
		{quantity.Volt(12.604), "12.6 V"},
		{quantity.Ampere(-0.25), "-0.25 A"},
		{quantity.Ohm(0.01), "0.01 ohm"},
		{quantity.Watt(160), "160 W"},
		{quantity.AmpereHour(20), "20 Ah"},
		{quantity.WattHour(240.4), "240 Wh"},
		{quantity.WattPerKelvin(20.046), "20.05 W/K"},
		{quantity.JoulePerKelvin(78300), "78.3 kJ/K"},
		{quantity.WattPerSquareMetre(800), "800 W/m2"},
		{quantity.KelvinPerMinute(2), "2 K/min"},
		{quantity.PerKelvin(-0.0031), "-0.31 %/K"},
		{quantity.Metre(0.0085), "8.5 mm"},
		{quantity.Litre(18.927), "18.93 L"},
		{quantity.LitrePerMinute(1.5), "1.5 L/min"},
		{quantity.Kilogram(20), "20 kg"},
		{quantity.Metre(273), "273 m"},
		{quantity.SquareMetre(5.9458), "5.95 m2"},
		{quantity.CubicMetreSecond(65.0 / 3600), "65 m3/h"},
		{quantity.Share(0.38), "38 %"},
		{quantity.Angle(-79.95), "-79.95 deg"},
	}
	for _, row := range rows {
		t.Run(row.want, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, row.want, row.value.String())
		})
	}
}

// TestInGrowersUnits: one temperature and one difference, printed alike, are
// not the same.
func TestInGrowersUnits(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "14 °F", quantity.Celsius(-10).In(quantity.US))
	assert.Equal(t, "-18 °F", quantity.Kelvin(-10).In(quantity.US))
	assert.Equal(t, "-10 °C", quantity.Celsius(-10).In(quantity.SI))
	assert.Equal(t, "-10 K", quantity.Kelvin(-10).In(quantity.SI))
	assert.Equal(t, "5 gal", quantity.Litre(18.92705892).In(quantity.US))
}

// trip is one quantity's way out and back, with what printing may cost: half of
// the last digit printed, in the quantity's own unit.
type trip struct {
	print func(float64) string
	read  kind
	loses float64
}

func TestRoundTrip(t *testing.T) {
	t.Parallel()
	read := kinds()
	trips := map[string]trip{
		"temperature":      {func(v float64) string { return quantity.Celsius(v).String() }, read["temperature"], 0.05},
		"temperature, US":  {func(v float64) string { return quantity.Celsius(v).In(quantity.US) }, read["temperature"], 0.05 * 5 / 9},
		"difference":       {func(v float64) string { return quantity.Kelvin(v).String() }, read["difference"], 0.05},
		"difference, US":   {func(v float64) string { return quantity.Kelvin(v).In(quantity.US) }, read["difference"], 0.05 * 5 / 9},
		"voltage":          {func(v float64) string { return quantity.Volt(v).String() }, read["voltage"], 0.005},
		"current":          {func(v float64) string { return quantity.Ampere(v).String() }, read["current"], 0.005},
		"resistance":       {func(v float64) string { return quantity.Ohm(v).String() }, read["resistance"], 0.0005},
		"power":            {func(v float64) string { return quantity.Watt(v).String() }, read["power"], 0.05},
		"charge":           {func(v float64) string { return quantity.AmpereHour(v).String() }, read["charge"], 0.05},
		"energy":           {func(v float64) string { return quantity.WattHour(v).String() }, read["energy"], 0.5},
		"conductance":      {func(v float64) string { return quantity.WattPerKelvin(v).String() }, read["conductance"], 0.005},
		"capacity":         {func(v float64) string { return quantity.JoulePerKelvin(v).String() }, read["capacity"], 5},
		"irradiance":       {func(v float64) string { return quantity.WattPerSquareMetre(v).String() }, read["irradiance"], 0.05},
		"coefficient":      {func(v float64) string { return quantity.PerKelvin(v).String() }, read["coefficient"], 0.000005},
		"rate":             {func(v float64) string { return quantity.KelvinPerMinute(v).String() }, read["rate"], 0.005},
		"volume":           {func(v float64) string { return quantity.Litre(v).String() }, read["volume"], 0.005},
		"volume, US":       {func(v float64) string { return quantity.Litre(v).In(quantity.US) }, read["volume"], 0.005 * 3.785411784},
		"flow":             {func(v float64) string { return quantity.LitrePerMinute(v).String() }, read["flow"], 0.005},
		"mass":             {func(v float64) string { return quantity.Kilogram(v).String() }, read["mass"], 0.005},
		"length":           {func(v float64) string { return quantity.Metre(v).String() }, read["length"], 0.005},
		"area":             {func(v float64) string { return quantity.SquareMetre(v).String() }, read["area"], 0.005},
		"air flow":         {func(v float64) string { return quantity.CubicMetreSecond(v).String() }, read["air flow"], 0.05 / 3600},
		"share":            {func(v float64) string { return quantity.Share(v).String() }, read["share"], 0.0005},
		"angle":            {func(v float64) string { return quantity.Angle(v).String() }, read["angle"], 0.00005},
		"span, in seconds": {func(v float64) string { return quantity.Span(v * 1e9).String() }, read["span of time"], 0.0005},
	}
	for name, trip := range trips {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				v := rapid.Float64Range(-1e5, 1e5).Draw(t, "value")
				text := trip.print(v)
				got, err := trip.read(text)
				require.NoError(t, err)
				require.InDelta(t, v, got, trip.loses*1.0001+1e-9, text)
			})
		})
	}
}

// TestConversions between quantities.
func TestConversions(t *testing.T) {
	t.Parallel()
	assert.Equal(t, quantity.Kelvin(8), quantity.Celsius(20).Minus(12))
	assert.Equal(t, quantity.Celsius(28), quantity.Celsius(20).Plus(8))
	// BIPM, SI brochure, 9th edition, section 2.3.1: 0 °C is 273.15 K.
	assert.InDelta(t, 273.15, quantity.Celsius(0).Absolute(), 1e-12)
	assert.InDelta(t, 0, float64(quantity.FromAbsolute(273.15)), 1e-12)
	assert.InDelta(t, 125, quantity.Celsius(51.0+2.0/3).Fahrenheit(), 1e-9)
	assert.InDelta(t, 3.6e6, quantity.WattHour(1000).Joules(), 1e-6)
	assert.Equal(t, quantity.Ampere(5), quantity.Watt(60).Over(12))
	assert.Equal(t, quantity.Watt(160), quantity.WattPerKelvin(20).Times(8))
	// One US gallon of water by 75 °F with 100 W: common practice, no source,
	// says one and a half to two hours. Here 3.785 L · 4.18 kJ/(L·K).
	heat := quantity.JoulePerKelvin(3.785 * 4180).Times(quantity.Kelvin(75.0 * 5 / 9))
	assert.InDelta(t, 1.83, float64(heat)/100, 0.01)
}

func TestFinite(t *testing.T) {
	t.Parallel()
	assert.True(t, quantity.Finite(quantity.Celsius(0)))
	assert.False(t, quantity.Finite(quantity.Celsius(math.NaN())))
	assert.False(t, quantity.Finite(quantity.Watt(math.Inf(1))))
	assert.False(t, quantity.Finite(quantity.Watt(math.Inf(-1))))
}

func ExampleKelvin_Set() {
	var reading quantity.Celsius
	var difference quantity.Kelvin
	_ = reading.Set("14 °F")
	_ = difference.Set("14 °F")
	fmt.Println(reading, "and", difference)
	// Output: -10 °C and 7.8 K
}

func ExampleLitre_Set() {
	var tank quantity.Litre
	if err := tank.Set("5"); err != nil {
		fmt.Println(err)
	}
	_ = tank.Set("5 gal")
	fmt.Println(tank, "is", tank.In(quantity.US))
	// Output:
	// not a quantity: "5" has no unit; write a volume in L, mL, gal, qt, cup, m3, cu ft
	// 18.93 L is 5 gal
}
