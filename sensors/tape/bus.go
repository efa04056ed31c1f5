package tape

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"
	"time"

	"duskloop/sensors"
	"duskloop/sensors/quantity"
)

// BusRecorder passes reads on to a bus and records the readings.
type BusRecorder struct {
	recording
	bus sensors.Bus
}

// BusPlayer answers as the recorded bus did; At is when it answers.
type BusPlayer struct{ playing }

// Both stand in for a bus.
var (
	_ sensors.Bus = (*BusRecorder)(nil)
	_ sensors.Bus = (*BusPlayer)(nil)
)

// RecordBus listens to bus.
func RecordBus(bus sensors.Bus) *BusRecorder { return &BusRecorder{bus: bus} }

// PlayBus plays ops.
func PlayBus(ops []Op) *BusPlayer { return &BusPlayer{playing{left: slices.Clone(ops)}} }

// answer is a reading as it stands on the tape; the probe is the subject.
type answer struct {
	Value quantity.Celsius `json:"value_c"`
	Raw   string           `json:"raw,omitempty"`
	Cause sensors.Cause    `json:"cause"`
}

// Begin implements sensors.Bus. It gives no answer and is not recorded.
func (r *BusRecorder) Begin(ctx context.Context) { r.bus.Begin(ctx) }

// Read implements sensors.Bus.
func (r *BusRecorder) Read(ctx context.Context, probe string) sensors.Reading {
	began := time.Now()
	got := r.bus.Read(ctx, probe)
	a := answer{Value: got.Value, Cause: got.Cause}
	if got.HasRaw {
		a.Raw = hex.EncodeToString(got.Raw[:])
	}
	text, err := json.Marshal(a)
	if err != nil { // a value that is not a number has no JSON
		got.Cause, got.Err = sensors.Failed, fmt.Errorf("recording probe %s: %w", probe, err)
		text = nil
	}
	r.add(Op{Verb: read, Subject: probe, Got: string(text)}, began, got.Err)
	return got
}

// Begin implements sensors.Bus.
func (p *BusPlayer) Begin(context.Context) {}

// Read implements sensors.Bus.
func (p *BusPlayer) Read(_ context.Context, probe string) sensors.Reading {
	got := sensors.Reading{Probe: probe, At: time.Now(), Cause: sensors.Failed}
	op, err := p.next(read, probe, "")
	got.Err, got.Took = or(err, op), op.Took
	if err != nil || op.Got == "" {
		return got
	}
	var a answer
	if err := json.Unmarshal([]byte(op.Got), &a); err != nil {
		got.Err = fmt.Errorf("playing probe %s: %w", probe, err)
		return got
	}
	got.Value, got.Cause = a.Value, a.Cause
	if raw, err := hex.DecodeString(a.Raw); err == nil && len(raw) == len(got.Raw) {
		got.Raw, got.HasRaw = [9]byte(raw), true
	}
	return got
}
