package control

import "time"

// OrderKind is what the grower asks for by hand.
type OrderKind int

// The orders. Each but Resume ends by itself.
const (
	RunPump   OrderKind = iota // run the pump for a time, below every safety rule
	RunFans                    // run the fans for a time, below every safety rule
	HoldOff                    // no pump and no fans for a time: the loop is open
	WatchOnly                  // decide and record, but switch no pump and no fans
	EndByHand                  // end all of the above
	Resume                     // the loop was seen to: try the pump again
	orderKinds
)

var orderWords = [orderKinds]string{"run-pump", "run-fans", "hold", "watch", "end", "resume"}

// String is the order's word.
func (k OrderKind) String() string {
	if k < 0 || k >= orderKinds {
		return "no-order"
	}
	return orderWords[k]
}

// Longest is the longest time an order may ask for; zero means it takes none.
// Chosen: a run is watched by a person, a hold covers a day's work on the loop,
// and watching covers a first fortnight of trust with room to spare.
func (k OrderKind) Longest() time.Duration {
	switch k {
	case RunPump, RunFans:
		return 2 * time.Hour
	case HoldOff:
		return 24 * time.Hour
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
}

// pass lets time run.
func (h Hand) pass(d time.Duration) Hand {
	return Hand{
		Pump: max(0, h.Pump-d), Fans: max(0, h.Fans-d),
		Hold: max(0, h.Hold-d), Watch: max(0, h.Watch-d),
	}
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
		case WatchOnly:
			st.Hand.Watch = d
		case EndByHand:
			st.Hand = Hand{}
		case Resume:
			st.Flow = Flow{}
		}
	}
}
