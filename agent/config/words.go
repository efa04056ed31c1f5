package config

import (
	"fmt"
	"time"

	"duskloop/control"
)

// ProbeBus is what the probes hang on.
type ProbeBus string

// The buses that are known.
const (
	KernelBus ProbeBus = "kernel"
	BridgeBus ProbeBus = "bridge"
)

// Set reads kernel or bridge.
func (b *ProbeBus) Set(text string) error {
	switch ProbeBus(text) {
	case KernelBus, BridgeBus:
		*b = ProbeBus(text)
		return nil
	}
	return fmt.Errorf("probes hang on kernel or bridge, not %q", text)
}

// String is the word.
func (b ProbeBus) String() string { return string(b) }

// MeterKind is the part that measures the battery.
type MeterKind string

// The parts that are known.
const (
	INA219  MeterKind = "ina219"
	ADS1115 MeterKind = "ads1115"
)

// Set reads ina219 or ads1115.
func (m *MeterKind) Set(text string) error {
	switch MeterKind(text) {
	case INA219, ADS1115:
		*m = MeterKind(text)
		return nil
	}
	return fmt.Errorf("the battery is measured by ina219 or ads1115, not %q", text)
}

// String is the part's name.
func (m MeterKind) String() string { return string(m) }

// Dim is what sets a duty.
type Dim string

// What can set a duty.
const (
	NoDim     Dim = "none"
	KernelDim Dim = "kernel"
	ChipDim   Dim = "pca9685"
)

// Set reads none, kernel or pca9685.
func (d *Dim) Set(text string) error {
	switch Dim(text) {
	case NoDim, KernelDim, ChipDim:
		*d = Dim(text)
		return nil
	}
	return fmt.Errorf("a duty is set by none, kernel or pca9685, not %q", text)
}

// String is the word.
func (d Dim) String() string { return string(d) }

// Where is the place of a thing by its probe; empty for nowhere.
type Where string

// Set reads a place's name, or nothing.
func (w *Where) Set(text string) error {
	if text != "" {
		if _, ok := placeCalled(text); !ok {
			return fmt.Errorf("no probe's place is called %q", text)
		}
	}
	*w = Where(text)
	return nil
}

// String is the name.
func (w Where) String() string { return string(w) }

func placeCalled(name string) (control.Place, bool) {
	for p := range control.Places {
		if p.String() == name {
			return p, true
		}
	}
	return 0, false
}

// Gravity is a severity by its word.
type Gravity struct{ Severity control.Severity }

// Set reads a severity of RFC 5424.
func (g *Gravity) Set(text string) error { return g.Severity.UnmarshalText([]byte(text)) }

// String is the word.
func (g Gravity) String() string { return g.Severity.String() }

// TimeOfDay is a time since midnight.
type TimeOfDay time.Duration

// Set reads HH:MM.
func (c *TimeOfDay) Set(text string) error {
	t, err := time.Parse("15:04", text)
	if err != nil {
		return fmt.Errorf("write a time of day as 22:30, not %q", text)
	}
	*c = TimeOfDay(time.Duration(t.Hour())*time.Hour + time.Duration(t.Minute())*time.Minute)
	return nil
}

// String is HH:MM.
func (c TimeOfDay) String() string {
	d := time.Duration(c)
	return fmt.Sprintf("%02d:%02d", int(d.Hours()), int(d.Minutes())%60)
}
