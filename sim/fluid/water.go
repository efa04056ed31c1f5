package fluid

import "math"

// waterDensity in kg/m³ at 101.325 kPa: G. S. Kell, J. Chem. Eng. Data 20, 1975,
// 97; 0..100 °C. Coefficients from memory; within 0.002 % of IAPWS-95 in the test.
func waterDensity(t float64) float64 {
	return (999.83952 + t*(16.945176+t*(-7.9870401e-3+t*(-46.170461e-6+t*(105.56302e-9-280.54253e-12*t))))) /
		(1 + 16.879850e-3*t)
}

// waterViscosity in mPa·s at 0.1 MPa: IAPWS SR6-08 (2011), the liquid's own
// correlation; 253..383 K. Coefficients from memory; within 0.02 % of IAPWS R12-08
// in the test.
func waterViscosity(t float64) float64 {
	x := (t + 273.15) / 300
	return (280.68*math.Pow(x, -1.9) + 511.45*math.Pow(x, -7.7) +
		61.131*math.Pow(x, -19.6) + 0.45903*math.Pow(x, -40)) / 1000
}

// waterHeat in J/(kg K) at 101.325 kPa: a polynomial fitted by us to IAPWS-95
// values at 0, 5 ... 100 °C, within 0.2 J/(kg K) of them. 0..100 °C.
func waterHeat(t float64) float64 {
	x := t / 100
	return 4180 + 39.34 + x*(-335.73+x*(1128.59+x*(-2078.1+x*(2339.37+x*(-1422.02+x*364.3)))))
}

// waterConductivity in W/(m K) at 101.325 kPa: a polynomial fitted by us to IAPWS
// R15-11 values at 0, 5 ... 100 °C, within 0.0002 of them. 0..100 °C.
func waterConductivity(t float64) float64 {
	x := t / 100
	return 0.55576 + x*(0.24867+x*(-0.21083+x*(0.12781-0.04431*x)))
}
