// Package battery models a 12 V battery well enough to test a controller on:
// charge counted in ampere-hours, rest voltage by table, internal resistance, a
// slow part of the voltage that fades after charge or discharge, losses on
// charge, self-discharge, less capacity in the cold, and a charge current that
// tapers as the battery fills.
//
// Units: ampere-hours, volts, amperes (positive charges), °C. The model is one
// well: a heavy load does not shrink the capacity. At the loads of a small pump
// that is a small error; the two-well (kinetic) model belongs here later, behind
// the same methods.
//
// It does not know ageing, stratification, gassing or single cells.
//
// Sources stand beside each figure. "From memory, unverified" means what it says.
package battery
