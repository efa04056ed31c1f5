package season

import (
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// future is the truth of a season without heat, slot by slot.
type future struct {
	first      int64
	house, sun []float64
	seen       []float64
}

// future runs the season once without heat and writes down what it saw.
func (b Bench) future() (*future, error) {
	_, volts, err := TwinOf(b.House.Plant)
	if err != nil {
		return nil, err
	}
	n := b.Over.Days*24*6 + 2
	f := &future{first: b.Over.Start.Unix() / int64(night.Step), house: make([]float64, n), sun: make([]float64, n), seen: make([]float64, n)}
	_, _, err = Fly(b.House, b.Over, b.Sky, watcher(func(now plant.State) {
		k := now.Time.Unix()/int64(night.Step) - f.first
		f.house[k] += float64(now.Greenhouse)
		f.sun[k] += float64(now.PanelVolts / volts)
		f.seen[k]++
	}))
	return f, err
}

// ahead is the truth from a slot on; behind the season's end the last of it.
func (f *future) ahead(now int64, n int) (night.Ahead, bool) {
	a := night.Ahead{House: make([]float64, n), Sun: make([]float64, n)}
	last := len(f.seen) - 1
	for f.seen[last] == 0 {
		last--
	}
	for i := range n {
		k := min(int(now-f.first)+i, last)
		a.House[i], a.Sun[i] = f.house[k]/f.seen[k], f.sun[k]/f.seen[k]
	}
	return a, true
}

// watcher is a pilot that only looks.
type watcher func(plant.State)

// Duty is none.
func (w watcher) Duty(now plant.State, dt time.Duration) quantity.Share {
	w(now)
	return Off{}.Duty(now, dt)
}
