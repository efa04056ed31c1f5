package tuning

import (
	"fmt"
	"math"
	"math/rand/v2"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
	"duskloop/sim/season"
	"duskloop/sim/tune"
)

// Bench flies sets of a file's settings.
type Bench struct {
	file      *config.File
	knobs     []turned
	stretches []stretch
}

// NewBench is a bench of a file, without winters yet.
// The error says what of the file no plan can be made for.
func NewBench(f *config.File) (*Bench, error) {
	k, err := knobs(f)
	return &Bench{file: f, knobs: k}, err
}

// Knobs are what may be turned.
func (b *Bench) Knobs() []tune.Knob {
	all := make([]tune.Knob, len(b.knobs))
	for i := range all {
		all[i] = b.knobs[i].Knob
	}
	return all
}

// Fly lives one stretch with one set.
func (b *Bench) Fly(a tune.Ask) (season.Spent, error) {
	f := b.file
	if changed := b.Changes(a.Set); len(changed) > 0 {
		next, _, err := f.With(changed)
		if err != nil { // such as a start below the stop
			return season.Spent{Squared: tune.Forbidden}, nil
		}
		f = next
	}
	x := &b.stretches[a.Stretch]
	h, err := agent.House(f, 5, 1)
	if err != nil {
		return season.Spent{}, fmt.Errorf("%s: %w", x.name, err)
	}
	if f.Loop().Carry.Spend != config.ByPlan {
		h.Night = night.Settings{}
	} else {
		h.Night.Learn = false // the plan's twin is the fit; what it would learn in a month is not tuned for
	}
	if a.Draw > 0 {
		b.draw(&h.Plant, uint64(a.Draw))
	}
	long := x.long
	if a.Short {
		long = short
	}
	return season.Stretch(h, x.start, runIn, long, x.sky, a.Idle)
}

// unknown is how far a figure may be off that no fit has told: one standard deviation of its
// logarithm. Our choice.
const unknown = 0.15

// draw is a greenhouse within what is not known of the one believed in.
func (b *Bench) draw(p *plant.Params, n uint64) {
	r := rand.New(rand.NewPCG(n, 0x64726177))
	by := func(name string) float64 { return math.Exp(b.width(name) * min(max(r.NormFloat64(), -2), 2)) }
	scale := func(x *quantity.WattPerKelvin, name string) { *x *= quantity.WattPerKelvin(by(name)) }
	scale(&p.Tank.Loss, "tank loss")
	scale(&p.Tunnel.Cover, "tunnel cover")
	scale(&p.Tunnel.BedToAir, "bed to air")
	scale(&p.Tunnel.BedToSoil, "bed to soil")
	p.Tunnel.Air *= quantity.JoulePerKelvin(by("tunnel air heat"))
	p.Tunnel.Bed *= quantity.JoulePerKelvin(by("bed heat"))
	p.Tunnel.Sun *= quantity.SquareMetre(by("sun on bed"))
	p.Element = p.Element.Times(by("element"))
	coil := by("coil")
	p.Coil.Lumped *= quantity.WattPerKelvin(coil)
	p.Coil.Fins *= quantity.WattPerKelvin(math.Pow(coil, 1.5)) // a coil grows about with their power of two thirds
}

// width of a figure's logarithm: by the fit, also where it did not tell the figure, and never
// beyond half or twice.
func (b *Bench) width(name string) float64 {
	if g := b.file.Fitted; g != nil {
		for _, f := range g.Figures {
			if f.Name == name && f.Low > 0 && f.High > f.Low {
				return min(math.Log(f.High/f.Low)/(2*1.96), mostUnknown)
			}
		}
	}
	return unknown
}

// mostUnknown is the widest that a figure is drawn: half to twice at two standard deviations.
const mostUnknown = 0.35
