package metrics

import (
	"errors"
	"io"
	"strings"
	"testing"

	"github.com/prometheus/prometheus/model/labels"
	"github.com/prometheus/prometheus/model/textparse"
	"github.com/stretchr/testify/require"
)

// parsed reads an exposition with Prometheus' own OpenMetrics parser, and holds it
// against what that parser lets pass: each sample stands below its own TYPE and HELP,
// a counter ends in _total, no series comes twice. It returns values by series.
func parsed(t *testing.T, text string) map[string]float64 {
	t.Helper()
	require.True(t, strings.HasSuffix(text, "\n# EOF\n") || text == "# EOF\n")
	p := textparse.NewOpenMetricsParser([]byte(text), labels.NewSymbolTable())
	values, families := make(map[string]float64), make(map[string]bool)
	var name, kind, unit string
	helped := false
	for {
		entry, err := p.Next()
		if errors.Is(err, io.EOF) {
			return values
		}
		require.NoError(t, err, text)
		switch entry {
		case textparse.EntryType:
			n, k := p.Type()
			name, kind, unit, helped = string(n), string(k), "", false
			require.False(t, families[name], "%s stands in one place", name)
			families[name] = true
		case textparse.EntryUnit:
			n, u := p.Unit()
			require.Equal(t, name, string(n))
			unit = string(u)
		case textparse.EntryHelp:
			n, text := p.Help()
			require.Equal(t, name, string(n))
			helped = len(text) > 0
		case textparse.EntrySeries:
			var l labels.Labels
			series := p.Metric(&l)
			_, at, v := p.Series()
			require.Nil(t, at, "no time of its own")
			require.True(t, helped, series)
			require.Equal(t, name+map[string]string{"counter": "_total", "info": "_info"}[kind], l.Get("__name__"))
			require.Equal(t, unitOf(name, kind), unit, name)
			if kind == "stateset" {
				require.NotEmpty(t, l.Get(name), "a state set's label has its name")
			}
			require.NotContains(t, values, series)
			values[series] = v
		}
	}
}

// unitOf is the unit that a name ends in (OpenMetrics 1.0.0, "Units and Base Units").
func unitOf(name, kind string) string {
	for _, u := range []string{"celsius", "volts", "amperes", "watts", "ratio", "seconds"} {
		if strings.HasSuffix(name, "_"+u) && kind == "gauge" {
			return u
		}
	}
	return ""
}
