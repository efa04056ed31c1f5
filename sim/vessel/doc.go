// Package vessel gives the pressure in a closed rigid vessel with liquid and air in
// it, against temperature: the liquid's vapour, and the trapped air, which the
// warmth and the liquid's expansion both press together.
//
//	p(T) = pv(T) + (p0 - pv(T0)) (T/T0) Vg0/Vg    Vg = V - m/rho(T)    T in K
//
// with pv the vapour pressure over the liquid, Vg the gas space, 0 the state when
// it was closed. Dalton's law and the ideal gas; the vessel does not give, no air
// dissolves in the liquid or comes out of it, nothing leaks. Pressures are absolute,
// in kPa.
//
// The smaller the gas space, the more the answer hangs on the liquid's density: half
// a percent of it is half a percent of the liquid's volume, which may be a tenth of
// the gas space or all of it. So the answer is a band, to be judged by its upper
// end; and with less than 10 % gas space left it is no number at all: the vessel
// counts as full of liquid, which nothing but the wall holds back.
//
// This is for warnings. A relief valve and room to expand keep a vessel whole, a
// figure does not.
package vessel
