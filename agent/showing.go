package agent

import (
	"context"
	"fmt"
	"runtime/debug"

	"duskloop/agent/metrics"
	"duskloop/control"
)

// openMetrics takes the port that the file names; nil where it names none.
func openMetrics(d *parts) (*metrics.Server, error) {
	if d.File.Metrics.Listen == "none" {
		return nil, nil
	}
	from := metrics.Source{Now: d.now, Version: Version()}
	if d.wire.feed != nil {
		from.Wire = d.wire.feed
	}
	return metrics.Listen(string(d.File.Metrics.Listen), from)
}

// Version is the program's own, as the toolchain noted it.
func Version() string {
	if b, ok := debug.ReadBuildInfo(); ok && b.Main.Version != "" {
		return b.Main.Version
	}
	return "unknown"
}

// showMetrics serves until ctx ends.
func (d *parts) showMetrics(ctx context.Context) {
	if err := d.metrics.Serve(ctx); err != nil {
		d.Log.Error("metrics ended", "error", err)
	}
}

// showing hands each cycle to whoever reads metrics. It runs on the loop's goroutine
// and keeps the sums.
func (d *parts) showing() func(Cycle) {
	if d.metrics == nil {
		return func(Cycle) {}
	}
	l := d.File.Loop()
	st := metrics.Status{Loop: l.Name, Simulated: d.Simulated, Contactor: l.Contactor.Fitted()}
	for p := range control.Places {
		st.Fitted[p] = l.Probes[p].ID != ""
	}
	return func(c Cycle) {
		st.At, st.Places, st.Meter, st.Charge = c.At, c.Inputs.Places, c.Inputs.Meter, c.State.Charge
		st.Mode, st.Reason, st.Outputs = c.Decision.Mode, c.Decision.Reason, c.Decision.Outputs
		st.Heating, st.HeatingOK = c.Decision.Facts.Heating, c.Decision.Facts.HeatingOK
		st.Watching = c.Decision.Facts.Watching
		st.Active = [metrics.Severities]int{}
		for code := range c.State.Active() {
			st.Active[code.Severity()]++
		}
		for _, change := range c.Decision.Changes {
			if change.Kind == control.Raised {
				st.Raised[change.Severity]++
			}
		}
		st.Ticks++
		if !c.Complete {
			st.Faulty++
		}
		d.metrics.Show(st)
	}
}

// greetMetrics says where they are.
func (d *parts) greetMetrics() {
	if d.metrics == nil {
		return
	}
	what := "metrics"
	if d.Simulated {
		what = "simulated metrics"
	}
	fmt.Fprintf(d.Out, "%s: http://%s%s\n", what, d.metrics.Address(), metrics.Path)
}
