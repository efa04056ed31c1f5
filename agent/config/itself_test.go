package config

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What a plan's figures may be written as, and what comes back.
func TestByItself(t *testing.T) {
	t.Parallel()
	f := Demo()
	for text, want := range map[string]string{"by itself": "by itself", "0.25": "0.25", "1": "1"} {
		next, _, err := f.With(map[string]string{"plan.thrift": text})
		require.NoError(t, err, text)
		assert.Equal(t, want, next.Loop().Plan.Thrift.String())
	}
	for text, want := range map[string]string{"by itself": "by itself", "30 h": "30 h", "2 d": "2 d"} {
		next, _, err := f.With(map[string]string{"plan.ahead": text})
		require.NoError(t, err, text)
		assert.Equal(t, want, next.Loop().Plan.Ahead.String())
	}
	for key, texts := range map[string][]string{"plan.thrift": {"0", "2", "-1", "much", "NaN"}, "plan.ahead": {"0 s", "3 h", "3 d", "30"}} {
		for _, text := range texts {
			_, _, err := f.With(map[string]string{key: text})
			require.ErrorContains(t, err, key, text)
		}
	}
	assert.Equal(t, `thrift = "0.25"`, Assigned("plan.thrift", "0.25"))
	assert.Equal(t, `worthwhile = 5`, Assigned("carry.worthwhile", "5"))
	assert.Equal(t, `stop_difference = "5 °F"`, Assigned("carry.stop_difference", "5 °F"))
}
