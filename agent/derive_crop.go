package agent

import (
	"fmt"

	"duskloop/agent/config"
	"duskloop/sensors/quantity"
)

// crop says what the crop stands, and whose figures these are.
func (d *Derived) crop(f *config.File) {
	c, u := f.Loop().Crop, f.Site.Units
	row, known := config.Standing(c.Kind)
	if !known {
		d.say("crop", "not named (crop.kind); %s at the least, by the file or the general default", c.Minimum.In(u))
		return
	}
	d.say("crop", "%s", c.Kind)
	for _, x := range []struct {
		what, key string
		is        quantity.Celsius
		usual     config.Bound
	}{
		{"crop's minimum", "minimum", c.Minimum, row.Minimum},
		{"above which heat is kept for later", "comfortable", c.Comfort, row.Comfort},
		{"crop's maximum", "maximum", c.Maximum, row.Maximum},
		{"cold does lasting harm below", "harm", c.Harm, row.Harm},
	} {
		d.say(x.what, "%s", whose(f, "crop."+x.key, x.is, x.usual))
	}
}

// whose is a figure of the crop with where it is from, in the grower's units.
func whose(f *config.File, key string, is quantity.Celsius, usual config.Bound) string {
	u := f.Site.Units
	switch {
	case f.Line("loop."+f.Loop().Name+"."+key) > 0:
		return fmt.Sprintf("%s (your own; usual for it: %s, %s)", is.In(u), usual.At.In(u), usual.Source)
	case is != usual.At:
		return fmt.Sprintf("%s (your minimum; usual for it: %s, %s)", is.In(u), usual.At.In(u), usual.Source)
	}
	return fmt.Sprintf("%s (%s)", is.In(u), usual.Source)
}
