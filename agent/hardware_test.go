package agent

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"
	"periph.io/x/conn/v3/i2c"
	"periph.io/x/conn/v3/physic"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
)

// board is hardware whose parts a test takes away and gives back.
type board struct {
	lines  map[int]*gpiotest.Pin
	absent error // why there is no bus
	meter  *devicemodel.INA219
	line   *devicemodel.OneWire // behind a bridge
	adc    *devicemodel.ADS1115
	pulses *devicemodel.PCA9685
	opened int // buses
}

func (b *board) Output(_ string, n int) (gpio.PinOut, error) {
	p, ok := b.lines[n]
	if !ok {
		return nil, errors.New("no such line")
	}
	return p, nil
}

func (b *board) Input(_ string, n int) (gpio.PinIn, error) { return &gpiotest.Pin{}, nil }

type bus struct{ *devicemodel.I2C }

func (bus) Close() error                    { return nil }
func (bus) SetSpeed(physic.Frequency) error { return nil }
func (bus) String() string                  { return "test" }

func (b *board) Bus(string) (i2c.BusCloser, error) {
	if b.absent != nil {
		return nil, b.absent
	}
	b.opened++
	i := devicemodel.NewI2C()
	i.Attach(0x40, b.meter)
	if b.pulses != nil {
		i.Attach(0x41, b.pulses)
	}
	if b.adc != nil {
		i.Attach(0x48, b.adc)
	}
	if b.line != nil {
		i.Attach(0x19, devicemodel.NewDS2482(b.line))
	}
	return bus{i}, nil
}

func (b *board) Close() error { return nil }

var _ Hardware = (*board)(nil)

func newBoard() *board {
	b := &board{lines: map[int]*gpiotest.Pin{}, meter: devicemodel.NewINA219(quantity.Ohm(0.01))}
	for _, n := range []int{17, 22, 23, 27} {
		b.lines[n] = &gpiotest.Pin{L: gpio.High}
	}
	return b
}

func TestOpeningTheBenchBringsItToRest(t *testing.T) {
	t.Parallel()
	b := newBoard()
	_, err := OpenBench(config.Demo(), b)
	require.NoError(t, err)
	for n, p := range b.lines {
		assert.Equal(t, gpio.Low, p.L, "line %d", n)
	}
	delete(b.lines, 17)
	_, err = OpenBench(config.Demo(), b)
	require.ErrorContains(t, err, "line of the pump", "a pump that cannot be stopped is not started")
	assert.NotErrorIs(t, err, ErrConfig, "the service tries again")
}

// A bus that comes late, and a meter that goes away for a while, are found.
func TestALateMeterIsFound(t *testing.T) {
	t.Parallel()
	b := newBoard()
	b.absent = errors.New("no such bus")
	b.meter.Set(12.6, -0.5)
	m := newLateMeter(config.Demo(), b)
	p := m.Read(t.Context())
	assert.Equal(t, sensors.Failed, p.Cause)
	require.ErrorIs(t, p.Err, b.absent)
	b.absent = nil
	p = m.Read(t.Context())
	require.Equal(t, sensors.Good, p.Cause, "%v", p.Err)
	assert.InDelta(t, 12.6, float64(p.Volts), 0.005)
	assert.InDelta(t, -0.5, float64(p.Amps), 0.005)
}

// A meter without a current: the decision core is told the voltage alone, and works
// out the charge from it.
func TestVoltageOnlyMeter(t *testing.T) {
	t.Parallel()
	text := strings.Replace(config.Example(), "[daemon]\n", "[daemon]\nmeter = \"ads1115\"\nbattery_input = 1\nbattery_divider = 11\n", 1)
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	b := newBoard()
	b.adc = devicemodel.NewADS1115()
	b.adc.Set(1, 12.6/11)
	p := newLateMeter(f, b).Read(t.Context())
	require.Equal(t, sensors.Good, p.Cause, "%v", p.Err)
	in := newBeliefs(f).inputs(Look{Power: p}, p.At)
	assert.True(t, in.Meter.HasVolts)
	assert.False(t, in.Meter.HasAmps)
	assert.InDelta(t, 12.6, float64(in.Meter.Volts), 0.001)
	settings, err := f.Settings()
	require.NoError(t, err)
	in.Elapsed, in.ClockTrusted = 10*time.Second, true
	st := control.NewState()
	for range 5 {
		st, _ = control.Step(&settings, st, in)
	}
	assert.True(t, st.Charge.OK)
	assert.Greater(t, float64(st.Charge.Band), 0.2, "and says how rough it is")
}

