package agent

import (
	"bytes"
	"math"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/internal/svgtest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
)

// recordStart is when the invented record begins.
var recordStart = time.Date(2026, 2, 3, 15, 0, 0, 0, time.FixedZone("EST", -5*3600))

// invented is a reading of a record with everything that can go wrong: three hours
// without a daemon, a probe lost, one doubted whose old value stands in for it, one
// never there, and a meter that fails.
func invented(i int) (record.Reading, bool) {
	at := recordStart.Add(time.Duration(i) * 10 * time.Second)
	hour := at.Sub(recordStart).Hours()
	if hour > 20 && hour < 23 {
		return record.Reading{}, false
	}
	warm := math.Cos((hour + 1) / 24 * 2 * math.Pi)
	x := record.Reading{At: at, Loop: "bench", Mode: control.Resting, Reason: control.WarmEnough}
	x.Places[control.Tank] = record.Known(45+25*warm, 2*time.Second)
	x.Places[control.Tunnel] = record.Known(9+6*warm, 2*time.Second)
	x.Places[control.Greenhouse] = record.Known(4+10*warm, 2*time.Second)
	x.Places[control.Bed] = record.Known(11+3*warm, 2*time.Second)
	x.Charge, x.Band = record.Known(0.7+0.25*warm, 0), 0.06
	x.Volts = record.Known(12.6, time.Second)
	inventTrouble(&x, hour)
	if night := hour > 5 && hour < 16; night && i%90 < 30 {
		x.Mode, x.Reason, x.Outputs.Pump, x.Outputs.Fans = control.Carrying, control.CropCold, 1, 1
	} else if hour >= 16 && hour < 18 {
		x.Mode, x.Reason = control.Sparing, control.BatteryReserve
	}
	return x, true
}

func inventTrouble(x *record.Reading, hour float64) {
	x.Trouble = map[string]string{"outdoors": "nothing there"}
	if hour > 6 && hour < 8 {
		x.Trouble["greenhouse"] = "CRC wrong"
		x.Places[control.Greenhouse] = record.Known(4, time.Hour)
	}
	if hour > 10 && hour < 10.5 { // a wild value that nobody believed, and the old one with its age
		x.Trouble["tunnel"] = "changed too fast"
		x.Places[control.Tunnel] = record.Known(60, 30*time.Minute)
	}
	if hour > 24 && hour < 25 { // the old value stands in, and is not old yet
		x.Trouble["bed"] = "CRC wrong"
	}
	if hour > 12 && hour < 14 {
		x.Charge, x.Trouble["battery"] = record.Value{}, "nothing there"
	}
}

// inventedRecord writes and reads back the invented record.
func inventedRecord(t *testing.T, use func(*record.Reader)) {
	t.Helper()
	path := filepath.Join(t.TempDir(), RecordName)
	r, err := record.Open(path, record.DefaultOptions())
	require.NoError(t, err)
	for i := range 30 * 360 {
		if x, is := invented(i); is {
			r.Append(&x)
		}
	}
	s := scribe{loop: "bench"}
	r.Append(nil, s.event(recordStart.Add(9*time.Hour), record.KindSetting, "loop.bench.crop.minimum", settingChange("crop.minimum", "43 °F", "41 °F")))
	require.NoError(t, r.Close())
	reader, err := record.OpenReadOnly(path)
	require.NoError(t, err)
	defer reader.Close()
	use(reader)
}

// A record with gaps and faults, in °F.
func TestPictureOfARecord(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	inventedRecord(t, func(r *record.Reader) {
		p := fromRecord(t, r, f)
		likeGolden(t, "record-with-gaps.svg", p)
	})
}

