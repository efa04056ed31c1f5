package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
)

// What an order does to safety is read before it is given: even where nobody takes it.
func TestCautionsComeFirst(t *testing.T) {
	t.Parallel()
	for says, args := range map[string][]string{
		"hard frost":                  {"fit", "--experiment"},
		"Never leave a hot tank held": {"hand", "hold", "--for", "1 h"},
		"hands, hair and cloth":       {"hand", "end"},
	} {
		_, out, err := run(t, append([]string{"--state", t.TempDir()}, args...)...)
		require.ErrorIs(t, err, agent.ErrNoDaemon)
		assert.Contains(t, out, says)
		assert.NotContains(t, out, " K ", "the grower's units are the daemon's to know")
	}
}
