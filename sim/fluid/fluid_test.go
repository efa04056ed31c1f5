package fluid_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

// rows reads a reference table; its sources stand in its own header lines.
func rows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(all), 1)
	return all[1:]
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// properties evaluates all four.
func properties(t *testing.T, w, celsius float64) (density, heat, viscosity, conductivity float64) {
	t.Helper()
	m, err := fluid.New(quantity.Share(w))
	require.NoError(t, err)
	at := quantity.Celsius(celsius)
	rho, err := m.Density(at)
	require.NoError(t, err)
	cp, err := m.SpecificHeat(at)
	require.NoError(t, err)
	mu, err := m.Viscosity(at)
	require.NoError(t, err)
	k, err := m.Conductivity(at)
	require.NoError(t, err)
	return float64(rho), float64(cp), float64(mu), float64(k)
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	for name, w := range map[string]quantity.Share{"too much": 0.601, "negative": -0.01} {
		_, err := fluid.New(w)
		require.ErrorIs(t, err, fluid.ErrRange, name)
		assert.ErrorContains(t, err, "0 to 60 %", name)
	}
	m, err := fluid.New(0.3)
	require.NoError(t, err)
	for _, at := range []quantity.Celsius{-10, 100.5} {
		_, err := m.Viscosity(at)
		require.ErrorIs(t, err, fluid.ErrRange)
		assert.ErrorContains(t, err, "-9.5 °C to 100 °C")
	}
}

func ExampleNew() {
	mix, err := fluid.New(0.35)
	if err != nil {
		fmt.Println(err)
		return
	}
	rho, _ := mix.Density(50)
	fmt.Printf("%.0f kg/m3, freezes at %v, boils at %v\n", float64(rho), mix.Freezing(), mix.Boiling())
	_, err = mix.SpecificHeat(130)
	fmt.Println(err)
	// Output:
	// 1072 kg/m3, freezes at -12.3 °C, boils at 103.4 °C
	// specific heat: 130 °C in 35 % glycerin: outside the range of the correlations: freezing at -12.3 °C to 100 °C
}
