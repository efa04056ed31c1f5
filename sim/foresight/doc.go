// Package foresight finds, with the true future known, when pump and fans should have
// run through a whole winter, so that a policy that knows no future can be judged by
// the share of the possible that it captured. It is a measure, not a controller.
//
// The greenhouse is lumped: tank, tunnel air, bed, greenhouse air and battery, one
// number each. A minute's duty lets the coil carry heat from tank to tunnel air, the
// fans warm the air they stand in, and the battery pay for both. Minutes advance by
// the linearly implicit Euler rule, so that no capacity is too small; tank and air are
// solved together. Damage is the sum over minutes of the squared shortfall of tunnel
// air below the crop's minimum, in K²h.
//
// The search has three stages. A gradient, exact for that recursion, improves a relaxed
// schedule, in which any duty from 0 to 1 may be asked for. Its duty is spread over
// pulses that obey the minimum run. Then single pulses are moved, grown, cut, added and
// removed, each judged by an hour of simulation and by what the state after it is worth
// for the rest of the winter. Nothing of it is a proof of the best; Bound gives a
// figure that no schedule can go below, for one night.
//
// Units are SI except where a name says otherwise: J/K, W/K, W, °C, Wh, minutes.
// The numbers of a Plant come from its caller; there is no physical constant here.
package foresight
