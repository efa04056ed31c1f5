package fluid_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"duskloop/sensors/quantity"
	"duskloop/sim/fluid"
)

// coefficients reads mgl_coefficients.csv: by property, a row of powers of w for
// each power of T.
func coefficients(t *testing.T) map[string][][]float64 {
	t.Helper()
	c := map[string][][]float64{}
	for _, r := range rows(t, "mgl_coefficients.csv") {
		var row []float64
		for _, cell := range r[2:] {
			row = append(row, number(t, cell))
		}
		c[r[0]] = append(c[r[0]], row)
	}
	return c
}

// powers is the sum of c[j] x^j, term by term.
func powers(c []float64, x float64) float64 {
	sum := 0.0
	for j := range c {
		sum += c[j] * math.Pow(x, float64(j))
	}
	return sum
}

// Points that no table holds, against the published coefficients summed here term
// by term from the file.
func TestColdBetweenTableRows(t *testing.T) {
	t.Parallel()
	all := coefficients(t)
	require.Len(t, all, 5)
	value := func(property string, w, at float64) float64 {
		var inT []float64
		for _, row := range all[property] {
			inT = append(inT, powers(row, w-0.361905))
		}
		return powers(inT, at+273.15-282.061)
	}
	for _, p := range [][2]float64{{0.07, 3}, {0.123, 38.4}, {0.217, -4.3}, {0.333, 11.7}, {0.387, -13.9}, {0.45, 25}, {0.555, -27}, {0.6, 39.99}} {
		rho, cp, mu, k := properties(t, p[0], p[1])
		assert.InEpsilon(t, value("density_kg_m3", p[0], p[1]), rho, 1e-9, "density %v", p)
		assert.InEpsilon(t, value("cp_j_kgk", p[0], p[1]), cp, 1e-9, "specific heat %v", p)
		assert.InEpsilon(t, value("conductivity_w_mk", p[0], p[1]), k, 1e-9, "conductivity %v", p)
		assert.InEpsilon(t, 1000*math.Exp(value("ln_viscosity_pa_s", p[0], p[1])), mu, 1e-9, "viscosity %v", p)
	}
}

// Hot points between the rows: viscosity by Cheng 2008 in its other form, mu =
// mu_g (mu_w/mu_g)^alpha; density by Volk & Kähler 2018 from volumes, as the
// authors publish it.
func TestHotBetweenTableRows(t *testing.T) {
	t.Parallel()
	for _, p := range [][2]float64{{0.07, 55}, {0.15, 50}, {0.24, 95}, {0.38, 62.5}, {0.47, 78}, {0.6, 99}} {
		w, at := p[0], p[1]
		water := 1.790 * math.Exp((-1230-at)*at/(36100+360*at))
		glycerol := 12100 * math.Exp((-1233+at)*at/(9900+70*at))
		a := 0.705 - 0.0017*at
		b := (4.9 + 0.036*at) * math.Pow(a, 2.5)
		alpha := 1 - w + a*b*w*(1-w)/(a*w+b*(1-w))
		rhoW := 1000 * (1 - math.Pow((at-3.98)/615, 1.71))
		rhoG := 1273.3 - 0.6121*at
		volume := w / rhoG / (w/rhoG + (1-w)/rhoW)
		contraction := 1 + (1.78e-6*at*at-1.82e-4*at+1.41e-2)*math.Pow(math.Sin(math.Pow(w, 1.31)*math.Pi), 0.81)
		rho, _, mu, _ := properties(t, w, at)
		assert.InEpsilon(t, glycerol*math.Pow(water/glycerol, alpha), mu, 0.002, "viscosity %v", p)
		assert.InEpsilon(t, (rhoG*volume+rhoW*(1-volume))*contraction, rho, 0.0005, "density %v", p)
	}
}

// Water between the table's 5 K steps, against the cubic through four of its rows.
func TestWaterBetweenTableRows(t *testing.T) {
	t.Parallel()
	table := rows(t, "water.csv")
	cubic := func(column, i int) float64 { // halfway from row i to the next
		v := func(j int) float64 { return number(t, table[j][column]) }
		return (9*(v(i)+v(i+1)) - v(i-1) - v(i+2)) / 16
	}
	for i := 1; i+2 < len(table); i++ {
		rho, cp, mu, k := properties(t, 0, number(t, table[i][0])+2.5)
		assert.InEpsilon(t, cubic(1, i), rho, 0.0001)
		assert.InEpsilon(t, cubic(2, i), cp, 0.0005)
		assert.InEpsilon(t, cubic(3, i), mu, 0.001)
		assert.InEpsilon(t, cubic(4, i), k, 0.0005)
	}
}

// Nothing jumps anywhere, neither by temperature nor by share; and a warmer or a
// weaker mix is thinner.
func TestNothingJumps(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(rt *rapid.T) {
		w := rapid.OneOf(rapid.Float64Range(0, 0.599), rapid.Float64Range(0, 0.06)).Draw(rt, "w")
		m, err := fluid.New(quantity.Share(w))
		require.NoError(t, err)
		coldest := float64(m.Freezing()) + 0.01
		celsius := rapid.OneOf(rapid.Float64Range(coldest, 99.99), rapid.Float64Range(39, 51), rapid.Float64Range(coldest, coldest+1)).Draw(rt, "t")
		rho, cp, mu, k := properties(t, w, celsius)
		for what, near := range map[string][2]float64{"warmer": {w, celsius + 0.001}, "stronger": {w + 1e-5, celsius}} {
			rho2, cp2, mu2, k2 := properties(t, near[0], near[1])
			assert.InEpsilon(t, rho, rho2, 2e-5, what)
			assert.InEpsilon(t, cp, cp2, 2e-5, what)
			assert.InEpsilon(t, mu, mu2, 2e-4, what)
			assert.InEpsilon(t, k, k2, 2e-5, what)
			if what == "warmer" {
				assert.Greater(t, mu, mu2-1e-12, "warmer liquid is thinner")
			} else {
				assert.Less(t, mu, mu2+1e-12, "a stronger mix is thicker")
			}
		}
	})
}
