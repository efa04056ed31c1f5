package picture

import (
	"io"
	"strings"

	"duskloop/sensors/quantity"
)

// Week is some nights below each other, each from noon to noon, with one scale.
type Week struct {
	Place, Loop string
	Simulated   bool
	Units       quantity.Units
	Half        bool // times of day by a 12-hour clock
	Nights      []WeekNight
}

// WeekNight is one of them.
type WeekNight struct {
	Frame
	Name     string   // printed bold
	Says     []string // below it, each in as many lines as it needs
	Minimum  float64  // °C, of the crop
	Tunnel   *Trace   // its least is marked
	Pump     *Lane
	Silent   *Lane  // when nothing was recorded
	Foretold *Point // the coldest that was expected; nil: none
	Dark     []Night
}

// Heights and reach of a night. Chosen: air farther above the crop's minimum says nothing of a
// night, and would press what does flat.
const (
	weekAir   = 70.0
	weekRight = 366.0 // half of the last hour's label stands beyond it
	mostAbove = 10.0  // K above the highest minimum
)

// Marks of the coldest, as it came and as it was expected: of two shapes, one full.
var (
	coldestMark  = marker{diamond, true}
	expectedMark = marker{square, false}
)

var _ Picture = (*Week)(nil)

// Write writes the picture.
func (k *Week) Write(w io.Writer) error { return asFile(w, k) }

func (k *Week) drawn() (*canvas, error) {
	if !k.any() {
		return nil, ErrNothing
	}
	frame, err := NewFrame(k.Nights[0].From, k.Nights[len(k.Nights)-1].To)
	if err != nil {
		return nil, err
	}
	s := &Sheet{Frame: frame, Place: k.Place, Loop: k.Loop, Simulated: k.Simulated, Units: k.Units, Half: k.Half, NightsKnown: true}
	for i := range k.Nights {
		s.Minimum = append(s.Minimum, Step{k.Nights[i].From, k.Nights[i].Minimum})
	}
	s.Minimum = s.Minimum.steps()
	p := titled(s, s.title(), k.description(s))
	p.right = weekRight
	p.titles(s.head()+": nights", s.span()+"; "+s.clock(), p.tag())
	p.heading("Tunnel, " + s.unit())
	k.key(p)
	reach := k.reach(s)
	for i := range k.Nights {
		p.night(&k.Nights[i], reach)
	}
	p.footnote("Each night from noon to noon. Cold: squared degree-hours below the crop's minimum. Shaded: sunset to sunrise. " +
		"Below the air: when the pump ran. Warmer air than the scale has is not drawn. Gaps: no reading that is believed.")
	return p.done(), nil
}

// any says that any air is known.
func (k *Week) any() bool {
	for i := range k.Nights {
		if k.Nights[i].Tunnel.Known() {
			return true
		}
	}
	return false
}

// steps are a level's without those that change nothing.
func (l Level) steps() (all Level) {
	for _, s := range l {
		if n := len(all); n == 0 || all[n-1].V != s.V {
			all = append(all, s)
		}
	}
	return all
}

// description says each night in a sentence.
func (k *Week) description(s *Sheet) string {
	var parts []string
	if k.Simulated {
		parts = append(parts, "All of it is simulated.")
	}
	for i := range k.Nights {
		n := &k.Nights[i]
		parts = append(parts, n.Name+": "+strings.Join(n.Says, " ")+" The crop's minimum is "+s.said(n.Minimum)+".")
	}
	return strings.Join(parts, " ")
}

func (k *Week) key(p *page) {
	all := append([]sample{
		{"tunnel", cellTunnel.attrs(), nil},
		{"too cold", []string{"stroke", coldFill, "stroke-opacity", "0.55", "stroke-width", "8"}, nil},
		{"coldest", coldestMark.attrs(cellTunnel), coldestMark.put},
		{"expected", expectedMark.attrs(limitHand), expectedMark.put},
		{"pump ran", []string{"stroke", ink, "stroke-width", "6"}, nil},
	}, p.minimumSample()...)
	for i := range k.Nights {
		if k.Nights[i].Silent.total > 0 {
			all = append(all, sample{"no record", []string{"stroke", silent, "stroke-width", "3"}, nil})
			break
		}
	}
	p.key(all...)
}

// reach is from the least to the greatest that is drawn, of all nights.
func (k *Week) reach(s *Sheet) reach {
	r, most := nowhere(), k.Nights[0].Minimum
	for i := range k.Nights {
		n := &k.Nights[i]
		r, most = r.with(n.Minimum), max(most, n.Minimum)
		if n.Tunnel.Known() {
			r = r.with(n.Tunnel.least.V).with(n.Tunnel.most.V)
		}
		if n.Foretold != nil {
			r = r.with(n.Foretold.V)
		}
	}
	r.high = min(r.high, most+mostAbove)
	return reach{s.degrees(r.low), s.degrees(max(r.high, r.low+1))}
}
