package control

import (
	"encoding/binary"
	"math"
	"testing"
	"time"

	"duskloop/sensors/quantity"
)

// tape turns fuzz bytes into inputs. Each step takes few bytes and bends few
// things, so that the fuzzer reaches long stories; at the end of the tape the
// inputs stand still.
type tape struct {
	data []byte
	in   Inputs
}

func (t *tape) more() bool { return len(t.data) > 0 }

func (t *tape) byte() byte {
	if len(t.data) == 0 {
		return 0
	}
	b := t.data[0]
	t.data = t.data[1:]
	return b
}

// wild is any float64 there is.
func (t *tape) wild() float64 {
	var raw [8]byte
	for i := range raw {
		raw[i] = t.byte()
	}
	return math.Float64frombits(binary.LittleEndian.Uint64(raw[:]))
}

// odd is one of the numbers that break comparisons and sums.
func (t *tape) odd() float64 {
	return [...]float64{math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, math.Copysign(0, -1)}[t.byte()%6]
}

// next bends the inputs by one instruction: what, then its value.
func (t *tape) next() Inputs {
	t.in.Orders = nil
	t.in.Elapsed = tick
	switch what, x := t.byte(), t.byte(); what % 16 {
	case 0, 1, 2, 3, 4, 5, 6: // a place reads anything from -25 to 102 °C
		t.in.Places[Place(what%16)%Places] = Temperature{Value: quantity.Celsius(x)/2 - 25, Ever: true}
	case 7:
		t.in.Places[Place(x)%Places].Age = time.Duration(t.byte()) * tick
	case 8:
		t.in.Meter = Meter{Volts: 10 + quantity.Volt(x)/50, Amps: quantity.Ampere(int8(t.byte())) / 20, HasVolts: true, HasAmps: x%8 != 0}
	case 9:
		t.in.Meter.Age = time.Duration(x) * tick
	case 10:
		t.in.Level = Level(x % 3)
	case 11:
		t.in.Orders = []Order{{OrderKind(x % 8), time.Duration(t.byte()) * time.Minute}}
	case 12:
		t.in.Elapsed = time.Duration(int8(x)) * tick
	case 13:
		t.in.Places[Place(x)%Places] = Temperature{Value: quantity.Celsius(t.odd()), Ever: true,
			Trouble: Trouble(x % 3), Suspect: quantity.Celsius(t.wild())}
	case 14:
		t.in.Meter.Volts, t.in.Meter.Amps = quantity.Volt(t.wild()), quantity.Ampere(t.odd())
	case 15:
		t.in.Elapsed = [...]time.Duration{math.MinInt64, math.MaxInt64, 0, time.Nanosecond, time.Hour}[x%5]
		t.in.RecordFails, t.in.ClockTrusted = x%2 == 0, x%3 == 0
	}
	return t.in
}

// plants differ in what is fitted.
func plant(kind byte) Settings {
	s := bench()
	s.Fitted.Places[Coil] = kind&1 == 0
	s.Fitted.Places[Return] = kind&2 != 0
	s.Fitted.Contactor = kind&4 == 0
	s.Battery.Chemistry = Chemistry(kind >> 3 % 3)
	return s
}

// FuzzStep tells any story there is; the witness knows what must hold in it.
func FuzzStep(f *testing.F) {
	f.Add([]byte{0})
	f.Add([]byte("\x00\x00\xd8\x01\xc8\x03\x3a\x08\x8a\x80\x00\xda\x03\x70\x0b\x02\x3c"))         // heat, tunnel, hold
	f.Add([]byte("\x01\x08\x8a\x80\x00\x80\x03\x3c\x0b\x03\x05\x0b\x00\x09\x08\x4b\x80\x0f\x01")) // watch, run, low
	f.Add([]byte("\x04\x0d\x00\x00\x01\x02\x03\x04\x05\x06\x07\x08\x0e\x09\x01\x02\x03\x04\x05\x06\x07\xf0\x7f\x01"))
	f.Fuzz(func(t *testing.T, data []byte) {
		if len(data) == 0 || len(data) > 4096 {
			return
		}
		s := plant(data[0])
		tp := tape{data: data[1:], in: newRig().in}
		w := witness{s: &s}
		st, settled := NewState(), 0
		for tp.more() || settled < 40 {
			in := tp.in
			if tp.more() {
				in = tp.next()
			} else { // at the end of the tape it stands still for a while
				settled++
				in.Orders, in.Elapsed = nil, tick
			}
			var d Decision
			st, d = pure(t, &s, st, in, len(tp.data)%16 == 0 && settled%16 == 0)
			w.check(t, in, d)
			if d.Mode == Held && tp.byte() == 0xff { // now and then it is switched off and on
				st = st.Restarted(time.Duration(tp.byte())*time.Minute, tp.byte()%2 == 0)
				w = witness{s: &s, now: w.now}
			}
		}
	})
}
