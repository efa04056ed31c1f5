// Package control decides. Step is one pure function from (settings, state,
// inputs with time) to (state, decision): whether pump, fans, element contactor
// and buzzer are on, which alerts are raised or cleared, and the one reason.
//
// It holds no clock, goroutine, channel, logger or file. Time enters as the
// duration since the last step; wall time is never used for a run or a rest,
// because small boards boot in 1970 and jump later. NaN and infinity are
// turned into "unknown" at the border and never reach a comparison.
//
// The rules are small named functions tried in a fixed order (rules.go):
//
//	by hand: hold ─▶ (a) stops ─▶ (b) hot ─▶ (c) frost guard ─▶ (d) reserve
//	   ─▶ by hand: pump ─▶ (e) comfort ─▶ by hand: fans ─▶ stir ─▶ rest
//
// Comfort, the reserve and stirring obey minimum run and rest; what safety
// begins or ends has a short minimum of its own; stops and orders obey none.
//
// The first that applies gives the wish; shape.go then applies minimum run and
// rest times and lets the fans run only where they blow warm air. Contactor,
// buzzer and alerts follow the tank whatever the rules say.
//
// Units are those of package quantity: °C for temperatures, K for differences,
// volts, amperes (positive charges the battery), shares from 0 to 1.
//
// No single sample of the battery decides: the charge works on the median of
// three, cut-off and reconnect need their delay. A sample that was not renewed
// counts once. Elapsed must therefore be measured by the clock that ages the
// readings.
//
// What this package does not do: it cannot cut the element if no contactor is
// fitted, and it is no safeguard where one is. A thermal cut-out and a relief
// valve that need no software are required on every plant.
package control
