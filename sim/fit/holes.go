package fit

import (
	"fmt"
	"math"
)

// longHole is for how many minutes the air may be unknown before the bed is too. Our choice.
const longHole = 6 * 60

// restart finds where the bed begins anew.
func (l *laid) restart(seen []float64) {
	hole := longHole
	for k, x := range seen {
		if hole++; !known(x) {
			continue
		}
		if hole > longHole {
			l.restarts = append(l.restarts, k)
		}
		hole = 0
	}
}

// bedAt is the bed where it begins anew for the nth time.
func (l *laid) bedAt(m *Model, n, k int) float64 {
	switch {
	case known(l.bed[k]):
		return l.bed[k]
	case n < len(m.BedAt):
		return l.air[k] + m.BedAt[n]
	}
	return l.air[k]
}

// stuck is for how many minutes a probe says exactly the same before it is not believed.
const stuck = 3 * 60

// probed are the places whose probes may stand still, as lay looks through them.
var probed = [...]string{"tank", "tunnel", "bed", "greenhouse"}

// distrust takes out where a probe stands still, and says so.
func distrust(place []float64, name string) (out []Left) {
	same := 0
	for k := 1; k <= len(place); k++ {
		if k < len(place) && place[k] == place[k-1] {
			same++
			continue
		}
		if same >= stuck {
			first := k - 1 - same
			out = append(out, Left{first, fmt.Sprintf("the probe in the %s said exactly the same for %.0f hours: was it stuck?", name, math.Round(float64(same)/60))})
			for j := first; j < k; j++ {
				place[j] = math.NaN()
			}
		}
		same = 0
	}
	return out
}

// bridge draws a line over gaps of at most so many minutes, and holds the ends.
func bridge(place []float64, longest int) {
	last := -1
	for k := range place {
		if !known(place[k]) {
			continue
		}
		if gap := k - last - 1; gap > 0 && gap <= longest {
			from := place[k]
			if last >= 0 {
				from = place[last]
			}
			for j := 1; j <= gap; j++ {
				place[last+j] = from + (place[k]-from)*float64(j)/float64(gap+1)
			}
		}
		last = k
	}
	if gap := len(place) - 1 - last; last >= 0 && gap <= longest {
		for j := last + 1; j < len(place); j++ {
			place[j] = place[last]
		}
	}
}
