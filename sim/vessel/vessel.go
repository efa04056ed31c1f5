package vessel

import (
	"errors"
	"fmt"
	"math"

	"duskloop/sensors/quantity"
)

// ErrRange is wrapped by every refusal of a vessel that cannot be.
var ErrRange = errors.New("no such closed vessel")

// Vessel is a closed rigid vessel as it was when it was closed.
type Vessel struct {
	Inside quantity.Litre      // all of it, liquid and gas
	Liquid quantity.Litre      // in it when closed
	Closed quantity.Celsius    // its temperature when closed
	Air    quantity.Kilopascal // absolute pressure in it when closed
}

// Liquid is what is known of the liquid. Its functions' errors name their ranges.
type Liquid struct {
	Density func(quantity.Celsius) (float64, error) // kg/m³
	// Doubt is the density's uncertainty at the temperature asked about, against that
	// when closed, as a share.
	Doubt  quantity.Share
	Vapour func(quantity.Celsius) (quantity.Kilopascal, error)
}

// LeastRoom is the share of gas space below which a vessel counts as full of liquid.
// Our choice, after the common practice of leaving a tenth or more for expansion
// (from memory, no source); a smaller figure would trust the density too far.
const LeastRoom quantity.Share = 0.10

// Pressure is the absolute pressure at a temperature, as a band; judge by High.
type Pressure struct {
	Low, Likely, High quantity.Kilopascal // +Inf where the liquid fills the vessel
	Room              quantity.Share      // gas space at that temperature, the least that may be left
	Full              bool                // less room than LeastRoom: High is then +Inf, the pressure has no bound
}

// At is the pressure at t. It refuses, with ErrRange, a vessel that holds more
// liquid than it has room for, or was closed with less pressure than the vapour's.
func (v Vessel) At(t quantity.Celsius, l Liquid) (Pressure, error) {
	if !(v.Liquid > 0 && v.Inside >= v.Liquid) || !quantity.Finite(v.Inside) {
		return Pressure{}, fmt.Errorf("%v of liquid in a vessel of %v: %w", v.Liquid, v.Inside, ErrRange)
	}
	c, err := v.change(t, l)
	if err != nil {
		return Pressure{}, err
	}
	doubt := float64(l.Doubt)
	p := Pressure{
		Low:    v.pressure(c, c.swollen/(1+doubt)),
		Likely: v.pressure(c, c.swollen),
		High:   v.pressure(c, c.swollen/(1-doubt)),
		Room:   max(0, v.room(c.swollen/(1-doubt))),
	}
	if p.Full = p.Room < LeastRoom; p.Full {
		p.High = quantity.Kilopascal(math.Inf(1))
	}
	return p, nil
}

// change is what warming from closing to a temperature does.
type change struct {
	swollen float64             // the liquid's volume over that when closed
	hotter  float64             // ratio of absolute temperatures
	air     quantity.Kilopascal // of the air alone when closed
	vapour  quantity.Kilopascal // at the temperature
}

func (v Vessel) change(t quantity.Celsius, l Liquid) (change, error) {
	before, err1 := l.Density(v.Closed)
	after, err2 := l.Density(t)
	cold, err3 := l.Vapour(v.Closed)
	warm, err4 := l.Vapour(t)
	if err := errors.Join(err1, err2, err3, err4); err != nil {
		return change{}, fmt.Errorf("pressure in a closed vessel at %v: %w", t, err)
	}
	if !(v.Air >= cold) || !quantity.Finite(v.Air) {
		return change{}, fmt.Errorf("closed at %v, with a vapour pressure of %v: %w", v.Air, cold, ErrRange)
	}
	return change{
		swollen: before / after, hotter: t.Absolute() / v.Closed.Absolute(),
		air: v.Air - cold, vapour: warm,
	}, nil
}

// room is the share of gas space when the liquid has swollen so far.
func (v Vessel) room(swollen float64) quantity.Share {
	return quantity.Share(1 - swollen*float64(v.Liquid)/float64(v.Inside))
}

// pressure when the liquid has swollen so far, whatever room is left.
func (v Vessel) pressure(c change, swollen float64) quantity.Kilopascal {
	left := v.room(swollen)
	if left <= 0 {
		return quantity.Kilopascal(math.Inf(1))
	}
	squeezed := float64(v.room(1)) / float64(left)
	return c.vapour + c.air*quantity.Kilopascal(c.hotter*squeezed)
}
