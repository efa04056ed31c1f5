package config

import (
	"fmt"
	"slices"
	"time"

	"duskloop/control"
)

// choose sets one of the words there are; known says which.
func choose[T ~string](to *T, text, known string, words ...T) error {
	if !slices.Contains(words, T(text)) {
		return fmt.Errorf("%s, not %q", known, text)
	}
	*to = T(text)
	return nil
}

// ProbeBus is what the probes hang on.
type ProbeBus string

// The buses that are known.
const (
	KernelBus ProbeBus = "kernel"
	BridgeBus ProbeBus = "bridge"
)

// Set reads kernel or bridge.
func (b *ProbeBus) Set(text string) error {
	return choose(b, text, "probes hang on kernel or bridge", KernelBus, BridgeBus)
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
	return choose(m, text, "the battery is measured by ina219 or ads1115", INA219, ADS1115)
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
	return choose(d, text, "a duty is set by none, kernel or pca9685", NoDim, KernelDim, ChipDim)
}

// String is the word.
func (d Dim) String() string { return string(d) }

// Coupling is what joins the battery's panel to the battery.
type Coupling string

// The couplings that are known.
const (
	DirectCoupling Coupling = "direct"
	MaximumPower   Coupling = "maximum-power"
)

// Set reads direct or maximum-power.
func (c *Coupling) Set(text string) error {
	return choose(c, text, "a panel's controller is direct or maximum-power", DirectCoupling, MaximumPower)
}

// String is the word.
func (c Coupling) String() string { return string(c) }

// Spending is by what the heat is spent.
type Spending string

// The ways that are known.
const (
	ByPlan       Spending = "plan"
	ByDifference Spending = "difference"
)

// Set reads plan or difference.
func (s *Spending) Set(text string) error {
	return choose(s, text, "heat is spent by plan or difference", ByPlan, ByDifference)
}

// String is the word.
func (s Spending) String() string { return string(s) }

// Speed is how fast pump and fans run for comfort.
type Speed string

// The speeds that are known.
const (
	FullSpeed   Speed = "full"
	VariedSpeed Speed = "varied"
)

// Set reads full or varied.
func (s *Speed) Set(text string) error {
	return choose(s, text, "pump and fans run at full or varied speed", FullSpeed, VariedSpeed)
}

// String is the word.
func (s Speed) String() string { return string(s) }

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

// Reading is who may read the page without the password.
type Reading string

// The ways that are known.
const (
	ReadNear      Reading = "near"
	ReadClosed    Reading = "closed"
	ReadEverybody Reading = "everybody"
)

// Set reads near, closed or everybody.
func (r *Reading) Set(text string) error {
	return choose(r, text, "the page is read by near, closed or everybody", ReadNear, ReadClosed, ReadEverybody)
}

// String is the word.
func (r Reading) String() string { return string(r) }
