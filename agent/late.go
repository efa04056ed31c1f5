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
)

// lateMeter opens bus and meter at the first read that finds them. A bus whose
// driver comes late at boot, or a meter that lost power for a while, is found
// again without a restart.
type lateMeter struct {
	open  func() (i2c.BusCloser, error)
	part  func(i2c.Bus) (sensors.Meter, error)
	bus   i2c.BusCloser
	meter sensors.Meter
}

func newLateMeter(f *config.File, hw Hardware) *lateMeter {
	return &lateMeter{open: func() (i2c.BusCloser, error) { return hw.Bus(string(f.Daemon.Meter)) }, part: meterOf(f)}
}

// meterOf makes the part that the file names.
func meterOf(f *config.File) func(i2c.Bus) (sensors.Meter, error) {
	d := f.Daemon
	if d.MeterKind == config.ADS1115 {
		return func(bus i2c.Bus) (sensors.Meter, error) {
			return ads1115.New(bus, ads1115.Settings{Address: uint16(d.ADCAt), Input: int(d.ADCInput), Ratio: float64(d.ADCRatio)})
		}
	}
	return func(bus i2c.Bus) (sensors.Meter, error) {
		return ina219.New(bus, ina219.Settings{Address: int(d.MeterAt), Shunt: d.Shunt, Reversed: bool(d.Reversed)})
	}
}

// Read measures, opening first what is not open. It is called by one goroutine
// at a time: the poller asks no device twice at once.
func (m *lateMeter) Read(ctx context.Context) sensors.Power {
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
	var err error
	if m.bus == nil {
		if m.bus, err = m.open(); err != nil {
			m.bus = nil
			return err
		}
	}
	if m.meter == nil {
		if m.meter, err = m.part(m.bus); err != nil {
			m.meter = nil
		}
	}
	return err
}

// lateBridge opens bus and bridge of the probes at the first round that finds them,
// like lateMeter. Its methods may be called from several goroutines.
type lateBridge struct {
	open     func() (i2c.BusCloser, error)
	settings bridge.Settings

	mu  sync.Mutex
	bus *bridge.Bus
	err error // why there is no bus
}

func newLateBridge(f *config.File, hw Hardware) *lateBridge {
	return &lateBridge{
		open:     func() (i2c.BusCloser, error) { return hw.Bus(string(f.Daemon.Bridge)) },
		settings: bridge.Settings{Address: uint16(f.Daemon.BridgeAt), LinePowered: bool(f.Daemon.TwoWire)},
	}
}

// Begin implements sensors.Bus.
func (l *lateBridge) Begin(ctx context.Context) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.bus == nil {
		opened, err := l.open()
		if err == nil {
			l.bus, err = bridge.New(opened, l.settings)
		}
		l.err = err
	}
	if l.bus != nil {
		l.bus.Begin(ctx)
	}
}

// Read implements sensors.Bus.
func (l *lateBridge) Read(ctx context.Context, probe string) sensors.Reading {
	l.mu.Lock()
	bus, err := l.bus, l.err
	l.mu.Unlock()
	if bus == nil {
		return sensors.Reading{Probe: probe, At: time.Now(), Cause: sensors.Failed, Err: err}
	}
	return bus.Read(ctx, probe)
}
