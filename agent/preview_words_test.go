package agent

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/wire"
	"duskloop/sensors/quantity"
)

// two nights as they stand: 4 and 5 °C at the coldest, 0.2 K above what is recorded, 10 K²h and
// 100 Wh together; off 0.5 K over the whole night.
func two(then ...wire.PreviewNight) *wire.Preview {
	off := 0.5
	p := &wire.Preview{OffK: &off, Nights: then}
	for i := range p.Nights {
		n := &p.Nights[i]
		n.Night, n.AgainC, n.AgainK2h, n.AgainWh = []string{"2026-01-20", "2026-01-21"}[i], 4+float64(i), 5, 50
		n.RecordedC = n.AgainC - 0.2
	}
	return p
}

const (
	off02 = "The replay is off the record by 0.5 K over the whole night and by up to 0.2 K at its coldest; it errs alike with the change and without, so compare those two."
	onlyF = "The replay is off the record by 0.9 °F over the whole night and by up to 0.4 °F at its coldest; it errs alike with the change and without, so compare those two."
)

func TestPreviewSaysWhatTheChangeWouldHaveDone(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name string
		p    *wire.Preview
		u    quantity.Units
		want string
	}{
		{"warmer", two(wire.PreviewNight{ThenC: 5.5, ThenK2h: 1, ThenWh: 60}, wire.PreviewNight{ThenC: 6, ThenK2h: 1, ThenWh: 60}), quantity.SI,
			"In the last 2 nights this would have made the coldest tunnel air warmer in every night, by up to 1.5 K (the coldest of all 5.5 °C in place of 4 °C). Cold below the crop's minimum as it stands would have fallen by 80 %, to 2 K²h from 10. It would have taken 20 Wh more from the battery (120 in place of 100). " + off02},
		{"colder, in US units", two(wire.PreviewNight{ThenC: 3, ThenK2h: 10, ThenWh: 30}, wire.PreviewNight{ThenC: 5, ThenK2h: 10, ThenWh: 30}), quantity.US,
			"In the last 2 nights this would have made the coldest tunnel air colder in one night, by 1.8 °F (the coldest of all 37.4 °F in place of 39.2 °F). Cold below the crop's minimum as it stands would have grown by 103 %, to 65 °F²h from 32; most in the night of Tue 20 Jan, to 32 from 16. At that price it would have spared 40 Wh of the battery (60 in place of 100). " + onlyF},
		{"one night, less than the replay is off at its coldest", two(wire.PreviewNight{ThenC: 4.1, ThenK2h: 5, ThenWh: 50}), quantity.SI,
			"In the last whole night this would have made the coldest tunnel air warmer by 0.1 K (the coldest of all 4.1 °C in place of 4 °C). Cold below the crop's minimum as it stands would have been as much: 5 K²h. It would have taken as much from the battery (50 Wh). " + off02 + " No night's coldest changes by more than that: the direction is likely, the amount unsure."},
		{"now one way, now the other", two(wire.PreviewNight{ThenC: 4.1, ThenK2h: 5, ThenWh: 50}, wire.PreviewNight{ThenC: 4.9, ThenK2h: 5, ThenWh: 50}), quantity.SI,
			"In the last 2 nights this would have made the coldest tunnel air colder in one night, by 0.1 K, and warmer in one night, by 0.1 K (the coldest of all 4.1 °C in place of 4 °C). Cold below the crop's minimum as it stands would have been as much: 10 K²h. It would have taken as much from the battery (100 Wh). " + off02 + " No night's coldest changes by more than that, and they go both ways or few go any: of the coldest this tells little."},
		{"warmer in more nights, but colder where it counts", &wire.Preview{OffK: new(2.5), Nights: []wire.PreviewNight{
			{Night: "2026-01-20", RecordedC: 6, AgainC: 4, ThenC: 2.6, AgainK2h: 5, ThenK2h: 30}, {Night: "2026-01-21", RecordedC: 4, AgainC: 2, ThenC: 2.4, AgainK2h: 9, ThenK2h: 9}, {Night: "2026-01-22", RecordedC: 4, AgainC: 2, ThenC: 2.2, AgainK2h: 9, ThenK2h: 9},
		}}, quantity.SI,
			"In the last 3 nights this would have made the coldest tunnel air colder in one night, by 1.4 K, and warmer in 2 nights, by up to 0.4 K (the coldest of all 2.2 °C in place of 2 °C). Cold below the crop's minimum as it stands would have grown by 109 %, to 48 K²h from 23; most in the night of Tue 20 Jan, to 30 from 5. It would have taken as much from the battery (0 Wh). The replay is off the record by 2.5 K over the whole night and by up to 2 K at its coldest; it errs alike with the change and without, so compare those two. No night's coldest changes by more than that, and they go both ways or few go any: of the coldest this tells little."},
		{"as it was", two(wire.PreviewNight{ThenC: 4.02, ThenK2h: 5, ThenWh: 50}), quantity.SI,
			"In the last whole night this would have left the coldest tunnel air as it was, to a tenth of a degree. Cold below the crop's minimum as it stands would have been as much: 5 K²h. It would have taken as much from the battery (50 Wh). " + off02},
		{"none", two(), quantity.SI, "What this would have done is not known: no night could be lived again. That takes one from noon to noon of which enough is recorded."},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, row.want, previewWords(row.p, row.u))
		})
	}
}

