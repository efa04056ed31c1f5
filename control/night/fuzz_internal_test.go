package night

import (
	"encoding/binary"
	"math"
	"reflect"
	"testing"
	"time"
)

// drawn from a fuzzer's bytes: odd figures now and then, believable ones else.
type bytesDrawn struct{ data []byte }

func (b *bytesDrawn) next() byte {
	if len(b.data) == 0 {
		return 0
	}
	x := b.data[0]
	b.data = b.data[1:]
	return x
}

// figure is low to high, or something odd.
func (b *bytesDrawn) figure(low, high float64) float64 {
	switch x := b.next(); x {
	case 255:
		return math.NaN()
	case 254:
		return math.Inf(1)
	case 253:
		return math.Inf(-1)
	case 252:
		return math.Float64frombits(binary.LittleEndian.Uint64([]byte{b.next(), b.next(), b.next(), b.next(), b.next(), b.next(), b.next(), b.next()}))
	default:
		return low + (high-low)*float64(x)/251
	}
}

// leap is how far the clock goes on: a slot mostly.
func (b *bytesDrawn) leap() time.Duration {
	switch x := b.next(); {
	case x < 200:
		return 10 * time.Minute
	case x < 240:
		return time.Duration(x-200) * time.Minute
	case x < 250:
		return time.Duration(int(b.next())-128) * time.Hour
	case x < 254:
		return time.Duration(int(b.next())-128) * 24 * time.Hour
	}
	return time.Duration(binary.LittleEndian.Uint64([]byte{b.next(), b.next(), b.next(), b.next(), b.next(), b.next(), b.next(), b.next()}))
}

// mind of a fuzzer's first byte.
func (b *bytesDrawn) mind() *Mind {
	set := Usual(large())
	kind := b.next()
	set.Minimum, set.Noon, set.Budget, set.Learn = 5, int64(kind%144), 3, kind%8 == 3
	set.Horizon = 12 + int(kind)/2
	if kind%2 == 1 {
		set.Scenarios, set.Shared, set.Drive = 3, 24, Varied
	}
	return NewMind(set)
}

// sane fails for an advice that is not.
func sane(t *testing.T, a Advice) {
	t.Helper()
	if !(a.Duty >= 0 && a.Duty <= 1) {
		t.Fatalf("duty %v", a.Duty)
	}
	figures := []float64{a.Level, a.Record.Outlook, a.Record.Forecast}
	story := reflect.ValueOf(a.Story)
	for i := range story.NumField() {
		if x, ok := story.Field(i).Interface().(float64); ok {
			figures = append(figures, x)
		}
	}
	for _, l := range lessons(a) {
		figures = append(figures, l.File, l.Value, l.Width)
	}
	for _, x := range figures {
		if math.IsNaN(x) || math.IsInf(x, 0) || math.Abs(x) > 1e6 {
			t.Fatalf("%+v", a)
		}
	}
	if a.Way == Planned && !a.Story.ColdestAt.IsZero() && (a.Story.Coldest < -150 || a.Story.Coldest > 200 || a.Story.Low > a.Story.High) {
		t.Fatalf("%+v", a.Story)
	}
}

func lessons(a Advice) []Learned {
	if a.Learned == nil {
		return nil
	}
	return *a.Learned
}

// FuzzMind shows a mind any samples, by any clock: it never falls over, and what it advises
// can be followed.
func FuzzMind(f *testing.F) {
	days := make([]byte, 0, 400)
	for k := range 30 { // ordinary ones to begin with
		days = append(days, 0, byte(40+k), 200, 120, 100, 255, byte(k), 0, 0, 200, 100)
	}
	f.Add(append([]byte{11, 7}, days...), uint8(3))
	f.Add(append([]byte{2, 250}, days...), uint8(0))
	f.Add([]byte{1, 254, 0, 0, 0, 0, 0, 0, 0, 128, 252, 252, 253, 254, 255}, uint8(1))
	f.Fuzz(func(t *testing.T, data []byte, repeat uint8) {
		b := bytesDrawn{data[:min(len(data), 400)]}
		m := b.mind()
		at := winterNoon
		for k := range int(repeat%5) * slotsADay { // days of plain weather, so that there is something to upset
			m.memory.put(slotOf(at), Slot{Tank: 30, Air: 6 + float32(k%7), House: float32(5 * math.Cos(float64(k)/23)), Bed: float32(math.NaN())})
			at = at.Add(10 * time.Minute)
		}
		for len(b.data) > 0 {
			at = at.Add(b.leap())
			s := Sample{
				Time: at, Passed: time.Duration(b.figure(-10, 1200)) * time.Second,
				Tank: b.figure(-20, 110), Air: b.figure(-20, 50), House: b.figure(-30, 50), Bed: b.figure(-20, 50), Sun: b.figure(-0.1, 1.2),
				Flow: b.figure(0, 1), Power: b.figure(0, 1), Charge: b.figure(0, 1), Floor: b.figure(0, 1),
			}
			m.Observe(&s)
			sane(t, m.Advice())
			m.Think(2)
			sane(t, m.Advice())
		}
		m.Recall(new(Memory)) // and learns, where it does
		m.Think(1)
		sane(t, m.Advice())
	})
}