func fromRecord(t *testing.T, r *record.Reader, f *config.File) *Pictured {
	t.Helper()
	first, never := time.Unix(0, 0), time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
	e, some, err := r.Extent(t.Context(), first, never)
	require.NoError(t, err)
	require.True(t, some)
	assert.Equal(t, record.Extent{
		First: recordStart.UTC(), Last: recordStart.Add(30*time.Hour - 10*time.Second).UTC(), Loop: "bench", Period: 10 * time.Second,
	}, e)
	p, err := NewPictured(f, e.First.In(recordStart.Location()), e.Last.Add(e.Period).In(recordStart.Location()), e.Period)
	require.NoError(t, err)
	events, err := r.Changes(t.Context())
	require.NoError(t, err)
	p.Changed(events, e.Loop)
	require.NoError(t, r.Each(t.Context(), first, never, func(x record.Reading) error {
		p.Add(&x)
		return nil
	}))
	return p
}

// What is not known is not drawn, and not claimed.
func TestPictureOfARecordKeepsItsGaps(t *testing.T) {
	t.Parallel()
	inventedRecord(t, func(r *record.Reader) {
		e := parsed(t, fromRecord(t, r, nil)) // without a greenhouse file
		assert.Nil(t, e.Class("night"), "no place, no night")
		assert.NotContains(t, e.Words(), "sunset")
		assert.NotContains(t, e.Words(), "simulated")
		assert.Contains(t, e.Words(), "Loop bench")
		assert.Contains(t, e.Words(), "crop minimum 6.1 °C, later 5 °C", "known from the change alone")
		assert.Contains(t, e.Words(), "no record, 3 h")
		assert.Contains(t, e.Words(), "Never known here: outdoors.")
		for class, gaps := range map[string][][2]float64{
			"tank": {{20, 23}}, "tunnel": {{10, 10.5}, {20, 23}}, "greenhouse": {{6, 8}, {20, 23}}, "battery": {{12, 14}, {20, 23}}, "bed": {{20, 23}, {24, 25}},
		} {
			runs, err := svgtest.Path(e.Class(class).Attr["d"])
			require.NoError(t, err)
			require.Len(t, runs, len(gaps)+1, class)
			for i, g := range gaps {
				assert.LessOrEqual(t, across(runs[i][len(runs[i])-1].X), g[0]+0.11, "%s stops", class)
				assert.GreaterOrEqual(t, across(runs[i+1][0].X), g[1]-0.01, "%s begins again", class)
			}
		}
	})
}

// across is how many hours into the invented record a place is: its 30 hours are
// drawn from 34 to 322.
func across(x float64) float64 { return (x - 34) / (322 - 34) * 30 }

func parsed(t *testing.T, p *Pictured) *svgtest.Element {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.Write(&b))
	e, err := svgtest.Parse(&b)
	require.NoError(t, err)
	return e
}

func settingChange(key, from, to string) wire.Change {
	return wire.Change{Setting: &wire.SettingChange{Key: "loop.bench." + key, From: from, To: to}}
}

// A reserve changed while running is drawn as it stood.
func TestReserveChangedWhileRunning(t *testing.T) {
	t.Parallel()
	p, err := NewPictured(config.Demo(), recordStart, recordStart.Add(24*time.Hour), 10*time.Second)
	require.NoError(t, err)
	s, change := scribe{loop: "bench"}, recordStart.Add(6*time.Hour)
	p.Changed([]record.Event{s.event(change, record.KindSetting, "", settingChange("battery.reserve", "50 %", "40 %"))}, "bench")
	at := func(h time.Duration, house record.Value) float64 {
		x := record.Reading{At: recordStart.Add(h * time.Hour)}
		x.Places[control.Greenhouse] = house
		return p.reserveOf(&x)
	}
	assert.InDelta(t, 0.5, at(1, record.Value{}), 1e-9, "not known: as warm")
	assert.InDelta(t, 0.5, at(5, record.Known(30, 0)), 1e-9)
	assert.InDelta(t, 0.4, at(6, record.Known(30, 0)), 1e-9)
	assert.InDelta(t, 0.4+0.175, at(7, record.Known(0, 0)), 1e-9, "at freezing 17.5 % are locked up (control/cold.go)")
	assert.InDelta(t, 0.4, at(7, record.Known(0, time.Hour)), 1e-9, "an old temperature is none")
}
