package agent

import (
	"bytes"
	"encoding/csv"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/internal/svgtest"
	"duskloop/agent/record"
	"duskloop/agent/wire"
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// update rewrites the pictures in testdata/pictures; look at them then.
var update = flag.Bool("update", false, "rewrite testdata/pictures")

// tolerance is how far a coordinate may be from the golden picture's, in units: what
// another guess of the letters' widths moves, and less than an eye sees.
const tolerance = 0.3

// likeGolden compares a picture with the one that was looked at.
func likeGolden(t *testing.T, name string, p *Pictured) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, p.Write(&b))
	assert.Less(t, b.Len(), 300_000)
	path := filepath.Join("..", "testdata", "pictures", name)
	if *update {
		require.NoError(t, os.WriteFile(path, b.Bytes(), 0o644))
	}
	got, err := svgtest.Parse(&b)
	require.NoError(t, err)
	differences := svgtest.Differences(got, golden(t, name), tolerance)
	assert.Empty(t, differences[:min(len(differences), 10)], "%d differences; see -update", len(differences))
}

func golden(t *testing.T, name string) *svgtest.Element {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "testdata", "pictures", name))
	require.NoError(t, err)
	defer f.Close()
	e, err := svgtest.Parse(f)
	require.NoError(t, err)
	return e
}

// lived is a picture of a simulated stretch.
func lived(t *testing.T, tr Trial) *Pictured {
	t.Helper()
	from := tr.Start.In(SunZone(tr.File))
	p, err := NewPictured(tr.File, from, from.Add(time.Duration(tr.Days*24*float64(time.Hour))), tr.File.Daemon.Period.Duration())
	require.NoError(t, err)
	tr.Seen = p.Add
	simulated(t, tr)
	return p
}

// A clear day and its night.
func TestPictureOfADay(t *testing.T) {
	t.Parallel()
	likeGolden(t, "day-simulated.svg", lived(t, trial(1, ByRules)))
}

// A season, read once a minute.
func TestPictureOfASeason(t *testing.T) {
	if testing.Short() {
		t.Skip("a season takes some seconds")
	}
	t.Parallel()
	tr := trial(212, ByRules)
	tr.File.Daemon.Period = quantity.Span(time.Minute)
	tr.Start = Dusk(tr.File, time.Date(2025, 10, 15, 0, 0, 0, 0, time.UTC))
	likeGolden(t, "season-simulated.svg", lived(t, tr))
}

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
	r.Append(nil, s.event(recordStart.Add(9*time.Hour), record.KindSetting, "loop.bench.crop.minimum", settingChange("43 °F", "41 °F")))
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
	any, never := time.Unix(0, 0), time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
	e, some, err := r.Extent(t.Context(), any, never)
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
	require.NoError(t, r.Each(t.Context(), any, never, func(x record.Reading) error {
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
			"tank": {{20, 23}}, "tunnel": {{10, 10.5}, {20, 23}}, "greenhouse": {{6, 8}, {20, 23}}, "battery": {{12, 14}, {20, 23}},
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

// A moved line, a lost label and a changed word are seen.
func TestGoldenComparisonCanFail(t *testing.T) {
	t.Parallel()
	const name = "day-simulated.svg"
	require.Empty(t, svgtest.Differences(golden(t, name), golden(t, name), tolerance))
	for what, change := range map[string]func(*svgtest.Element){
		"moved line": func(e *svgtest.Element) {
			e = e.Class("tunnel")
			points := bytes.Fields([]byte(e.Attr["d"]))
			y, err := strconv.ParseFloat(string(points[10]), 64)
			require.NoError(t, err)
			points[10] = strconv.AppendFloat(nil, y+1, 'f', 2, 64)
			e.Attr["d"] = string(bytes.Join(points, []byte(" ")))
		},
		"lost label":   func(e *svgtest.Element) { s := e.Class("scale"); s.Kids = s.Kids[1:] },
		"changed word": func(e *svgtest.Element) { e.Class("scale").Kids[0].Text = "5" },
		"other dashes": func(e *svgtest.Element) { e.Class("bed").Attr["stroke-dasharray"] = "3" },
	} {
		e := golden(t, name)
		change(e)
		assert.Len(t, svgtest.Differences(e, golden(t, name), tolerance), 1, what)
	}
}

// Shading begins at sunset and ends at sunrise: those of the Solar Position
// Algorithm (sim/sun/testdata/sun_position.csv names source and method), read back
// off the picture.
func TestNightsAgainstSPA(t *testing.T) {
	t.Parallel()
	text, err := os.Open(filepath.Join("..", "sim", "sun", "testdata", "sun_position.csv"))
	require.NoError(t, err)
	defer text.Close()
	r := csv.NewReader(text)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	checked := 0
	for _, row := range rows[1:] {
		checked += nightLike(t, rows[0], row)
	}
	assert.Greater(t, checked, 20)
}

// nightLike draws the day of a row from midnight to midnight; the night it has twice
// is cut off at both ends.
func nightLike(t *testing.T, names, row []string) int {
	t.Helper()
	of := make(map[string]string)
	for i, n := range names {
		of[n] = row[i]
	}
	f := config.Demo()
	f.Site.Latitude, f.Site.Longitude = quantity.Angle(parsedNumber(t, of["lat_deg"])), quantity.Angle(parsedNumber(t, of["lon_deg"]))
	zone := SunZone(f)
	from, err := time.ParseInLocation(time.DateOnly, of["local_date"], zone)
	require.NoError(t, err)
	p, err := NewPictured(f, from.Add(-2*time.Hour), from.Add(26*time.Hour), time.Minute)
	require.NoError(t, err)
	p.Add(&record.Reading{At: from.Add(time.Hour), Loop: "bench", Charge: record.Known(0.5, 0)})
	e := parsed(t, p)
	var edges []time.Time
	if n := e.Class("night"); n != nil {
		boxes, err := svgtest.Path(n.Attr["d"])
		require.NoError(t, err)
		for _, b := range boxes {
			for _, x := range []float64{b[0].X, b[1].X} {
				edges = append(edges, from.Add(time.Duration(((x-34)/(322-34)*28-2)*float64(time.Hour))))
			}
		}
	}
	n := 0
	for _, column := range []string{"sunrise_utc", "sunset_utc"} {
		if of[column] == "" {
			continue
		}
		want, err := time.Parse(time.RFC3339, of[column])
		require.NoError(t, err)
		near := time.Duration(math.MaxInt64)
		for _, at := range edges {
			near = min(near, at.Sub(want).Abs())
		}
		assert.Less(t, near, time.Minute, "%s of %s at %s", column, of["local_date"], of["lat_deg"])
		n++
	}
	return n
}

func parsedNumber(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// Where the sun does not set there is no night, and where it does not rise there is
// nothing else.
func TestNightsNearThePole(t *testing.T) {
	t.Parallel()
	f := config.Demo()
	f.Site.Latitude, f.Site.Longitude = 75, 20
	june := time.Date(2026, 6, 20, 0, 0, 0, 0, time.UTC)
	assert.Empty(t, nights(f, june, june.Add(72*time.Hour)))
	december := time.Date(2026, 12, 20, 0, 0, 0, 0, time.UTC)
	all := nights(f, december, december.Add(72*time.Hour))
	require.Len(t, all, 1)
	assert.True(t, all[0].Set.Before(december) && all[0].Rise.After(december.Add(72*time.Hour)))
}

func settingChange(from, to string) wire.Change {
	return wire.Change{Setting: &wire.SettingChange{Key: "loop.bench.crop.minimum", From: from, To: to}}
}
