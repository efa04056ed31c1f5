package agent

import (
	"context"
	"sync"
	"time"

	"periph.io/x/conn/v3/i2c"

	"duskloop/agent/config"
	"duskloop/sensors"
	"duskloop/sensors/ads1115"
	"duskloop/sensors/bridge"
	"duskloop/sensors/ina219"
	"duskloop/sensors/quantity"
)

// lateBus opens a bus at the first use that finds it, and then keeps it. A bus whose
// driver comes late at boot is found without a restart, and one whose part does not
// answer is not opened anew each round.
type lateBus struct {
	open   func() (i2c.BusCloser, error)
	opened i2c.BusCloser
}

func newLateBus(hw Hardware, name config.Text) lateBus {
	return lateBus{open: func() (i2c.BusCloser, error) { return hw.Bus(string(name)) }}
}

func (l *lateBus) get() (i2c.Bus, error) {
	if l.opened == nil {
		opened, err := l.open()
		if err != nil {
			return nil, err
		}
		l.opened = opened
	}
	return l.opened, nil
}

// lateMeter sets its part up at the first read that finds it, and again after it was
// away.
type lateMeter struct {
	bus   lateBus
	part  func(i2c.Bus) (sensors.Meter, error)
	meter sensors.Meter
	panel func(i2c.Bus) (sensors.Meter, error) // nil where it is not measured
}

func newLateMeter(f *config.File, hw Hardware) *lateMeter {
	m := &lateMeter{bus: newLateBus(hw, f.Daemon.Meter), part: meterOf(f)}
	if d := f.Daemon; d.PanelRatio > 0 {
		m.panel = converter(d.ADCAt, d.PanelInput, d.PanelRatio)
	}
	return m
}

// meterOf makes the part that the file names.
func meterOf(f *config.File) func(i2c.Bus) (sensors.Meter, error) {
	d := f.Daemon
	if d.MeterKind == config.ADS1115 {
		return converter(d.ADCAt, d.ADCInput, d.ADCRatio)
	}
	return func(bus i2c.Bus) (sensors.Meter, error) {
		return ina219.New(bus, ina219.Settings{Address: int(d.MeterAt), Shunt: d.Shunt, Reversed: bool(d.Reversed)})
	}
}

// converter makes one input of an ADS1115.
func converter(at, input config.Count, ratio config.Ratio) func(i2c.Bus) (sensors.Meter, error) {
	return func(bus i2c.Bus) (sensors.Meter, error) {
		return ads1115.New(bus, ads1115.Settings{Address: uint16(at), Input: int(input), Ratio: float64(ratio)})
	}
}

// Read measures the battery and then the panel, one after the other, because both may
// be inputs of one converter. It is called by one goroutine at a time: the poller asks
// no device twice at once.
func (m *lateMeter) Read(ctx context.Context) sensors.Power {
	p := m.battery(ctx)
	p.Panel, p.PanelOK = m.sun(ctx)
	return p
}

// sun is the panel's voltage, where it is measured and answers.
func (m *lateMeter) sun(ctx context.Context) (quantity.Volt, bool) {
	if m.panel == nil {
		return 0, false
	}
	bus, err := m.bus.get()
	if err != nil {
		return 0, false
	}
	part, err := m.panel(bus)
	if err != nil {
		return 0, false
	}
	p := part.Read(ctx)
	return p.Volts, p.Cause == sensors.Good
}

// battery measures it, opening first what is not open.
func (m *lateMeter) battery(ctx context.Context) sensors.Power {
	if err := m.find(); err != nil {
		return sensors.Power{At: time.Now(), Cause: sensors.Failed, Err: err}
	}
	p := m.meter.Read(ctx)
	if p.Cause == sensors.Failed || p.Cause == sensors.NothingThere {
		m.meter = nil
	}
	return p
}

func (m *lateMeter) find() error {
	if m.meter != nil {
		return nil
	}
	bus, err := m.bus.get()
	if err != nil {
		return err
	}
	meter, err := m.part(bus)
	if err == nil {
		m.meter = meter
	}
	return err
}

// lateBridge sets the bridge of the probes up at the first round that finds it. Its
// methods may be called from several goroutines.
type lateBridge struct {
	settings bridge.Settings

	mu     sync.Mutex
	bus    lateBus
	probes *bridge.Bus
	err    error // why there are no probes
}

func newLateBridge(f *config.File, hw Hardware) *lateBridge {
	return &lateBridge{
		bus:      newLateBus(hw, f.Daemon.Bridge),
		settings: bridge.Settings{Address: uint16(f.Daemon.BridgeAt), LinePowered: bool(f.Daemon.TwoWire)},
	}
}

// Begin implements sensors.Bus.
func (l *lateBridge) Begin(ctx context.Context) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.probes == nil {
		l.err = l.find()
	}
	if l.probes != nil {
		l.probes.Begin(ctx)
	}
}

// find sets the bridge up.
func (l *lateBridge) find() error {
	bus, err := l.bus.get()
	if err != nil {
		return err
	}
	probes, err := bridge.New(bus, l.settings)
	if err == nil {
		l.probes = probes
	}
	return err
}

// Find implements sensors.Finder.
func (l *lateBridge) Find(ctx context.Context) ([]string, error) {
	l.mu.Lock()
	probes, err := l.probes, l.err
	l.mu.Unlock()
	if probes == nil {
		return nil, err
	}
	return probes.Find(ctx)
}

// Read implements sensors.Bus.
func (l *lateBridge) Read(ctx context.Context, probe string) sensors.Reading {
	l.mu.Lock()
	probes, err := l.probes, l.err
	l.mu.Unlock()
	if probes == nil {
		return sensors.Reading{Probe: probe, At: time.Now(), Cause: sensors.Failed, Err: err}
	}
	return probes.Read(ctx, probe)
}