// A part that does not answer on a bus that is there costs one open file, not one a
// round, which would be the end of the daemon in some hours.
func TestASilentPartIsNotAnOpenFileARound(t *testing.T) {
	t.Parallel()
	text := strings.Replace(config.Example(), "[daemon]\n", "[daemon]\nprobes = \"bridge\"\nmeter = \"ads1115\"\nbattery_input = 1\nbattery_divider = 11\n", 1)
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	for name, round := range map[string]func(*board) func() sensors.Cause{
		"bridge": func(b *board) func() sensors.Cause {
			bus := newLateBridge(f, b)
			return func() sensors.Cause {
				bus.Begin(t.Context())
				return bus.Read(t.Context(), string(f.Loop().Probes[control.Tank].ID)).Cause
			}
		},
		"meter": func(b *board) func() sensors.Cause {
			m := newLateMeter(f, b)
			return func() sensors.Cause { return m.Read(t.Context()).Cause }
		},
	} {
		b := newBoard() // with neither part on its bus
		try := round(b)
		for range 5 {
			assert.NotEqual(t, sensors.Good, try(), name)
		}
		assert.Equal(t, 1, b.opened, name)
	}
}

// Probes behind a bridge that comes late are read by the bench's own rounds.
func TestProbesBehindALateBridge(t *testing.T) {
	t.Parallel()
	text := strings.Replace(config.Example(), "[daemon]\n", "[daemon]\nprobes = \"bridge\"\nbridge_address = 25\nperiod = \"1 s\"\n", 1)
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	b := newBoard()
	b.absent = errors.New("no such bus")
	b.line = devicemodel.NewOneWire(0)
	probe := devicemodel.NewDS18B20()
	probe.Set(41.5)
	b.line.Attach(0x28, 0x0a1de0110001, probe) // the example's tank
	bus := newLateBridge(f, b)
	read := func() sensors.Reading {
		bus.Begin(t.Context())
		return bus.Read(t.Context(), string(f.Loop().Probes[control.Tank].ID))
	}
	got := read()
	assert.Equal(t, sensors.Failed, got.Cause)
	require.ErrorIs(t, got.Err, b.absent)
	b.absent = nil
	got = read()
	require.Equal(t, sensors.Good, got.Cause, "%v", got.Err)
	assert.Equal(t, quantity.Celsius(41.5), got.Value)
	assert.Equal(t, sensors.NothingThere, bus.Read(t.Context(), string(f.Loop().Probes[control.Coil].ID)).Cause)
}

// A dimmed pump without a line of its own: the generator gives its duty, and rest brings
// it to nothing, also from the notes of the last start.
func TestDimmedPump(t *testing.T) {
	t.Parallel()
	text := strings.NewReplacer("[loop.bench.pump]\n", "[loop.bench.pump]\npwm = \"pca9685\"\npwm_channel = 3\nduty = \"60 %\"\n",
		"line = 17\n", "", "chip = \"header\"\n# Number of the line on that chip. (0 to 511)\nline = 17", "").Replace(config.Example())
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	b := newBoard()
	b.pulses = devicemodel.NewPCA9685()
	bench, err := OpenBench(f, b)
	require.NoError(t, err)
	settings, err := f.Settings()
	require.NoError(t, err)
	assert.InDelta(t, 0.6, float64(settings.Carry.PumpDuty), 1e-12, "the rules know it")
	require.NoError(t, bench.Apply(control.Outputs{Pump: settings.Carry.PumpDuty}))
	assert.InDelta(t, 0.6, b.pulses.Duty(3), 1.0/4096)
	dir := t.TempDir()
	require.NoError(t, keepLines(dir, f))
	require.NoError(t, Rest(nil, dir, func() (Hardware, error) { return b, nil }))
	assert.Zero(t, b.pulses.Duty(3))
}

