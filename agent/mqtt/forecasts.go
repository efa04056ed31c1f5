package mqtt

import "context"

// longestForecast is one byte more than a forecast may have, so that its length is still
// refused.
const longestForecast = 16385

// hear puts a forecast in its queue. One that waits is replaced by a newer one: the
// newest counts. A retained one is as good as any.
func (in *intake) hear(line Line, payload []byte) {
	c := command{line: line, data: append([]byte(nil), payload[:min(len(payload), longestForecast)]...)}
	for {
		select {
		case in.heard <- c:
			return
		default:
		}
		select {
		case <-in.heard:
		default:
		}
	}
}

// foretell hands one forecast to its loop. Whoever sends a bad one may do so every hour
// for a winter: only the first is logged, until one is taken again.
func (in *intake) foretell(c command) {
	ctx, cancel := context.WithTimeout(in.ctx, answerIn)
	defer cancel()
	err, loop, log := c.line.Foretell(ctx, c.data), c.line.Name, in.feed.opts.Log
	switch {
	case err == nil && in.doubted[loop]:
		log.Info("forecasts are taken again", "loop", loop)
	case err != nil && !in.doubted[loop]:
		log.Warn("forecast not taken; the like is not said again until one is", "loop", loop, "error", err)
	}
	in.doubted[loop] = err != nil
}
