package agent

import (
	"bytes"
	"flag"
	"io"
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
	"duskloop/control"
	"duskloop/sensors/quantity"
)

// update rewrites the pictures in testdata/pictures; look at them then.
var update = flag.Bool("update", false, "rewrite testdata/pictures")

// tolerance is how far a coordinate may be from the golden picture's, in units: what
// another guess of the letters' widths moves, and less than an eye sees.
const tolerance = 0.3

// likeGolden compares a picture with the one that was looked at.
func likeGolden(t *testing.T, name string, p interface{ Write(io.Writer) error }) {
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
	t.Parallel()
	tr := trial(212, ByRules)
	tr.File.Daemon.Period = quantity.Span(time.Minute)
	tr.File.Loop().Carry.Spend = config.ByDifference // five thousand plans would take minutes, raced
	tr.Start = Dusk(tr.File, time.Date(2025, 10, 15, 0, 0, 0, 0, time.UTC))
	likeGolden(t, "season-simulated.svg", lived(t, tr))
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

// The reserve that is drawn is the one that was decided by: sparing begins where the
// charge falls below it, and comfort is not begun there.
func TestReserveDrawnIsTheOneDecidedBy(t *testing.T) {
	t.Parallel()
	tr := trial(3, ByRules)
	tr.File.Loop().Carry.Spend = config.ByDifference // a plan spares the battery before it must
	from := tr.Start.In(SunZone(tr.File))
	p, err := NewPictured(tr.File, from, from.Add(72*time.Hour), 10*time.Second)
	require.NoError(t, err)
	held, risen := 0, false
	spares := false // below the reserve, and on until the charge is above by what recovery asks
	recovery := float64(tr.File.Loop().Battery.Recovery)
	tr.Seen = func(x *record.Reading) {
		r := p.reserveOf(x)
		risen = risen || r > float64(tr.File.Loop().Battery.Reserve)+0.1
		switch {
		case x.Charge.V < r:
			spares = true
		case x.Charge.V >= r+recovery:
			spares = false
		}
		if x.Reason == control.BatteryReserve {
			held++
			assert.True(t, spares)
		}
		if x.Reason == control.CropCold {
			assert.GreaterOrEqual(t, x.Charge.V, r)
		}
	}
	simulated(t, tr)
	assert.Positive(t, held)
	assert.True(t, risen, "the nights were cold")
}
