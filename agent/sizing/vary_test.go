package sizing_test

import (
	"bytes"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/sizing"
	"duskloop/sensors/quantity"
	"duskloop/sim/season"
)

// A question names a key of the file and two values of it, in one unit.
func TestQuestions(t *testing.T) {
	t.Parallel()
	s := invented(t, "plant-large.toml", 2)
	for _, row := range []struct {
		text   string
		steps  int
		values []string // nil: refused
	}{
		{"tank.volume=10L..80L", 8, []string{"10 L", "20 L", "30 L", "40 L", "50 L", "60 L", "70 L", "80 L"}},
		{"tank.volume = 5 gal .. 15", 3, []string{"5 gal", "10 gal", "15 gal"}},
		{"tunnel.layers=1..2", 2, []string{"1", "2"}},
		{"element.tilt=30deg..90deg", 3, []string{"30 deg", "60 deg", "90 deg"}},
		{"tank.glycerin=20%..40%", 2, []string{"20 %", "40 %"}},
		{"tank.volume", 8, nil}, {"tank.volume=10L", 8, nil}, {"=1..2", 8, nil}, {"tank.volume=10L..80gal", 8, nil},
		{"tank.volume=..", 8, nil}, {"tank.volume=10L..80L", 1, nil}, {"tank.volume=10L..80L", 500, nil},
		{"tank.colour=1..2", 8, nil}, {"tank.volume=10 kg..20 kg", 8, nil}, {"tank.volume=NaN..2", 4, nil},
		{"site.latitude=10..20", 3, nil},
	} {
		v, err := s.Question(row.text, row.steps)
		if row.values == nil {
			assert.Error(t, err, row.text)
			continue
		}
		require.NoError(t, err, row.text)
		var got []string
		for _, x := range v.Rows {
			got = append(got, x.Text)
		}
		assert.Equal(t, row.values, got)
	}
}

// More insulation leaves less cold, row by row; the words, the picture and the mark of
// what is now say so.
func TestAnswers(t *testing.T) {
	t.Parallel()
	s := invented(t, "plant-large.toml", 12)
	v, err := s.Question("tank.loss=0.5W/K..4.5W/K", 3)
	require.NoError(t, err)
	for i := range v.Rows {
		require.NoError(t, s.Answer(&v, i))
	}
	assert.Less(t, v.Rows[0].Squared, v.Rows[1].Squared)
	assert.Less(t, v.Rows[1].Squared, v.Rows[2].Squared)
	require.NotNil(t, v.NowAt)
	assert.InDelta(t, 1.5, *v.NowAt, 1e-9)
	x := v.Section(quantity.US)
	assert.Len(t, x.Rows, 3)
	assert.Equal(t, "0.5 W/K", x.Rows[0][0])
	assert.Contains(t, x.Rows[0][2], "°F")
	var b bytes.Buffer
	require.NoError(t, v.Draw(quantity.SI).Write(&b))
	assert.Contains(t, b.String(), "tank.loss")
	assert.Contains(t, b.String(), "as it is")

	bad, err := s.Question("tank.volume=1L..3000L", 2)
	require.NoError(t, err)
	assert.ErrorContains(t, s.Answer(&bad, 1), "tank.volume = 3000 L")
}

// Ranked, the best first; what hardly helps is not tried together, nor two of one topic.
func TestRankAndTogether(t *testing.T) {
	t.Parallel()
	s := invented(t, "plant-large.toml", 12)
	lit, err := s.Lit()
	require.NoError(t, err)
	warm, err := s.Fly(season.PolicyFloor)
	require.NoError(t, err)
	now := warm.Outcome(s.Over, 5, 92)
	var levers []sizing.Lever
	for _, c := range s.Changes(lit) {
		x, err := s.Try(c)
		require.NoError(t, err, c.Name)
		assert.NotEmpty(t, x.Keys, c.Name)
		levers = append(levers, x)
	}
	assert.GreaterOrEqual(t, len(levers), 12)
	sizing.Rank(levers, now)
	for i := range levers {
		require.NotNil(t, levers[i].Gain)
		assert.InDelta(t, 1-levers[i].Squared/now.Squared, *levers[i].Gain, 1e-12)
		if i > 0 {
			assert.LessOrEqual(t, levers[i-1].Squared, levers[i].Squared)
		}
	}
	sets := sizing.Together(levers)
	require.Len(t, sets, 4)
	require.Len(t, sets[3], 3)
	all, err := s.Try(sets[3]...)
	require.NoError(t, err)
	for _, c := range sets[3] {
		assert.Contains(t, all.Name, c.Name)
	}
	assert.Less(t, all.Squared, levers[0].Squared, "three at once do more than the best alone")
	pair, err := s.Try(sizing.Set(map[string]string{"tank.loss": "0.5 W/K"}), sizing.Set(map[string]string{"tunnel.cover_loss": "15 W/K"}))
	require.NoError(t, err)
	assert.Equal(t, map[string]string{"tank.loss": "0.5 W/K", "tunnel.cover_loss": "15 W/K"}, pair.Keys)
	_, err = s.Try(sizing.Set(map[string]string{"tank.loss": "none"}))
	assert.Error(t, err)
	sizing.Rank(levers, season.Outcome{Squared: 1})
	assert.Nil(t, levers[0].Gain, "of next to no cold no share is told")
	assert.Empty(t, sizing.Together(levers))
}
