package control

import "time"

// OrderKind is what the grower asks for by hand.
type OrderKind int

// The orders. Each but Resume ends by itself.
const (
	RunPump   OrderKind = iota // run the pump for a time, below every safety rule
	RunFans                    // run the fans for a time, below every safety rule
	HoldOff                    // no pump and no fans for a time: the loop is open
	ForceTest                  // run and rest by turns for a night, so that a fit can tell the loop's figures
	WatchOnly                  // decide and record, but switch no pump and no fans
	EndByHand                  // end all of the above
	Resume                     // the loop was seen to: try the pump again
	orderKinds
)

var orderWords = [orderKinds]string{"run-pump", "run-fans", "hold", "test", "watch", "end", "resume"}

// String is the order's word.
func (k OrderKind) String() string {
	if k < 0 || k >= orderKinds {
		return "no-order"
	}
	return orderWords[k]
}

// Longest is the longest time an order may ask for; zero means it takes none.
// Chosen: a run is watched by a person, a hold covers a day's work on the loop,
// a test waits for the night after a clear day, and watching covers a first fortnight of trust with room to spare.
func (k OrderKind) Longest() time.Duration {
	switch k {
	case RunPump, RunFans:
		return 2 * time.Hour
	case HoldOff:
		return 24 * time.Hour
	case ForceTest:
		return 36 * time.Hour
	case WatchOnly:
		return 30 * 24 * time.Hour
	}
	return 0
}

// Order is one request by hand. For is cut to the kind's longest time.
type Order struct {
	Kind OrderKind
	For  time.Duration
}

// Hand is the time left of each order in force.
type Hand struct {
	Pump, Fans, Hold, Watch time.Duration
	Watched                 time.Duration // how long watching has lasted
	// Test is the time left in which a forced test may be made, Tested how long it has gone
	// on, and Dark for how long nothing has heated the tank.
	Test, Tested, Dark time.Duration
	Again              time.Duration // rest left before a test that was broken off may begin again
	Cooled             bool          // it was broken off because the tank was too cool
}

// pass lets time run.
func (h Hand) pass(d time.Duration) Hand {
	if h.Watch > 0 {
		h.Watched += min(d, h.Watch)
	}
	h.Pump, h.Fans = max(0, h.Pump-d), max(0, h.Fans-d)
	h.Hold, h.Watch = max(0, h.Hold-d), max(0, h.Watch-d)
	h.Again = max(0, h.Again-d)
	if h.Test = max(0, h.Test-d); h.Test == 0 {
		return h.untested()
	}
	return h
}

// take obeys the orders in turn; the last of a kind stands.
func (st *State) take(orders []Order) {
	for _, o := range orders {
		d := min(max(o.For, 0), o.Kind.Longest())
		switch o.Kind {
		case RunPump:
			st.Hand.Pump = d
		case RunFans:
			st.Hand.Fans = d
		case HoldOff:
			st.Hand.Hold = d
		case ForceTest:
			if st.Hand.Tested == 0 || d == 0 { // one under way goes on
				st.Hand = st.Hand.untested()
			}
			st.Hand.Test = d
		case WatchOnly:
			if st.Hand.Watch == 0 {
				st.Hand.Watched = 0
			}
			st.Hand.Watch = d
		case EndByHand:
			st.Hand = Hand{Dark: st.Hand.Dark}
		case Resume:
			st.Flow.Tries, st.Flow.Wait, st.Flow.Halted = 0, 0, false
			st.Slush = false // a probe that still shows it says so again at once
		}
	}
}