// The outputs are found again without the greenhouse file, from the last start.
func TestRestWithoutAFile(t *testing.T) {
	t.Parallel()
	dir, b := t.TempDir(), newBoard()
	opened := func() (Hardware, error) { return b, nil }
	require.Error(t, Rest(nil, dir, opened), "before any start nothing is known")
	require.NoError(t, keepLines(dir, config.Demo()))
	require.NoError(t, Rest(nil, dir, opened))
	for n, p := range b.lines {
		assert.Equal(t, gpio.Low, p.L, "line %d", n)
	}
}

// The panel's voltage comes with the battery's, from the same converter or from one
// beside a shunt, and its loss is not the battery's.
func TestPanelBesideTheBattery(t *testing.T) {
	t.Parallel()
	for name, meter := range map[string]string{"one converter for both": "ads1115", "beside a shunt": "ina219"} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			text := strings.Replace(config.Example(), "[daemon]\n", "[daemon]\nmeter = \""+meter+"\"\nbattery_divider = 11\npanel_input = 2\npanel_divider = 21\n", 1)
			f, err := config.Parse([]byte(text))
			require.NoError(t, err)
			b := newBoard()
			b.adc = devicemodel.NewADS1115()
			b.adc.Set(0, 12.6/11)
			b.adc.Set(2, 18.0/21)
			b.meter.Set(12.6, -0.5)
			m, minds := newLateMeter(f, b), newBeliefs(f)
			for range 3 {
				p := m.Read(t.Context())
				in := minds.inputs(Look{Power: p}, p.At)
				assert.InDelta(t, 12.6, float64(in.Meter.Volts), 0.005)
				assert.InDelta(t, 18.0, float64(in.Panel.Volts), 0.002)
				assert.True(t, in.Panel.Has)
			}
			b.adc.Set(2, 3)
			p := m.Read(t.Context())
			in := minds.inputs(Look{Power: p}, p.At.Add(time.Minute))
			assert.Equal(t, sensors.Good, p.Cause, "the battery is read all the same")
			assert.InDelta(t, 18.0, float64(in.Panel.Volts), 0.002)
			assert.GreaterOrEqual(t, in.Panel.Age, time.Minute, "the last one grows old")
			assert.Equal(t, "panel's voltage not read", in.Panel.Cause, "and the record says so")
			absurd := minds.inputs(Look{Power: sensors.Power{Volts: 12.6, Cause: sensors.Good, At: p.At.Add(time.Second), Panel: 300, PanelOK: true}}, p.At)
			assert.Equal(t, "panel's voltage out of range", absurd.Panel.Cause)
		})
	}
}

// The line of the battery's charger: active only while it is held off, and at rest free.
func TestChargerLine(t *testing.T) {
	t.Parallel()
	text := strings.Replace(config.Example(), "chemistry = \"agm\"", "chemistry = \"lifepo4\"", 1)
	text = strings.Replace(text, "# [loop.bench.charger]\n", "[loop.bench.charger]\nchip = \"header\"\nline = 24\nactive_low = true\n", 1)
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	b := newBoard()
	b.lines[24] = &gpiotest.Pin{L: gpio.Low}
	bench, err := OpenBench(f, b)
	require.NoError(t, err)
	assert.Equal(t, gpio.High, b.lines[24].L, "free while nothing is decided")
	require.NoError(t, bench.Apply(control.Outputs{ChargerOff: true}))
	assert.Equal(t, gpio.Low, b.lines[24].L)
	require.NoError(t, bench.Rest())
	assert.Equal(t, gpio.High, b.lines[24].L)

	_, err = config.Parse([]byte(strings.Replace(text, "\"lifepo4\"", "\"agm\"", 1)))
	require.ErrorContains(t, err, "only a lifepo4 battery")
	_, err = config.Parse([]byte(strings.Replace(text, "line = 24", "line = 22", 1)))
	require.ErrorContains(t, err, "the same line of header switches the contactor")
}
