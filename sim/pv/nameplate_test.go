package pv

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// The three generic modules of testdata/single_diode.csv: nameplates and the
// parameters that De Soto's fit gave for them with another program.
var plates = map[string]struct {
	n    Nameplate
	want Module
}{
	"A": {Nameplate{Voc: 22.3, Isc: 5.95, Vmp: 18.4, Imp: 5.43, Alpha: 0.0005, Beta: -0.0031, Cells: 36},
		Module{Light: 5.9695585, Saturation: 3.0142817e-11, Series: 0.23097699, Shunt: 70.266687, Ideality: 0.85910922}},
	"B": {Nameplate{Voc: 39.9, Isc: 9.8, Vmp: 32.6, Imp: 9.2, Alpha: 0.00048, Beta: -0.0029, Cells: 60},
		Module{Light: 9.8133774, Saturation: 2.1823732e-11, Series: 0.29860696, Shunt: 218.75381, Ideality: 1.4880837}},
	"C": {Nameplate{Voc: 21.8, Isc: 3.1, Vmp: 17.6, Imp: 2.84, Alpha: 0.0006, Beta: -0.0034, Cells: 36},
		Module{Light: 3.110805, Saturation: 5.086217e-11, Series: 0.55469248, Shunt: 159.1439, Ideality: 0.87932479}},
}

func TestFitFindsTheParameters(t *testing.T) {
	t.Parallel()
	for name, p := range plates {
		m, err := Fit(p.n)
		require.NoError(t, err, name)
		t.Logf("%s: %+v", name, m)
		assert.InEpsilon(t, float64(p.want.Light), float64(m.Light), 1e-3, name)
		assert.InEpsilon(t, float64(p.want.Series), float64(m.Series), 0.02, name)
		assert.InEpsilon(t, float64(p.want.Ideality), float64(m.Ideality), 0.005, name)
		at := m.At(1000, 25)
		assert.InEpsilon(t, float64(p.n.Voc), float64(at.OpenCircuit().Volts), 1e-6, name)
		assert.InEpsilon(t, float64(p.n.Isc), float64(at.ShortCircuit().Amps), 1e-6, name)
		assert.InEpsilon(t, float64(p.n.Vmp)*float64(p.n.Imp), float64(at.MaxPower().Power()), 1e-6, name)
	}
}

func TestNameplatesThatCannotBe(t *testing.T) {
	t.Parallel()
	rows := map[string]func(*Nameplate){
		"Vmp above Voc":  func(n *Nameplate) { n.Vmp = 23 },
		"Imp above Isc":  func(n *Nameplate) { n.Imp = 6 },
		"too many cells": func(n *Nameplate) { n.Cells = 60 },
		"no cells":       func(n *Nameplate) { n.Cells = 0 },
		"beta positive":  func(n *Nameplate) { n.Beta = 0.003 },
		"no current":     func(n *Nameplate) { n.Isc, n.Imp = 0, 0 },
	}
	for name, bend := range rows {
		n := plates["A"].n
		bend(&n)
		_, err := Fit(n)
		assert.ErrorIs(t, err, ErrNameplate, name)
	}
}

// Two in series on twice the resistance take twice the power of one; so do two
// in parallel on half of it.
func TestArrays(t *testing.T) {
	t.Parallel()
	m, err := Fit(plates["A"].n)
	require.NoError(t, err)
	one := m.At(800, 30).OnResistor(2).Power()
	for _, w := range []struct {
		series, parallel int
		ohm              quantity.Ohm
	}{{2, 1, 4}, {1, 2, 1}, {3, 2, 3}} {
		a, err := m.Array(w.series, w.parallel)
		require.NoError(t, err)
		got := a.At(800, 30).OnResistor(w.ohm).Power()
		assert.InEpsilon(t, float64(one)*float64(w.series*w.parallel), float64(got), 1e-9)
	}
	_, err = m.Array(0, 1)
	assert.Error(t, err)
}