// A minimum of 39 °F in place of 43 °F, as a grower saw it: no night's coldest changes by the
// 4.8 °F by which the replay is off over whole nights, nor by the 1.6 °F at the coldest, and yet
// seven nights went from 335 to 526 °F²h and two were spoiled. That is said before what it spares.
func TestPreviewNeverHidesThatTheColdGrew(t *testing.T) {
	t.Parallel()
	const perK2h = 1.8 * 1.8
	off := 4.8 / 1.8
	p := &wire.Preview{OffK: &off, Changes: []wire.SettingChange{{Key: "loop.bench.crop.minimum", From: "43 °F", To: "39 °F"}}}
	for i, x := range []struct{ again, then float64 }{{0, 59}, {8, 89}, {40, 52}, {90, 104}, {60, 70}, {77, 85}, {60, 67}} {
		again := 2 - 0.3*float64(i)
		p.Nights = append(p.Nights, wire.PreviewNight{
			Night:     []string{"2026-01-17", "2026-01-18", "2026-01-19", "2026-01-20", "2026-01-21", "2026-01-22", "2026-01-23"}[i],
			RecordedC: again + 1.6/1.8, AgainC: again, ThenC: again - 0.4, AgainK2h: x.again / perK2h, ThenK2h: x.then / perK2h, AgainWh: 30, ThenWh: 30 - 46.0/7,
		})
	}
	assert.Equal(t, "In the last 7 nights this would have made the coldest tunnel air colder in every night, by up to 0.7 °F (the coldest of all 31.6 °F in place of 32.4 °F). "+
		"Cold below the crop's minimum as it stands would have grown by 57 %, to 526 °F²h from 335; most in the night of Sun 18 Jan, to 89 from 8. "+
		"At that price it would have spared 46 Wh of the battery (164 in place of 210). "+
		"The replay is off the record by 4.8 °F over the whole night and by up to 1.6 °F at its coldest; it errs alike with the change and without, so compare those two. "+
		"No night's coldest changes by more than that: the direction is likely, the amount unsure.", previewWords(p, quantity.US))
}

