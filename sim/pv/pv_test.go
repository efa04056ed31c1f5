package pv_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
)

// modules are the generic sets of testdata/single_diode.csv, from its header.
var modules = map[string]pv.Module{
	"A": {Light: 5.9695585, Saturation: 3.0142817e-11, Series: 0.23097699, Shunt: 70.266687, Ideality: 0.85910922, AlphaPerK: 0.002975},
	"B": {Light: 9.8133774, Saturation: 2.1823732e-11, Series: 0.29860696, Shunt: 218.75381, Ideality: 1.4880837, AlphaPerK: 0.004704},
	"C": {Light: 3.110805, Saturation: 5.086217e-11, Series: 0.55469248, Shunt: 159.1439, Ideality: 0.87932479, AlphaPerK: 0.00186},
}

// table reads the reference points; source and method stand in the file's header.
func table(t *testing.T) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/single_diode.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	var out []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, name := range all[0] {
			row[name] = line[i]
		}
		out = append(out, row)
	}
	require.NotEmpty(t, out)
	return out
}

func TestCurveAgainstTable(t *testing.T) {
	t.Parallel()
	// 7 digits in the table, computed by another code with other root finding; the
	// tolerance is a few of the last digits.
	const tolerance = 2e-6
	for _, row := range table(t) {
		get := func(name string) float64 {
			v, err := strconv.ParseFloat(row[name], 64)
			require.NoError(t, err, name)
			return v
		}
		t.Run(row["module"]+" "+row["G_wm2"]+" W/m2 "+row["tcell_c"]+" C", func(t *testing.T) {
			t.Parallel()
			c := modules[row["module"]].At(quantity.WattPerSquareMetre(get("G_wm2")), quantity.Celsius(get("tcell_c")))
			assert.InEpsilon(t, get("isc_a"), float64(c.ShortCircuit().Amps), tolerance)
			assert.InEpsilon(t, get("voc_v"), float64(c.OpenCircuit().Volts), tolerance)
			best := c.MaxPower()
			assert.InEpsilon(t, get("pmp_w"), float64(best.Power()), tolerance)
			assert.InEpsilon(t, get("vmp_v"), float64(best.Volts), 1e-5)
			for _, r := range []string{"1", "1.44", "2", "3.2", "5"} {
				ohm, err := strconv.ParseFloat(r, 64)
				require.NoError(t, err)
				p := c.OnResistor(quantity.Ohm(ohm))
				assert.InEpsilon(t, get("v_"+r+"ohm"), float64(p.Volts), tolerance, r)
				assert.InEpsilon(t, get("i_"+r+"ohm"), float64(p.Amps), tolerance, r)
				assert.InEpsilon(t, get("p_"+r+"ohm"), float64(p.Power()), 2*tolerance, r)
				held := c.AtVoltage(p.Volts)
				assert.InEpsilon(t, float64(p.Amps), float64(held.Amps), 1e-9, "the same point held by voltage")
			}
		})
	}
}

func TestNothingBeatsMaxPower(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		m, err := pv.Generic(quantity.Watt(rapid.Float64Range(5, 2000).Draw(rt, "rating")))
		require.NoError(t, err)
		c := m.At(quantity.WattPerSquareMetre(rapid.Float64Range(1, 1400).Draw(rt, "sun")),
			quantity.Celsius(rapid.Float64Range(-30, 80).Draw(rt, "cell")))
		best := float64(c.MaxPower().Power())
		r := quantity.Ohm(rapid.Float64Range(0.01, 1000).Draw(rt, "ohm"))
		p := c.OnResistor(r)
		assert.LessOrEqual(t, float64(p.Power()), best*(1+1e-9))
		assert.InEpsilon(t, float64(p.Volts), float64(p.Amps)*float64(r), 1e-6, "Ohm's law")
		v := quantity.Volt(rapid.Float64Range(0.1, 40).Draw(rt, "volts"))
		held := c.AtVoltage(v)
		assert.GreaterOrEqual(t, float64(held.Amps), 0.0)
		assert.LessOrEqual(t, float64(held.Power()), best*(1+1e-9))
	})
}

func TestGeneric(t *testing.T) {
	t.Parallel()
	m, err := pv.Generic(160)
	require.NoError(t, err)
	best := m.At(1000, 25).MaxPower()
	assert.InDelta(t, 160, float64(best.Power()), 0.01, "its nameplate")
	assert.InDelta(t, 18.4, float64(best.Volts), 0.05, "the generic module's Vmp")
	for _, rating := range []quantity.Watt{0, 4, 2001} {
		_, err := pv.Generic(rating)
		assert.ErrorContains(t, err, "5 to 2000 W")
	}
}

func TestOnBattery(t *testing.T) {
	t.Parallel()
	m, err := pv.Generic(60)
	require.NoError(t, err)
	for _, g := range []quantity.WattPerSquareMetre{30, 200, 800} {
		c := m.At(g, 30)
		for _, r := range []quantity.Ohm{0, 0.02, 0.5, 5} {
			p := c.OnBattery(12.6, r)
			// Kirchhoff: the panel's voltage is the battery's and its resistance's; and the
			// point lies on the panel's own curve.
			assert.InDelta(t, 12.6+float64(r)*float64(p.Amps), float64(p.Volts), 1e-9)
			assert.InDelta(t, float64(c.AtVoltage(p.Volts).Amps), float64(p.Amps), 1e-9)
			assert.Positive(t, p.Amps)
		}
		assert.Zero(t, c.OnBattery(30, 0.1).Amps, "no current back")
	}
}

func TestDarkPanel(t *testing.T) {
	t.Parallel()
	c := modules["A"].At(0, 5)
	assert.Zero(t, c.OnResistor(1.44).Power())
	assert.Zero(t, c.MaxPower().Power())
	assert.Zero(t, c.AtVoltage(12.6).Amps)
	assert.Zero(t, c.OpenCircuit().Volts)
}

func TestCellTemperature(t *testing.T) {
	t.Parallel()
	// Faiman column of the transposition reference: 12 °C, 4 m/s, 1035.976 W/m² gives
	// 31.786 °C; 0 °C, 1 m/s, 232.642 W/m² gives 7.307 °C (pvlib-python 6382338).
	assert.InDelta(t, 31.786, float64(pv.CellTemperature(12, 1035.976, 4)), 0.001)
	assert.InDelta(t, 7.307, float64(pv.CellTemperature(0, 232.642, 1)), 0.001)
}

func ExampleCurve_OnResistor() {
	panel, err := pv.Generic(100)
	if err != nil {
		fmt.Println(err)
		return
	}
	sun := panel.At(800, 25)
	fmt.Printf("best %v; straight on 1.44 ohm only %v\n", sun.MaxPower().Power(), sun.OnResistor(1.44).Power())
	// Output: best 80.3 W; straight on 1.44 ohm only 31.7 W
}

func BenchmarkOnResistor(b *testing.B) {
	c := modules["A"].At(650, 20)
	for b.Loop() {
		c.OnResistor(3.2)
	}
}
