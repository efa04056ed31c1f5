package fit

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"
)

// stores finds capacity and efficiency: from rest to rest the charge by voltage follows what went
// in, times efficiency over capacity, less what went out over capacity. The voltage is what is
// known badly, so it is what is regressed. Where the battery was full, or the meter away, a new
// stretch begins.
func (r *Record) stores(c *Cells) (capacity, efficiency Figure) {
	capacity = Figure{Name: ofCapacity, Unit: "Ah", File: c.Capacity, Value: c.Capacity, Low: c.Capacity, High: c.Capacity, Experiment: testDrain}
	efficiency = Figure{Name: ofCharging, Unit: "share", File: c.Efficiency, Value: c.Efficiency, Low: c.Efficiency, High: c.Efficiency, Experiment: "wait for some days on which the battery is charged and does not become full"}
	all := r.rests(c)
	var rows []storesRow
	stretches, inside := 0, false
	least, most, charged, in, out := 1.0, 0.0, 0.0, 0.0, 0.0
	for i := 1; i < len(all); i++ {
		got, gave, ok := r.through(all[i-1].minute, all[i].minute)
		if !ok || all[i].charge > fullest || all[i-1].charge > fullest {
			inside = false
			continue
		}
		if !inside {
			stretches, inside, in, out = stretches+1, true, 0, 0
			rows = append(rows, storesRow{stretches - 1, 0, 0, all[i-1].charge})
		}
		in, out, charged = in+got, out+gave, charged+got
		least, most = min(least, all[i].charge, all[i-1].charge), max(most, all[i].charge, all[i-1].charge)
		rows = append(rows, storesRow{stretches - 1, in, out, all[i].charge})
	}
	if !(most-least >= leastSwing) {
		capacity.Why = fmt.Sprintf("between rests the charge swung by %.0f %% and no more", 100*max(most-least, 0))
		efficiency.Why = capacity.Why
		return capacity, efficiency
	}
	if charged < leastIn*c.Capacity {
		efficiency.Why = "too little was charged between two rests below full"
		for i := range rows {
			rows[i].out, rows[i].in = rows[i].out-c.Efficiency*rows[i].in, 0
		}
	}
	solveStores(rows, stretches, &capacity, &efficiency)
	return capacity, efficiency
}

// storesRow is a rest: of which stretch, what went in and out since it began, Ah, and the charge.
type storesRow struct {
	stretch         int
	in, out, charge float64
}

// through is what went into the battery and out of it between two minutes, Ah.
func (r *Record) through(from, to int) (in, out float64, ok bool) {
	missing := 0
	last := 0.0
	for k := from; k < to; k++ {
		amps := r.Minutes[k].Amps
		if !known(amps) {
			missing++
			amps = last
		}
		last = amps
		in, out = in+max(amps, 0)/60, out+max(-amps, 0)/60
	}
	return in, out, missing*50 < to-from
}

// solveStores by least squares, an intercept for each stretch.
func solveStores(rows []storesRow, stretches int, capacity, efficiency *Figure) {
	slopes := 2
	if efficiency.Why != "" {
		slopes = 1
	}
	n, unknowns := len(rows), stretches+slopes
	fail := func(why string) { capacity.Why, efficiency.Why = why, why }
	if n < unknowns+3 {
		fail("too few rests")
		return
	}
	a, y := mat.NewDense(n, unknowns, nil), mat.NewVecDense(n, nil)
	for i, x := range rows {
		a.Set(i, 0, -x.out)
		if slopes == 2 {
			a.Set(i, 1, x.in)
		}
		a.Set(i, slopes+x.stretch, 1)
		y.SetVec(i, x.charge)
	}
	var normal, inverse mat.SymDense
	normal.SymOuterK(1, a.T())
	var chol mat.Cholesky
	var right, x, left mat.VecDense
	right.MulVec(a.T(), y)
	if !chol.Factorize(&normal) || chol.SolveVecTo(&x, &right) != nil || chol.InverseTo(&inverse) != nil || x.AtVec(0) <= 0 {
		fail("its charge did not swing freely enough")
		return
	}
	left.MulVec(a, &x)
	left.SubVec(y, &left)
	variance := alike * mat.Dot(&left, &left) / float64(n-unknowns)
	half := distuv.StudentsT{Sigma: 1, Nu: float64(n - unknowns)}.Quantile(0.975)
	capacity.within(1/x.AtVec(0), math.Sqrt(variance*inverse.At(0, 0))/x.AtVec(0), half)
	if slopes == 2 {
		ratio := x.AtVec(1) / x.AtVec(0)
		v := variance * (inverse.At(1, 1)/sq(x.AtVec(1)) + inverse.At(0, 0)/sq(x.AtVec(0)) - 2*inverse.At(0, 1)/(x.AtVec(0)*x.AtVec(1)))
		efficiency.within(ratio, math.Sqrt(max(v, 0)), half)
	}
}

// alike is how many rests in a row err alike. Our choice.
const alike = 3.0

// within tells a figure of the battery with a relative standard error, if that is small enough.
func (f *Figure) within(v, relative, half float64) {
	slack := cellSlack
	if f.Unit == "share" {
		slack /= 2 // the voltage's errors cancel
	}
	relative = math.Hypot(relative, slack)
	if f.Told = relative <= tellable && v > 0 && (f.Unit != "share" || v <= 1.02); !f.Told {
		f.Why = fmt.Sprintf("it may be %.0f %% off as far as the record says", 100*min(relative, 9.99))
		return
	}
	f.Value, f.Low, f.High = v, v*math.Exp(-half*relative), v*math.Exp(half*relative)
}
