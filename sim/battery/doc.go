// Package battery models a 12 V battery well enough to test a controller on: the
// two-well kinetic model of Manwell and McGowan (a heavy load empties it early, a
// rest brings some of it back), less of it in the cold, losses on charge,
// self-discharge, and a voltage under load: rest voltage by table, internal
// resistance, a slow part that fades after charge or discharge, and a collapse as
// the ready charge runs out. A charger's three stages (bulk, absorb, float) are
// modelled by what they do to current and voltage.
//
// Units: ampere-hours, volts, amperes (positive charges), hours, °C. Charge is
// conserved to rounding: Book accounts for every ampere-hour. A state of charge is
// a share of all charge in both wells, of which the 20 h rate draws 93 to 100 %.
//
// It does not know ageing, stratification, gassing or single cells; the exchange
// between the wells is not slowed by cold, and a charge current meets the same
// wells as a discharge. Valid for 12 V batteries between -30 and 50 °C, as far as
// its tables go; beyond their ends the last value stands.
//
// Sources stand beside each figure. "From memory, unverified" means what it says.
package battery
