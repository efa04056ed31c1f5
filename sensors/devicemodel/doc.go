// Package devicemodel imitates hardware at the level a driver sees: registers
// and memory with their real widths, steps, limits and power-on contents. A
// test, or the rig around the built program, sets what the part measures and
// lets the real driver read it.
//
// The models keep state, know nothing of the drivers, and may be used from
// several goroutines. They model what a part answers, not its timing, noise or
// electrical faults.
package devicemodel
