package sensors_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"duskloop/sensors"
)

// TestCausesHaveWordsOfTheirOwn: nothing two causes share could be told apart
// in a log or a message.
func TestCausesHaveWordsOfTheirOwn(t *testing.T) {
	t.Parallel()
	seen := map[string]sensors.Cause{}
	for c := sensors.NotYet; c <= sensors.Frozen; c++ {
		words := c.String()
		assert.NotEmpty(t, words, "cause %d", int(c))
		assert.NotContains(t, seen, words)
		seen[words] = c
	}
	assert.Equal(t, "cause 14", (sensors.Frozen + 1).String())
	assert.Equal(t, "cause -1", sensors.Cause(-1).String())
}

func TestOnlyGoodIsGood(t *testing.T) {
	t.Parallel()
	doubtful := []sensors.Cause{sensors.PowerOn, sensors.OutOfRange, sensors.Jump, sensors.Frozen}
	for c := sensors.Cause(-1); c <= sensors.Frozen+1; c++ {
		want := sensors.QualityBad
		for _, d := range doubtful {
			if c == d {
				want = sensors.QualityDoubtful
			}
		}
		if c == sensors.Good {
			want = sensors.QualityGood
		}
		assert.Equal(t, want, c.Quality(), "%v", c)
	}
}

func TestQualityWords(t *testing.T) {
	t.Parallel()
	assert.Equal(t, "good", sensors.QualityGood.String())
	assert.Equal(t, "doubtful", sensors.QualityDoubtful.String())
	assert.Equal(t, "bad", sensors.QualityBad.String())
}
