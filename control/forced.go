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
	testAgain         = testRound            // rest between two tries, so that a tank at the edge does not nibble
	testHigher        = quantity.Kelvin(4)   // more over the tunnel to begin again than a try began with that found the tank cool
	testSettles       = 30 * time.Minute     // of rest, before the air says what the tank still holds
	testPatience      = 12 * time.Hour       // so much before its time is out it waits no more for a night with heat to spare
	testMargin        = quantity.Kelvin(0.5) // over the crop's minimum, below which it never rests
)

// test follows a forced test that was asked for: it begins in the dark beside a warm tank, in a
// night that has heat to spare or else in the last one that it may, and ends after some hours or
// once the tank is cool. One that ended before a whole round waits for its next chance.
func (h Hand) test(d time.Duration, v *view) Hand {
	rising, ok := v.heats()
	if !ok {
		rising = v.st.Trend.Rising
	}
	if h.Dark = min(h.Dark+d, testFor); rising {
		h.Dark = 0
	}
	switch {
	case h.Test == 0:
	case h.Tested > 0:
		return h.goOn(d, v)
	case h.begins(v):
		h.Tested = d
	}
	return h
}

// begins says that a test begins now.
func (h *Hand) begins(v *view) bool {
	across, known := v.difference()
	from := testBegins
	if h.Cooled {
		from += testHigher
	}
	return known && v.tunnel.ok && across >= from && h.Dark >= testDark && h.Again == 0 &&
		(h.Test <= testPatience || !v.short()) && !v.yields()
}

// goOn follows one that has begun to its end.
func (h Hand) goOn(d time.Duration, v *view) Hand {
	h.Tested += d
	cool := h.coolFor(v)
	switch {
	case h.Tested < testRound && (cool || v.yields()):
		h.Tested, h.Again, h.Cooled = 0, testAgain, h.Cooled || cool
	case h.Tested >= testFor || cool:
		h = h.untested()
	}
	return h
}

// coolFor says that the tank is too cool for the test. While the coil blows, light air follows it
// and says little of the tank: there only what is worth no run ends it. How much is left is
// judged at rest, once the air has fallen back.
func (h *Hand) coolFor(v *view) bool {
	across, known := v.difference()
	ends := testEnds
	if v.short() {
		ends = testBegins - 2 // what is left is the crop's
	}
	if h.Tested%testRound < testOn+testSettles {
		ends = v.stopAt
	}
	return known && across < ends
}

// untested is h without a test asked for.
func (h Hand) untested() Hand {
	h.Test, h.Tested, h.Again, h.Cooled = 0, 0, 0, false
	return h
}

// yields says that no test can run: the loop is watched only, or something stands above it.
func (v *view) yields() bool {
	_, above := demand(v)
	return above || v.st.Hand.Watch > 0
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
