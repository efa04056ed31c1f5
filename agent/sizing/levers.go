package sizing

import (
	"cmp"
	"slices"
	"strings"

	"duskloop/sim/season"
)

// Lever is a change, or several at once, through the whole winter.
type Lever struct {
	Name string            `json:"name"`
	Why  string            `json:"why,omitempty"`
	Keys map[string]string `json:"keys"` // of the greenhouse file, as they would then be
	season.Outcome
	// Gain is the share of the squared degree-hours left as it is that the change takes
	// away; negative where it makes things worse. Null where there is next to nothing left.
	Gain *float64 `json:"gain"`

	changes []Change
}

// Try flies the winter with changes made one after the other. It may be called from
// several goroutines.
func (s *Sketch) Try(changes ...Change) (Lever, error) {
	x := Lever{Keys: make(map[string]string), changes: changes}
	next := s
	var names []string
	for _, c := range changes {
		keys := c.keys(next.File.Loop())
		var err error
		if next, err = next.changed(keys); err != nil {
			return x, err
		}
		for k, v := range keys {
			x.Keys[k] = v
		}
		names = append(names, c.Name)
	}
	x.Name = strings.Join(names, " + ")
	if len(changes) == 1 {
		x.Why = changes[0].Why
	}
	f, err := next.Fly(s.Policy)
	if err != nil {
		return x, err
	}
	x.Outcome = next.outcome(&f)
	return x, nil
}

// Rank sorts levers by what they leave of the cold, and says what each gains on now.
func Rank(levers []Lever, now season.Outcome) {
	for i := range levers {
		levers[i].Gain = nil
		if now.Squared >= season.Worthwhile {
			gain := 1 - levers[i].Squared/now.Squared
			levers[i].Gain = &gain
		}
	}
	slices.SortStableFunc(levers, func(a, b Lever) int { return cmp.Compare(a.Squared, b.Squared) })
}

// worthIt is the gain below which a change is not worth its money. Our choice.
const worthIt = 0.03

// helps says that a lever is worth a look.
func (x *Lever) helps() bool { return x.Gain != nil && *x.Gain >= worthIt }

// best is how many changes are tried together.
const best = 3

// Together are the best changes of a ranking, two by two and all at once: no two of one
// topic, none that hardly helps.
func Together(ranked []Lever) (sets [][]Change) {
	var top []Change
	for i := range ranked {
		c := ranked[i].changes[0]
		same := slices.ContainsFunc(top, func(o Change) bool { return o.topic == c.topic })
		if len(top) < best && !same && ranked[i].helps() {
			top = append(top, c)
		}
	}
	for i := range top {
		for j := range i {
			sets = append(sets, []Change{top[j], top[i]})
		}
	}
	if len(top) == best {
		sets = append(sets, top)
	}
	return sets
}
