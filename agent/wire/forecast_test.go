package wire

import (
	"errors"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestForecasts(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, text, problem string }{
		{"air", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1.5,-2]}`, ""},
		{"another zone", `{"from":"2026-01-15T13:00:00-05:00","step_s":10800,"air_c":[1.5]}`, ""},
		{"air and sun", `{"from":"2026-01-15T18:00:00Z","step_s":600,"air_c":[1,2],"sun_w_m2":[0,430.5]}`, ""},
		{"null in place of sun", `{"from":"2026-01-15T18:00:00Z","step_s":600,"air_c":[1,2],"sun_w_m2":null}`, ""},
		{"no time", `{"step_s":3600,"air_c":[1]}`, "no time"},
		{"another time", `{"from":"tomorrow","step_s":3600,"air_c":[1]}`, "not the JSON"},
		{"no step", `{"from":"2026-01-15T18:00:00Z","air_c":[1]}`, "step_s is 600 to 21600, not 0"},
		{"step of a day", `{"from":"2026-01-15T18:00:00Z","step_s":86400,"air_c":[1]}`, "not 86400"},
		{"no air", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[]}`, "0 values of air_c"},
		{"too much", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[` + strings.Repeat("1,", 1440) + `1]}`, "1441 values"},
		{"kelvins", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1,274]}`, "value 2 of air_c is 274"},
		{"dark", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1],"sun_w_m2":[-3]}`, "value 1 of sun_w_m2 is -3"},
		{"sun of another length", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1],"sun_w_m2":[3,4]}`, "2 values of sun_w_m2 beside 1"},
		{"words for numbers", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":["1"]}`, "not the JSON"},
		{"twice", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1],"air_c":[2]}`, "stands twice"},
		{"unknown", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1],"wind":[2]}`, "unknown field"},
		{"beyond numbers", `{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1e999]}`, "1e999"},
		{"nothing", ``, "not JSON"},
		{"oversized", `{"from":"` + strings.Repeat("8", 20000) + `"}`, "longer than 16384"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			f, err := ParseForecast([]byte(row.text))
			if row.problem == "" {
				require.NoError(t, err)
				assert.NotEmpty(t, f.AirC)
				return
			}
			require.ErrorIs(t, err, ErrForecast)
			assert.ErrorContains(t, err, row.problem)
		})
	}
}

func FuzzParseForecast(f *testing.F) {
	f.Add([]byte(`{"from":"2026-01-15T18:00:00Z","step_s":3600,"air_c":[1.5,-2],"sun_w_m2":[0,3]}`))
	f.Add([]byte(`{"from":"2026-01-15T13:00:00-05:00","step_s":10800,"air_c":[1.5]}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		x, err := ParseForecast(data)
		if err != nil {
			if !errors.Is(err, ErrForecast) {
				t.Fatalf("refusal without its sentinel: %v", err)
			}
			return
		}
		for _, c := range append(x.AirC, x.SunW...) {
			if math.IsNaN(c) || c < -90 || c > 1600 {
				t.Fatalf("accepted %v", c)
			}
		}
		if d := time.Duration(x.StepS) * time.Second * time.Duration(len(x.AirC)); d <= 0 {
			t.Fatalf("accepted a stretch of %v", d)
		}
	})
}
