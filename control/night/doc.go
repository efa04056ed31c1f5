// Package night plans how the stored heat and the battery are spent, so that the
// crop's coldest hours are as warm as they can be. It is pure: no clock, file or
// goroutine; time comes with each sample, work in amounts that the caller allows.
//
//	samples ─▶ Memory (10 min means, three weeks)
//	              │
//	              ├─▶ Outlook: greenhouse air and sun ahead, with bands
//	              ├─▶ Fit, once a day: the Twin's figures and the bed's warmth
//	              ▼
//	           Plan: duty of pump and fans ahead, by the Twin's gradient
//	              │
//	              ▼
//	           Advice: what to do now, and why; an input of control.Step
//
// The Twin is a greenhouse in three temperatures: tank, tunnel air and bed, between
// given greenhouse air and sun. It moves in implicit steps of ten minutes.
//
// Temperatures are in °C, heat capacities in J/K, conductances in W/K, powers in W,
// energies of the battery in Wh, shares from 0 to 1. The sun is a share: what the
// element's panel gives, as the root of its power over that in full sun, so that the
// element's power goes with its square and every other gain with the share itself
// (below a resistor's knee the panel's current goes with the light).
package night
