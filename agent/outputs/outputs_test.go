package outputs

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"periph.io/x/conn/v3/gpio"
	"periph.io/x/conn/v3/gpio/gpiotest"

	"duskloop/control"
)

var _ Pin = (*gpiotest.Pin)(nil)

func TestApplyRespectsActiveLow(t *testing.T) {
	t.Parallel()
	pump, fans, contactor, buzzer := &gpiotest.Pin{N: "pump"}, &gpiotest.Pin{N: "fans"}, &gpiotest.Pin{N: "contactor"}, &gpiotest.Pin{N: "buzzer"}
	b := Bank{Pump: Line{Pin: pump}, Fans: Line{Pin: fans, Low: true}, Contactor: Line{Pin: contactor}, Buzzer: Line{Pin: buzzer, Low: true}}
	require.NoError(t, b.Apply(control.Outputs{Pump: 1, Fans: 0.4, Closed: true, Buzzer: true}))
	assert.Equal(t, []gpio.Level{gpio.High, gpio.Low, gpio.High, gpio.Low}, []gpio.Level{pump.L, fans.L, contactor.L, buzzer.L})
	require.NoError(t, b.Rest())
	assert.Equal(t, []gpio.Level{gpio.Low, gpio.High, gpio.Low, gpio.High}, []gpio.Level{pump.L, fans.L, contactor.L, buzzer.L})
}

type broken struct{ err error }

func (b broken) Out(gpio.Level) error { return b.err }

func TestOneBrokenLineDoesNotKeepTheOthers(t *testing.T) {
	t.Parallel()
	cause := errors.New("line busy")
	fans := &gpiotest.Pin{N: "fans", L: gpio.High}
	b := Bank{Pump: Line{Pin: broken{cause}}, Fans: Line{Pin: fans}}
	err := b.Rest()
	require.ErrorIs(t, err, cause)
	assert.ErrorContains(t, err, "switching pump")
	assert.Equal(t, gpio.Low, fans.L)
}

func TestWhatIsNotFittedIsNotSwitched(t *testing.T) {
	t.Parallel()
	var b Bank
	assert.NoError(t, b.Apply(control.Outputs{Pump: 1, Closed: true}))
}
