package config

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// published reads testdata/crops.csv, whose sources stand in its header: a row of
// figures by column; none is infinite, ? is left out.
func published(t *testing.T) map[CropKind]map[string]float64 {
	t.Helper()
	file, err := os.Open("testdata/crops.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	rows := make(map[CropKind]map[string]float64)
	for _, line := range all[1:] {
		row := make(map[string]float64)
		for i, text := range line[1:] {
			switch text {
			case "?":
			case "none":
				row[all[0][i+1]] = math.Inf(1)
			default:
				row[all[0][i+1]], err = strconv.ParseFloat(text, 64)
				require.NoError(t, err)
			}
		}
		rows[CropKind(line[0])] = row
	}
	return rows
}

func TestCropsAgreeWithWhatIsPublished(t *testing.T) {
	t.Parallel()
	rows := published(t)
	require.Len(t, rows, 9)
	for kind, row := range rows {
		s, known := Standing(kind)
		require.True(t, known, kind)
		if most, ok := row["germination_max_f"]; ok {
			assert.LessOrEqual(t, float64(s.Maximum.At), (most-32)/1.8, kind)
		}
		if from, ok := row["damage_from_c"]; ok {
			assert.GreaterOrEqual(t, float64(s.Harm.At), from, "%s: nothing that is damaged counts as harmless", kind)
		}
		at := func(c float64) (float64, bool) {
			days, ok := row["days_"+strconv.Itoa(int(c))]
			return days, ok
		}
		comfort := float64(s.Comfort.At)
		colder, ok1 := at(comfort - 5)
		here, ok2 := at(comfort)
		warmer, ok3 := at(comfort + 5)
		require.True(t, ok2 && ok3, kind)
		if ok1 {
			assert.Greater(t, colder-here, here-warmer, "%s: the 5 K up to comfort save more days than 5 K beyond", kind)
		}
	}
}

// Greenhouse Product News (Runkle): cold-tolerant crops at 2 to 4 °C, basil not below
// 13 °C; FAO, Frost Protection 1, ch. 4: chilling below some 12.5 °C.
func TestCropsAreHeldWhereGrowersHoldThem(t *testing.T) {
	t.Parallel()
	for _, s := range hardyCrops() {
		assert.InDelta(t, 3, float64(s.Minimum.At), 1, s.Kind)
	}
	for _, kind := range []CropKind{"pepper", "cucumber", "basil"} {
		s, _ := Standing(kind)
		assert.GreaterOrEqual(t, float64(s.Minimum.At), 12.5, kind)
		assert.InDelta(t, 10, float64(s.Harm.At), 1e-9, "nearly all crops stand an average of 10 °C")
	}
	basil, _ := Standing("basil")
	assert.InDelta(t, 13, float64(basil.Minimum.At), 1e-9)
}

// cropFile is the example with its crop's lines replaced.
func cropFile(t *testing.T, lines ...string) (*File, error) {
	t.Helper()
	own := "kind = \"lettuce\"\n"
	text := Example()
	require.Contains(t, text, own)
	for _, line := range []string{`minimum = "43 °F"`, `comfortable = "48 °F"`, `maximum = "86 °F"`} {
		require.Contains(t, text, "\n"+line+"\n")
		text = strings.Replace(text, "\n"+line+"\n", "\n", 1)
	}
	return Parse([]byte(strings.Replace(text, own, strings.Join(lines, "\n")+"\n", 1)))
}

func TestEveryCropMakesASoundFile(t *testing.T) {
	t.Parallel()
	for _, s := range crops() {
		f, err := cropFile(t, `kind = "`+string(s.Kind)+`"`)
		require.NoError(t, err, s.Kind)
		assert.Equal(t, Crop{Kind: s.Kind, Minimum: s.Minimum.At, Comfort: s.Comfort.At, Maximum: s.Maximum.At, Harm: s.Harm.At}, f.Loop().Crop)
		settings, err := f.Settings()
		require.NoError(t, err)
		assert.Equal(t, s.Harm.At, settings.Crop.Harm, s.Kind)
		for _, b := range []Bound{s.Minimum, s.Comfort, s.Maximum, s.Harm} {
			assert.NotEmpty(t, b.Source, s.Kind)
		}
		assert.Contains(t, Example(), string(s.Kind), "the example lists it")
	}
}

func TestGrowersOwnFiguresWin(t *testing.T) {
	t.Parallel()
	rows := []struct {
		name    string
		lines   []string
		want    Crop
		problem string
	}{
		{"no kind", nil, Crop{"", 5, 12, 30, harmless}, ""},
		{"before the kind", []string{`minimum = "4 °C"`, `kind = "lettuce"`}, Crop{"lettuce", 4, 10, 29, 0}, ""},
		{"after the kind", []string{`kind = "tomato"`, `maximum = "28 °C"`, `harm = "6 °C"`}, Crop{"tomato", 8, 15, 28, 6}, ""},
		{"a minimum below the kind's harm", []string{`kind = "tomato"`, `minimum = "3 °C"`}, Crop{"tomato", 3, 15, 35, 3}, ""},
		{"harm above the minimum", []string{`harm = "6 °C"`}, Crop{}, "above the minimum of"},
		{"an unknown crop", []string{`kind = "triffid"`}, Crop{}, "no crop is known here"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			f, err := cropFile(t, row.lines...)
			if row.problem != "" {
				require.ErrorContains(t, err, row.problem)
				return
			}
			require.NoError(t, err)
			assert.Equal(t, row.want, f.Loop().Crop)
		})
	}
}

func TestHarmMayBeChangedWhileRunning(t *testing.T) {
	t.Parallel()
	next, _, err := Demo().With(map[string]string{"crop.harm": "1 °C"})
	require.NoError(t, err)
	assert.InDelta(t, 1, float64(next.Loop().Crop.Harm), 1e-9)
	_, _, err = Demo().With(map[string]string{"crop.minimum": "28 °F"})
	require.ErrorContains(t, err, `crop.harm = 32 °F: above the minimum of 28 °F; it comes from crop.kind = "lettuce", not from you: change crop.minimum and crop.harm together`)
	both, _, err := Demo().With(map[string]string{"crop.minimum": "28 °F", "crop.harm": "28 °F"})
	require.NoError(t, err)
	assert.InDelta(t, -2.2, float64(both.Loop().Crop.Harm), 0.1)
	_, _, err = both.With(map[string]string{"crop.minimum": "26 °F"})
	require.ErrorContains(t, err, "above the minimum of 26 °F")
	assert.NotContains(t, err.Error(), "it comes from", "that harm is the grower's")
	_, _, err = Demo().With(map[string]string{"crop.harm": "10 °C"})
	require.ErrorContains(t, err, "above the minimum of 43 °F")
	_, _, err = Demo().With(map[string]string{"crop.kind": "basil"})
	require.ErrorContains(t, err, "in the greenhouse file only")
	assert.Equal(t, quantity.Celsius(0), Demo().Loop().Crop.Harm, "lettuce's")
}
