package agent

import (
	"context"
	"log/slog"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"
	"periph.io/x/conn/v3/i2c"

	"duskloop/agent/config"
	"duskloop/control"
	"duskloop/sensors"
	"duskloop/sensors/devicemodel"
	"duskloop/sensors/quantity"
	"duskloop/sim/plant"
)

// registers is a simulated greenhouse behind parts that are modelled at register level:
// the daemon's own drivers read its probes through a bridge and its battery through a
// meter, and its outputs go through lines and a pulse generator.
type registers struct {
	t      *testing.T
	names  [control.Places]string
	house  *Greenhouse
	bus    *devicemodel.I2C
	probes [control.Places]*devicemodel.DS18B20
	meter  *devicemodel.INA219
	adc    *devicemodel.ADS1115
	pulses *devicemodel.PCA9685
	lines  map[int]*gpiotest.Pin
	bench  *Bench
	bridge sensors.Bus
	power  sensors.Meter
}

// wired is the example with every part on the I²C bus.
func wired(t *testing.T, meter string) *config.File {
	t.Helper()
	text := strings.NewReplacer(
		"[daemon]\n", "[daemon]\nprobes = \"bridge\"\nperiod = \"60 s\"\nmeter = \""+meter+"\"\nmeter_shunt = \"10 mohm\"\n",
		"[loop.bench.pump]\n", "[loop.bench.pump]\npwm = \"pca9685\"\npwm_channel = 2\n",
		"[loop.bench.fans]\n", "[loop.bench.fans]\npwm = \"pca9685\"\npwm_channel = 3\n",
	).Replace(config.Example())
	f, err := config.Parse([]byte(text))
	require.NoError(t, err)
	return f
}

func newRegisters(t *testing.T, f *config.File, seed uint64) *registers {
	t.Helper()
	house, err := NewGreenhouse(f, winterDusk, plant.Dusk(), seed)
	require.NoError(t, err)
	r := &registers{
		t: t, house: house, bus: devicemodel.NewI2C(), meter: devicemodel.NewINA219(0.01),
		adc: devicemodel.NewADS1115(), pulses: devicemodel.NewPCA9685(), lines: map[int]*gpiotest.Pin{},
	}
	line := devicemodel.NewOneWire(0)
	chip := devicemodel.NewDS2482(line)
	chip.Hurry()
	r.bus.Attach(0x18, chip)
	r.bus.Attach(0x40, r.meter)
	r.bus.Attach(0x41, r.pulses)
	r.bus.Attach(0x48, r.adc)
	for p := range control.Places { // the example's serial numbers count up with the places
		r.names[p], r.probes[p] = string(f.Loop().Probes[p].ID), devicemodel.NewDS18B20()
		line.Attach(0x28, 0x0a1de0110001+uint64(p), r.probes[p])
	}
	r.bench, err = OpenBench(f, r)
	require.NoError(t, err)
	r.bridge, r.power = newLateBridge(f, r), newLateMeter(f, r)
	return r
}

func (r *registers) Output(_ string, n int) (gpio.PinOut, error) {
	r.lines[n] = &gpiotest.Pin{L: gpio.High}
	return r.lines[n], nil
}

func (r *registers) Input(string, int) (gpio.PinIn, error) { return &gpiotest.Pin{}, nil }
func (r *registers) Bus(string) (i2c.BusCloser, error)     { return bus{r.bus}, nil }
func (r *registers) Close() error                          { return nil }

// Look lets the greenhouse live, puts what its probes say into the parts, and reads the
// parts through the drivers.
func (r *registers) Look(now time.Time) Look {
	truth := r.house.Look(now)
	r.meter.Set(truth.Power.Volts, truth.Power.Amps)
	r.adc.Set(0, truth.Power.Volts/11)
	for p, probe := range r.probes {
		probe.Set(truth.Probes[p].Value)
	}
	look := Look{Level: truth.Level, Power: r.power.Read(r.t.Context())}
	look.Power.At = now
	r.bridge.Begin(r.t.Context())
	for p := range control.Places {
		look.Probes[p] = r.bridge.Read(r.t.Context(), r.names[p])
		look.Probes[p].At = now
	}
	return look
}

