package fluid

// A. Melinder, Properties of Secondary Working Fluids for Indirect Systems, IIR
// 2010, aqueous glycerol, as tabulated in CoolProp fluid MGL (commit ea27c63):
//
//	value = sum C[i][j] (T - 282.061 K)^i (w - 0.361905)^j
//
// with T in K and w the mass fraction. Valid for the liquid up to 40 °C, w 0..0.6
// (fit data 0.195..0.63). Viscosity: value = ln(mu / Pa s).
const (
	baseKelvin = 282.061
	baseShare  = 0.361905
	fitLimit   = 40.0 // °C
)

type table [4][6]float64

var (
	densityTable = table{
		{1093.0, 274.0, 40.81, -47.44, -141.5, -60.97},
		{-0.3624, -0.8373, 0.1808, 1.833, 1.863, 0},
		{-0.002451, 0.009596, -0.008516, -0.03077, 0, 0},
		{1.547e-05, -6.999e-05, 0.0001441, 0, 0, 0},
	}
	heatTable = table{
		{3486.0, -2250.0, -325.8, 2922.0, 2238.0, -5944.0},
		{3.766, 18.11, 7.249, -53.46, -53.83, 0},
		{-0.0001222, 0.03766, -0.2133, 0.23, 0, 0},
		{3.219e-05, -0.00173, 0.004907, 0, 0, 0},
	}
	conductivityTable = table{
		{0.4532, -0.3223, 0.05539, -0.2073, 0.3, 2.221},
		{0.0009782, -0.001951, -0.0006878, -0.0002235, 0.01604, 0},
		{-1.196e-07, 1.178e-05, -2.587e-05, -1.421e-05, 0, 0},
		{-8.778e-09, 1.048e-08, 2.262e-07, 0, 0, 0},
	}
	viscosityTable = table{
		{-5.387755, 4.45, 3.633, 1.069, 5.729, 21.16},
		{-0.03729, -0.02688, -0.04088, -0.1248, -0.178, 0},
		{0.0003572, 8.876e-05, 0.0006219, 0.003019, 0, 0},
		{-3.648e-06, -2.209e-06, 6.331e-06, 0, 0, 0},
	}
	// freezingRow is the freezing point in K; no temperature enters.
	freezingRow = [6]float64{260.15, -57.42, -91.19, -164.1, -240.8, -77.34}
)

func (t *table) at(w, celsius float64) float64 {
	dT := celsius + 273.15 - baseKelvin
	sum := 0.0
	for i := len(t) - 1; i >= 0; i-- {
		sum = sum*dT + row(&t[i], w)
	}
	return sum
}

func row(c *[6]float64, w float64) float64 {
	sum := 0.0
	for j := len(c) - 1; j >= 0; j-- {
		sum = sum*(w-baseShare) + c[j]
	}
	return sum
}
