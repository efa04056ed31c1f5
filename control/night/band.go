package night

import (
	"math"
	"slices"
)

// Bands says how far a forecast may be off, by how far it was: 80 % of the truths
// should fall into it. The zero value knows no past, and takes a prior.
type Bands struct {
	off   [bandNights]float64 // truth less forecast
	count int
}

// bandNights is how many nights a band rests on: short enough to follow the season.
// priorWidth is the band to either side before any, K; it fades until there are enough.
// All are our choices.
const (
	bandNights = 40
	priorWidth = 4.0
	enough     = 10.0
	outside    = 0.1 // of the truths, on either side
)

// Add takes in a night that is over. What is not known is left out.
func (b *Bands) Add(forecast, truth Known) {
	if known(truth - forecast) {
		b.off[b.count%bandNights] = truth - forecast
		b.count++
	}
}

// Around is the band about a forecast.
func (b *Bands) Around(forecast float64) (low, high float64) {
	var kept [bandNights]float64
	n := copy(kept[:], b.off[:min(b.count, bandNights)])
	slices.Sort(kept[:n])
	trust := min(1, float64(n)/enough)
	below, above := -priorWidth, priorWidth
	if n > 0 {
		below += trust * (rank(kept[:n], outside) + priorWidth)
		above += trust * (rank(kept[:n], 1-outside) - priorWidth)
	}
	return forecast + below, forecast + above
}

// rank is the value below which a share of all truths to come falls, by those seen: the
// share times one more than there are, straight between, so that with few the band is
// not too narrow (Weibull's plotting position; type 6 of Hyndman & Fan, American
// Statistician 50, 1996, 361).
func rank(sorted []float64, share float64) float64 {
	at := min(max(share*float64(len(sorted)+1)-1, 0), float64(len(sorted)-1))
	low := int(math.Floor(at))
	high := min(low+1, len(sorted)-1)
	return sorted[low] + (at-float64(low))*(sorted[high]-sorted[low])
}