// The cold of all nights may fall and one night be spoiled; none may have been before.
func TestPreviewSaysWhereTheColdGrew(t *testing.T) {
	t.Parallel()
	cold := func(one, other float64) string {
		p := two(wire.PreviewNight{ThenC: 4, ThenK2h: one, ThenWh: 40}, wire.PreviewNight{ThenC: 5, ThenK2h: other, ThenWh: 40})
		return previewWords(p, quantity.SI)
	}
	assert.Contains(t, cold(0, 8), "fallen by 20 %, to 8 K²h from 10; but grown in the night of Wed 21 Jan, to 8 from 5. It would have spared 20 Wh")
	assert.Contains(t, cold(2, 8), "been as much: 10 K²h; but grown in the night of Wed 21 Jan, to 8 from 5. It would have spared")
	assert.Contains(t, cold(2, 5), "fallen by 30 %, to 7 K²h from 10. It would have spared")
	assert.Contains(t, cold(8, 5), "grown by 30 %, to 13 K²h from 10; most in the night of Tue 20 Jan, to 8 from 5. At that price")
	p := two(wire.PreviewNight{ThenC: 4, ThenK2h: 7, ThenWh: 40})
	p.Nights[0].AgainK2h = 0
	assert.Contains(t, previewWords(p, quantity.SI), "come where none did: 7 K²h. At that price it would have spared 10 Wh")
	p.Nights[0].AgainK2h, p.Nights[0].ThenK2h = 2000, 2001
	assert.Contains(t, previewWords(p, quantity.SI), "grown by under 1 %, to 2001 K²h from 2000. At that price")
}

// left is a night that was left out.
func left(t *testing.T, day, why string) wire.LeftOut {
	t.Helper()
	noon, err := time.Parse(time.DateOnly, day)
	require.NoError(t, err)
	return wire.LeftOut{Night: day, Noon: noon.Add(17 * time.Hour), Why: why}
}

// Of how many nights it speaks, and which are left out: those before the record began are none of
// the last, and are told once.
func TestPreviewSaysOfWhichNightsItSpeaks(t *testing.T) {
	t.Parallel()
	p := two(wire.PreviewNight{ThenC: 4, ThenWh: 50}, wire.PreviewNight{ThenC: 5, ThenWh: 50})
	for i := range p.Nights {
		p.Nights[i].AgainK2h = 0
	}
	const later = unbegunRecord + ", on Sat 17 Jan at 14:05"
	for _, day := range []string{"2026-01-14", "2026-01-15", "2026-01-16", "2026-01-17"} {
		p.LeftOut = append(p.LeftOut, left(t, day, later))
	}
	assert.Contains(t, previewWords(p, quantity.SI), "In the last 2 nights this would have left")
	assert.Equal(t, []string{"Left out: Wed 14 Jan to Sat 17 Jan: the record begins later, on Sat 17 Jan at 14:05."}, LeftOutWords(p))
	p.LeftOut = append(p.LeftOut[2:], left(t, "2026-01-18", halfSeen), left(t, "2026-01-19", unbegun))
	assert.Contains(t, previewWords(p, quantity.SI), "In the 2 nights of the last 4 that could be lived again, this would have left")
	assert.Equal(t, []string{
		"Left out: Fri 16 Jan, Sat 17 Jan: the record begins later, on Sat 17 Jan at 14:05.", "Left out: Sun 18 Jan: " + halfSeen + ".", "Left out: Mon 19 Jan: " + unbegun + ".",
	}, LeftOutWords(p))
	gaps := &wire.Preview{LeftOut: []wire.LeftOut{left(t, "2026-01-18", halfSeen), left(t, "2026-01-19", halfSeen), left(t, "2026-01-21", halfSeen)}}
	assert.Equal(t, []string{"Left out: Sun 18 Jan, Mon 19 Jan, Wed 21 Jan: " + halfSeen + "."}, LeftOutWords(gaps), "the 20th is not left out")
	p.Nights = p.Nights[:1]
	assert.Contains(t, previewWords(p, quantity.SI), "In the one night of the last 3 that could be lived again, this would have left")
	assert.Contains(t, previewWords(p, quantity.SI), "The crop's minimum as it stands would have been kept either way")
}

// A change that is none is called that, whatever nights there are.
func TestPreviewOfNoChange(t *testing.T) {
	t.Parallel()
	p := two(wire.PreviewNight{ThenC: 4, ThenK2h: 5, ThenWh: 50})
	p.Changes = []wire.SettingChange{{Key: "loop.bench.crop.minimum", From: "34 °F", To: "34 °F"}}
	assert.Equal(t, "This changes nothing: that is how it is set already.", previewWords(p, quantity.US))
	p.Changes = append(p.Changes, wire.SettingChange{Key: "loop.bench.crop.comfortable", From: "50 °F", To: "51 °F"})
	assert.Contains(t, previewWords(p, quantity.US), "In the last whole night this would have")
}
