package battery

import "math"

// wells is the kinetic battery model of J. F. Manwell and J. G. McGowan, Solar Energy
// 50, 1993, 399-405: charge stands in two wells, Ready in one that the terminals draw
// from, bound in one that only flows to it, as fast as their levels differ.
//
//	d(ready)/dt = -I - k [ (1-c) ready - c bound ]      I in A, discharge positive
//	d(bound)/dt =      k [ (1-c) ready - c bound ]      k in 1/h, charge in Ah
//
// c is the share of all charge that a full battery has ready. For a constant current
// both are solved exactly.
type wells struct {
	c, k         float64
	ready, bound float64 // Ah
}

// pace is what the length of a step makes of k: 1-e and kt-1+e, with e = exp(-kt).
type pace struct{ hours, gone, lag float64 }

func (w *wells) pace(hours float64) pace {
	x := w.k * hours
	gone := -math.Expm1(-x)
	return pace{hours: hours, gone: gone, lag: x - gone}
}

func (w *wells) all() float64 { return w.ready + w.bound }

// flow lets a constant current pass, discharge positive. What leaves the one well
// enters the other, so that their sum changes by the current alone.
func (w *wells) flow(amps float64, p pace) {
	all := w.all()
	ready := w.ready*(1-p.gone) + all*w.c*p.gone - amps*(p.gone+w.c*p.lag)/w.k
	w.ready, w.bound = ready, all-amps*p.hours-ready
}

// fade loses the same share of both wells.
func (w *wells) fade(share float64) {
	w.ready -= w.ready * share
	w.bound -= w.bound * share
}

// most is the constant current that would leave the ready well, at the end of the
// step, with level times c, the wells' share of a total of level Ah. Positive
// discharges. With a level of nothing it is the largest discharge, with that of a
// full battery the largest charge (negative).
func (w *wells) most(level float64, p pace) float64 {
	ready, all := w.ready-w.c*level, w.all()-level
	return w.k * (ready*(1-p.gone) + all*w.c*p.gone) / (p.gone + w.c*p.lag)
}

// capacity is the part of a full battery's charge that a constant current draws when
// it empties the ready well in so many hours.
func (w *wells) capacity(hours float64) float64 {
	p := w.pace(hours)
	return w.k * w.c * hours / (p.gone + w.c*p.lag)
}
