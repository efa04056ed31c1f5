package main

import (
	"fmt"
	"math"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// climate is that of the monthly minima given, or the demonstration's; and what it is in
// words. Skies are the demonstration's: a latitude and minima do not tell them.
func (c *sizeCommand) climate(f *config.File, u quantity.Units) (weather.Climate, string, error) {
	x := weather.AlderHollow()
	x.Longitude = f.Site.Longitude
	at := fmt.Sprintf("days invented at %.1f° of latitude", float64(f.Site.Latitude))
	if len(c.Lows) == 0 {
		if len(c.Highs) > 0 {
			return x, "", misuse("--highs goes with --lows")
		}
		return x, at + ", of the demonstration's climate, which is nobody's", nil
	}
	span := x
	if err := months12("--lows", c.Lows, &x.Low); err != nil {
		return x, "", err
	}
	for i := range x.Low {
		x.High[i] = x.Low[i] + span.High[i] - span.Low[i]
	}
	told := "the minima given, maxima as far above them as the demonstration's, and its skies"
	if len(c.Highs) > 0 {
		if err := months12("--highs", c.Highs, &x.High); err != nil {
			return x, "", err
		}
		told = "the minima and maxima given, and the demonstration's skies"
	}
	coldest := quantity.Celsius(math.Inf(1))
	for _, low := range x.Low {
		coldest = min(coldest, low)
	}
	return x, fmt.Sprintf("%s from %s (coldest month's mean minimum %s)", at, told, coldest.In(u)), misused(x.Validate())
}

// months12 reads one temperature for each month.
func months12(flag string, texts []string, into *[12]quantity.Celsius) error {
	if len(texts) != len(into) {
		return misuse("%s: twelve temperatures, January first, not %d", flag, len(texts))
	}
	for i, text := range texts {
		if err := into[i].Set(text); err != nil {
			return named(flag, err)
		}
	}
	return nil
}
