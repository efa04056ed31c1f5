// Package trial judges bench runs of a heater: what power reaches the liquid, what the
// vessel loses standing, and how sure that is. It knows no device and no clock.
//
// A vessel of heat capacity C [J/K] at one temperature T [°C] in air at Ta, heated by
// power P [W] of which a share s(t) is on, with a standing loss UA [W/K]:
//
//	C dT/dt = P s(t) - UA (T - Ta(t))
//
// Between two readings s is constant and Ta the mean of theirs, so that the curve is closed:
// T goes to Ta + P s/UA with the time constant C/UA (facts of any heat-transfer text, as
// Incropera et al., Fundamentals of Heat and Mass Transfer, ch. 5, lumped capacitance).
package trial
