package mqtt

import (
	"context"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/record"
	"duskloop/agent/senml"
	"duskloop/control"
)

// resolved is a reading's pack as a subscriber resolves it, by name.
func resolved(t *testing.T, x record.Reading) map[string]senml.Record {
	t.Helper()
	line, err := Pack("duskloop", x).Marshal()
	require.NoError(t, err)
	newJudge(t).Hold(t, "duskloop/bench/readings", string(line))
	p, err := senml.Parse(line)
	require.NoError(t, err)
	list, err := p.Resolve(dusk.Add(time.Hour))
	require.NoError(t, err)
	byName := make(map[string]senml.Record)
	for _, r := range list {
		byName[r.Name] = r
	}
	return byName
}

func TestPackOfAReading(t *testing.T) {
	t.Parallel()
	x := *reading(0)
	x.Places[control.Coil] = record.Known(-12.5, 90*time.Second) // long stale: sent with its age
	x.Trouble = map[string]string{"coil": "checksum wrong", "battery": "no answer"}
	x.Outputs = control.Outputs{Pump: 0.75, Fans: 0, Closed: true, Buzzer: true}
	x.Heating = record.Known(187.5, 0)
	got := resolved(t, x)

	at := float64(dusk.Unix())
	number := func(name string, unit senml.Unit, v, when float64) {
		r, ok := got["duskloop/bench/"+name]
		if assert.True(t, ok, name) && assert.NotNil(t, r.Value, name) {
			assert.Equal(t, unit, r.Unit, name)
			assert.InDelta(t, v, *r.Value, 1e-9, name)
			assert.InDelta(t, when, r.Time, 1e-6, name)
		}
	}
	number("tank", "Cel", 60, at-2)
	number("coil", "Cel", -12.5, at-90)
	number("battery", "V", 12.6, at)
	number("battery-current", "A", -0.4, at)
	number("heating", "W", 187.5, at)
	number("charge", "%EL", 80, at)
	number("charge-band", "%EL", 5, at)
	number("pump", "/", 0.75, at)
	number("fans", "/", 0, at)
	for _, name := range []string{"contactor-closed", "buzzer", "simulated"} {
		assert.True(t, *got["duskloop/bench/"+name].Flag, name)
	}
	assert.Equal(t, "checksum wrong", *got["duskloop/bench/coil-trouble"].Text)
	assert.Equal(t, "no answer", *got["duskloop/bench/battery-trouble"].Text)
	assert.NotContains(t, got, "duskloop/bench/bed", "never known")
	assert.Len(t, got, 14)
}

func TestPackLeavesOutWhatIsNoNumber(t *testing.T) {
	t.Parallel()
	x := *reading(0)
	x.Places[control.Tank] = record.Known(math.NaN(), 0)
	x.Volts, x.Amps = record.Value{}, record.Known(math.Inf(1), 0)
	x.Charge = record.Value{}
	got := resolved(t, x)
	for _, name := range []string{"tank", "battery", "battery-current", "charge", "charge-band"} {
		assert.NotContains(t, got, "duskloop/bench/"+name)
	}
}

// A board that booted in 1970 would, by RFC 8428 §4.5.3, speak of the future.
func TestPackBeforeTheClockWasSet(t *testing.T) {
	t.Parallel()
	x := *reading(0)
	x.At = time.Unix(100, 0)
	p := Pack("duskloop", x)
	assert.Nil(t, p[0].BaseTime)
	assert.InDelta(t, float64(dusk.Add(time.Hour).Unix())-2, resolved(t, x)["duskloop/bench/tank"].Time, 1e-6, "read as now, two seconds old")
}

// thinned is a record that no longer holds its first readings.
type thinned struct {
	*record.Record
	gone int64
}

func (r thinned) ReadingsAfter(ctx context.Context, seq int64, n int) ([]record.Reading, error) {
	return r.Record.ReadingsAfter(ctx, max(seq, r.gone), n)
}

func TestReadingsGoneFromTheRecord(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t)
	c := subscribe(t, broker.Addr, "duskloop/#")
	rec := newRecord(t)
	for i := range 10 {
		rec.Append(reading(i))
	}
	feed(t, thinned{rec, 4}, options(broker.Addr))
	text := c.AwaitOn("duskloop/daemon", 1)
	assert.Contains(t, text, `"what":"readings-dropped","count":4,"text":"4 readings not sent: the record no longer holds them"`)
	assert.Equal(t, reading(4).At, timeOf(t, c.AwaitOn("duskloop/bench/readings", 1)))
}
