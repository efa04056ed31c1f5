package fit

import (
	"fmt"
)

// Figure is one of the plant's, by the file and by the record. One that is not told has the
// Value that goes best with the others, which is no more than a guess.
type Figure struct {
	Name, Unit      string
	File, Value     float64
	Low, High       float64 // the ends of a 95 % interval
	Told            bool    // the record tells it
	Why, Experiment string  // where it does not: what is missing, and what would tell it
}

// Result is a greenhouse fitted to a record.
type Result struct {
	Model   Model
	Figures []Figure
	Nights  []Night // each foretold by a fit of the others
	Left    []Left  // not believed
	Stuck   []Left  // readings not believed, in whatever night
	// Air and Tank are the root mean square errors over the nights left out, K.
	Air, Tank float64
	// Follows are the autocorrelations of the air's differences, those of the nights left
	// out, five minutes and an hour apart.
	Follows [2]float64
	Minutes int // of the record that were used
	// Lost is the share of the nights' minutes that could not be used: holes, or probes not
	// believed.
	Lost float64
}

// Fit finds the greenhouse of a record. ErrTooLittle says that no record is left to go by,
// and the words say why.
func Fit(r *Record, o *Options) (*Result, error) {
	l, left, stuck, err := sift(r, o)
	if err != nil {
		return &Result{Left: left, Stuck: stuck}, err
	}
	s, more, err := settle(l, o)
	left = append(left, more...)
	if err != nil {
		return &Result{Left: left, Stuck: stuck}, err
	}
	out := &Result{Model: s.model, Left: left, Stuck: stuck, Minutes: l.used(), Lost: l.lost()}
	if out.Figures, err = s.tell(); err != nil {
		return nil, err
	}
	if out.Nights, err = s.leaveOut(); err != nil {
		return nil, err
	}
	if len(out.Nights) == 0 {
		return out, fmt.Errorf("%w: no night is long enough to be foretold", ErrTooLittle)
	}
	out.Air = pooled(out.Nights, func(n *Night) float64 { return n.Air })
	out.Tank = pooled(out.Nights, func(n *Night) float64 { return n.Tank })
	out.Follows = follows(out.Nights)
	out.doubt()
	out.Figures = append(out.Figures, s.unlit()...)
	out.Figures = append(out.Figures, r.cells(o.Cells)...)
	return out, nil
}

// How far off a fit may foretell the nights that it has not seen, K, before nothing that it
// says is told. Our choices: the first is most of what a crop's margin is.
const (
	airDoubted  = 1.0
	tankDoubted = 2.0
)

// doubt tells nothing by a fit that does not foretell its own nights.
func (r *Result) doubt() {
	if r.Air <= airDoubted && r.Tank <= tankDoubted {
		return
	}
	for i := range r.Figures {
		f := &r.Figures[i]
		f.Told, f.Why = false, fmt.Sprintf("the fit is %.1f K off in the tunnel and %.1f K in the tank on nights that it has not seen", r.Air, r.Tank)
	}
}

// used are the minutes that drove the fit.
func (l *laid) used() (n int) {
	for k, ok := range l.driven {
		if ok && l.night[k] >= 0 {
			n++
		}
	}
	return n
}

// lost is the share of the dark minutes that nothing can be made of.
func (l *laid) lost() float64 {
	all, lost := 0.0, 0.0
	for k := range l.cells {
		if l.dark[k] && l.night[k] >= 0 {
			if all++; !l.driven[k] || !known(l.tank[k]) {
				lost++
			}
		}
	}
	return lost / max(all, 1)
}
