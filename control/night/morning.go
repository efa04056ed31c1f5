package night

// NewOutlook looks ahead from a memory; noon is the slot of the day that begins at noon by
// the sun.
func NewOutlook(m *Memory, noon int64) *Outlook {
	return &Outlook{memory: m, noon: noon}
}

// dim is the share of full sun below which it is night, and morning how long after that
// a floor is held, in slots. The first is our choice, the second the study's.
const (
	dim     = 0.03
	morning = 9
)

// Morning is how many slots of an outlook from now on a floor must be held: to an hour
// and a half after the sun next comes up, or after it has just come up. Without a sunrise
// in the outlook it is all of it.
func (o *Outlook) Morning(now int64, a *Ahead) int {
	n := len(a.Sun)
	if n == 0 {
		return 0
	}
	if a.Sun[0] > dim {
		for k := int64(1); k < morning; k++ {
			if s, ok := o.memory.Look(now - k); ok && s.Sun <= dim {
				return min(n, morning-int(k)+1)
			}
		}
	}
	night := false
	for k, x := range a.Sun {
		if night && x > dim {
			return min(n, k+morning)
		}
		night = night || x <= dim
	}
	return n
}
