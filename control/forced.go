package control

import (
	"time"

	"duskloop/control/night"
	"duskloop/sensors/quantity"
)

// A forced test runs the loop by turns in the dark: from the tank's two slopes and the
// tunnel's answer a fit tells coil, cover and air apart. All are choices of ours.
const (
	testOn, testRound = 30 * time.Minute, 90 * time.Minute
	testFor           = 6 * time.Hour
	testDark          = 45 * time.Minute    // without heat into the tank before it begins
	testBegins        = quantity.Kelvin(12) // tank over tunnel
	testEnds          = quantity.Kelvin(5)
	testPatience      = 12 * time.Hour       // so much before its time is out it waits no more for a night with heat to spare
	testMargin        = quantity.Kelvin(0.5) // over the crop's minimum, below which it never rests
)

// test follows a forced test that was asked for: it begins in the dark beside a warm tank, in a
// night that has heat to spare or else in the last one that it may, and ends after some hours or once the tank is cool.
func (h Hand) test(d time.Duration, v *view) Hand {
	rising, ok := v.heats()
	if !ok {
		rising = v.st.Trend.Rising
	}
	if h.Dark = min(h.Dark+d, testFor); rising {
		h.Dark = 0
	}
	if h.Test == 0 {
		return h
	}
	across, known := v.difference()
	switch {
	case h.Tested == 0 && known && v.tunnel.ok && across >= testBegins && h.Dark >= testDark && (h.Test <= testPatience || !v.short()):
		h.Tested = d
	case h.Tested > 0:
		h.Tested += d
	}
	ends := testEnds
	if v.short() {
		ends = testBegins - 2 // what is left is the crop's
	}
	if h.Tested >= testFor || h.Tested > 0 && known && across < ends {
		h.Test, h.Tested = 0, 0
	}
	return h
}

// short says that the night has no heat to spare, or that no plan knows: its heat is not for
// tests.
func (v *view) short() bool {
	a := &v.in.Tonight
	return a.Way != night.Planned || a.Cold && a.Story.Coldest < float64(v.s.Crop.Minimum)
}

// forcedTest runs and rests as the test asks. The crop comes first: below its minimum heat is
// spent as always, and above its maximum the loop rests.
func forcedTest(v *view) (wish, bool) {
	h := v.st.Hand
	if h.Tested == 0 || !v.tunnel.ok {
		return wish{}, false
	}
	w := wish{kind: byHand, mode: ByHand, reason: TestByHand}
	on := h.Tested%testRound < testOn
	switch {
	case on && v.air < v.s.Crop.Maximum:
		w.pump, w.fans = true, true
	case v.air < v.s.Crop.Minimum.Plus(testMargin):
		return wish{}, false
	}
	return w, true
}
