package outputs

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"

	"duskloop/control"
	"duskloop/sensors/devicemodel"
)

// tree is a kernel's tree of one chip whose channel 2 is there already.
func tree(t *testing.T) (root, channel string) {
	t.Helper()
	root = t.TempDir()
	channel = filepath.Join(root, "pwmchip0", "pwm2")
	require.NoError(t, os.MkdirAll(channel, 0o700))
	for _, name := range []string{"period", "duty_cycle", "enable"} {
		require.NoError(t, os.WriteFile(filepath.Join(channel, name), []byte("0\n"), 0o600))
	}
	return root, channel
}

func content(t *testing.T, dir, name string) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join(dir, name))
	require.NoError(t, err)
	return strings.TrimSpace(string(b))
}

func TestKernelPWM(t *testing.T) {
	t.Parallel()
	root, channel := tree(t)
	k := KernelPWM{Root: root, Channel: 2, Hertz: 25000}
	require.NoError(t, k.Dim(0.6))
	assert.Equal(t, "40000", content(t, channel, "period"), "ns of 25 kHz")
	assert.Equal(t, "24000", content(t, channel, "duty_cycle"))
	assert.Equal(t, "1", content(t, channel, "enable"))
	require.NoError(t, k.Dim(0))
	assert.Equal(t, "0", content(t, channel, "duty_cycle"))
	k.Low = true
	require.NoError(t, k.Dim(0))
	assert.Equal(t, "40000", content(t, channel, "duty_cycle"), "off is high all the time")

	err := KernelPWM{Root: root, Chip: 7, Hertz: 100}.Dim(1)
	require.ErrorIs(t, err, os.ErrNotExist)
}

func TestGenerator(t *testing.T) {
	t.Parallel()
	bus, part := devicemodel.NewI2C(), devicemodel.NewPCA9685()
	bus.Attach(0x41, part)
	g := &Generator{Bus: bus, Address: 0x41, Hertz: 200}
	pump, fans := g.Output(0, false), g.Output(5, true)
	require.NoError(t, pump.Dim(0.25))
	require.NoError(t, fans.Dim(0.4))
	assert.InDelta(t, 0.25, part.Duty(0), 1.0/4096)
	assert.InDelta(t, 0.6, part.Duty(5), 1.0/4096, "active low")
	assert.InDelta(t, 200, part.Hertz(), 10, "the driver beneath leaves out the register's minus one: up to 5 % slow")
	require.NoError(t, pump.Dim(1))
	assert.Equal(t, 1.0, part.Duty(0), "no pulse at full duty")
	require.NoError(t, pump.Dim(0))
	assert.Zero(t, part.Duty(0))

	part.PowerCycle()
	assert.Zero(t, part.Duty(5), "asleep it gives nothing")
	bus.Detach(0x41)
	require.Error(t, pump.Dim(1))
	bus.Attach(0x41, part)
	require.NoError(t, pump.Dim(0.5), "found again, and set up anew")
	assert.InDelta(t, 0.5, part.Duty(0), 1.0/4096)
}

// order is a pin and a dimmer that write down who was called.
type order struct{ calls *[]string }

func (o order) Out(l gpio.Level) error {
	*o.calls = append(*o.calls, "pin "+l.String())
	return nil
}

func (o order) Dim(duty float64) error {
	*o.calls = append(*o.calls, "duty "+trimmed(duty))
	return nil
}

func trimmed(v float64) string {
	if v == 0 {
		return "0"
	}
	return "more"
}

func TestPinAndDutyInTheSafeOrder(t *testing.T) {
	t.Parallel()
	var calls []string
	b := Bank{Pump: Line{Pin: order{&calls}, Dim: order{&calls}}, Fans: Line{Pin: &gpiotest.Pin{}}}
	require.NoError(t, b.Apply(control.Outputs{Pump: 0.6, Fans: 0.3}))
	require.NoError(t, b.Rest())
	assert.Equal(t, []string{"duty more", "pin High", "pin Low", "duty 0"}, calls)
}
