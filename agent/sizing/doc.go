// Package sizing answers what a grower asks before buying: whether a heater on paper
// keeps the crop warm through a winter, what each part of it is worth, and which change
// would help most.
//
//	greenhouse file ─ agent.House ─▶ simulated greenhouse ─┐
//	weather of a winter ───────────────────────────────────┼▶ flights without and with heat ─▶ outcomes
//	a Change: keys of the file ─ config.Sketched ─▶ another house, flown likewise ─▶ ranked
//	the light on the panels ─▶ sim/match ─▶ heat a day, the element that suits
//	the figures of the parts ─▶ mix, vessel, coil, battery, cables
//	                  all of it: Worksheet (numbers, SI) ─▶ Sections (words, the grower's units) ─▶ text, page
//
// It starts no goroutine: whoever calls it may fly several sketches at once.
package sizing