// Apply goes out through the lines and the generator, and what comes out of them is what
// the greenhouse gets.
func (r *registers) Apply(o control.Outputs) error {
	if err := r.bench.Apply(o); err != nil {
		return err
	}
	at := func(channel, line int) quantity.Share {
		if r.lines[line].L == gpio.Low {
			return 0
		}
		return quantity.Share(r.pulses.Duty(channel))
	}
	return r.house.Apply(control.Outputs{Pump: at(2, 17), Fans: at(3, 27), Closed: r.lines[22].L == gpio.High})
}

func (r *registers) Rest() error { return r.Apply(control.Outputs{}) }

// night runs a loop from a winter dusk on and gives its decisions.
func aNight(t *testing.T, f *config.File, sight Sight, hands Hands, length time.Duration) []control.Decision {
	t.Helper()
	var all []control.Decision
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	l, err := NewLoop(Setup{
		File: f, Clock: &leapClock{now: winterDusk}, Sight: sight, Hands: hands,
		Log: slog.New(slog.DiscardHandler), Simulated: true, Trusted: func() bool { return true },
		After: func(c Cycle) {
			all = append(all, c.Decision)
			if c.At.Sub(winterDusk) >= length {
				cancel()
			}
		},
	})
	require.NoError(t, err)
	require.NoError(t, l.Run(ctx))
	return all
}

// TestANightThroughTheRealDrivers runs the same night twice: once with the simulated
// greenhouse itself as Sight and Hands, once through DS2482, DS18B20, INA219, PCA9685 and
// lines, every one a model of its registers, and the daemon's own drivers. No decision may
// differ.
func TestANightThroughTheRealDrivers(t *testing.T) {
	t.Parallel()
	const seed = 3
	f := wired(t, "ina219")
	plain, err := NewGreenhouse(f, winterDusk, plant.Dusk(), seed)
	require.NoError(t, err)
	want := aNight(t, f, plain, plain, 14*time.Hour)
	r := newRegisters(t, f, seed)
	got := aNight(t, f, r, r, 14*time.Hour)
	require.Len(t, got, len(want))
	starts := 0
	for i := range want {
		require.Equal(t, want[i].Outputs, got[i].Outputs, "minute %d", i)
		require.Equal(t, want[i].Reason, got[i].Reason, "minute %d", i)
		if i > 0 && want[i].Outputs.Pump > 0 && want[i-1].Outputs.Pump == 0 {
			starts++
		}
	}
	t.Logf("%d decisions alike, %d starts of the pump", len(want), starts)
	assert.Positive(t, starts)
	assert.Equal(t, plain.plant.Meters().PumpStarts, r.house.plant.Meters().PumpStarts)
	for n, pin := range r.lines {
		assert.Equal(t, gpio.Low, pin.L, "line %d is at rest at the end", n)
	}
}

// The evening of that night with a meter that knows no current: it goes by, with a
// rougher charge. The converter takes its real time, so it is no whole night.
func TestANightByVoltageAlone(t *testing.T) {
	t.Parallel()
	f := wired(t, "ads1115")
	f.Loop().Carry.Spend = config.ByDifference // an evening is too short for a plan
	r := newRegisters(t, f, 3)
	all := aNight(t, f, r, r, 4*time.Hour)
	known, ran := 0, 0
	for _, d := range all {
		if d.Facts.ChargeOK {
			known++
		}
		if d.Outputs.Pump > 0 {
			ran++
		}
	}
	assert.Greater(t, known, len(all)*9/10)
	assert.Positive(t, ran)
	assert.Greater(t, float64(all[len(all)-1].Facts.Band), 0.1, "and it says how rough")
}
