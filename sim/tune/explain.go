package tune

import (
	"slices"
)

// Effect is what one knob's change does by itself.
type Effect struct {
	Key       string
	From, To  float64
	Worth     float64 // what is lost on the searched stretches without this change
	Tied      bool    // without this change the others cannot stand at all
	Low, High float64 // anything from and to is as good
}

// explain says what each change is worth, and how far each knob may turn and be as good.
func (x *searching) explain(out *Found) error {
	today, best := now(x.Knobs), out.Best
	var sets []Set
	type at struct{ knob, value int }
	var where []at
	for j := range x.Knobs {
		k := &x.Knobs[j]
		back := slices.Clone(best)
		back[j] = today[j]
		sets, where = append(sets, back), append(where, at{j, -1})
		for v := range 2*around + 1 {
			s := slices.Clone(best)
			s[j] = k.round(k.Low + (k.High-k.Low)*float64(v)/(2*around))
			sets, where = append(sets, s), append(where, at{j, v})
		}
	}
	all, err := x.fliers(append(sets, best), x.Searched, false)
	if err != nil {
		return err
	}
	cost := all[len(all)-1].Cost
	for j := range x.Knobs {
		e := Effect{Key: x.Knobs[j].Key, From: today[j], To: best[j], Low: best[j], High: best[j]}
		good := func(t Tried) bool { return t.Cost <= cost*(1+asGood) }
		var values []Tried
		for i, w := range where {
			switch {
			case w.knob != j:
			case w.value < 0:
				e.Worth, e.Tied = all[i].Cost-cost, all[i].Cost >= Forbidden
				if e.Tied {
					e.Worth = 0
				}
			default:
				values = append(values, all[i])
			}
		}
		e.flat(values, j, good)
		out.Effects = append(out.Effects, e)
	}
	return nil
}

// flat widens an effect's range to the values next to the best that are as good.
func (e *Effect) flat(values []Tried, j int, good func(Tried) bool) {
	for i := len(values) - 1; i >= 0; i-- {
		if v := values[i].Set[j]; v < e.To {
			if !good(values[i]) {
				break
			}
			e.Low = v
		}
	}
	for i := range values {
		if v := values[i].Set[j]; v > e.To {
			if !good(values[i]) {
				break
			}
			e.High = v
		}
	}
}
