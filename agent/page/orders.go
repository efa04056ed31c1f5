package page

import (
	"bytes"
	"html"
	"strings"
	"time"

	"duskloop/control"
)

// order that can be given by hand, with what it does to safety.
type order struct {
	control.OrderKind
	Label, Does string
	Caution     string // read before it is given; may be empty
	Times       []timed
}

// timed is a time that an order may be given for, with the time of day at which it would end.
type timed struct{ ID, Value, Says string }

// Name is the order's word.
func (o order) Name() string { return o.String() }

// timesByHand are offered for orders that end by themselves.
var timesByHand = []struct {
	words string
	long  time.Duration
}{
	{"10 min", 10 * time.Minute}, {"30 min", 30 * time.Minute}, {"1 h", time.Hour}, {"2 h", 2 * time.Hour},
	{"4 h", 4 * time.Hour}, {"12 h", 12 * time.Hour}, {"24 h", 24 * time.Hour},
}

// at is the order as it would be given now: with its times, none longer than the loop would
// take, and none for an order without.
func (o order) at(m *Moment, t taste) order {
	o.Times = nil
	for _, x := range timesByHand {
		if x.long > o.Longest() {
			continue
		}
		says := x.words
		if m != nil {
			says += ", until " + t.until(m.At, m.At.Add(x.long))
		}
		o.Times = append(o.Times, timed{"until-" + o.Name() + "-" + strings.ReplaceAll(x.words, " ", ""), x.words, says})
	}
	return o
}

// ordersByHand in the order in which they are shown. Every safety rule stands above them.
var ordersByHand = []order{
	{control.RunPump, "Run pump and fans", "They run for the time given, even where the plan would save the heat. Safety rules and the battery's cut-off stand above it.",
		"Only with the loop closed and filled: " + control.Scalds + ".", nil},
	{control.RunFans, "Run the fans", "They blow for the time given, the pump rests.", "Keep hands, hair and cloth away from the blades.", nil},
	{control.HoldOff, "Hold off", "Pump and fans rest for the time given, whatever the cold: for work on the loop. A hot tank sheds nothing and nothing keeps pipes from freezing. Never leave a hot tank held off.",
		"Not a safeguard: it ends by itself, at the time that is shown, and the pump may start then. " + opening, nil},
	{control.WatchOnly, "Watch only", "Everything is decided and recorded, and neither pump nor fans are switched: nothing protects the crop, and no heat is shed. The thermal cut-out is the safeguard as ever.",
		"It ends by itself, at the time that is shown, and the pump may start then. " + opening, nil},
	{control.EndByHand, "End all of these", "The loop goes on by itself.", startsAtOnce, nil},
	{control.Resume, "The loop was seen to: try again", "After a stop for no flow or for slush: only once pump, valves, level and ice have been looked at.", startsAtOnce, nil},
}

// startsAtOnce is said where an order may set the pump going.
const startsAtOnce = "The pump may start within seconds: give it only with the loop closed, filled and nobody's hands in it. " + opening

// handPieces are what changes on the page of orders: the times of day at which each would
// end, and what is in force.
func (s *Server) handPieces(m *Moment, t taste) pieces {
	p := pieces{"time": t.day(m.At) + ", " + t.clock(m.At)}
	for _, o := range ordersByHand {
		for _, x := range o.at(m, t).Times {
			p[x.ID] = html.EscapeString(nb(x.Says))
		}
	}
	var b bytes.Buffer
	if s.forms.ExecuteTemplate(&b, "force", m.orders(t)) == nil {
		p["force"] = b.String()
	}
	return p
}

// stopped says that the loop waits for somebody, or for its next try.
func (m *Moment) stopped() bool {
	if m == nil {
		return false
	}
	switch b := m.Decision.Facts.Barred; {
	case b.By != control.BarredByStop:
	case b.Why == control.LoopHalted, b.Why == control.LoopWaits, b.Why == control.LoopSlush:
		return true
	}
	return m.inForce(control.AlertLoopStill)
}

// until is the end of something that runs, with its day where that is far.
func (t taste) until(at, end time.Time) string { return t.timed(control.Until(at, end, t.zone)) }

// orders by hand that are in force, with what comes when they end.
func (m *Moment) orders(t taste) (all []string) {
	for _, o := range m.Hand {
		text := o.Words
		if o.Left > 0 {
			text += ", until " + t.until(m.At, m.At.Add(o.Left))
			if o.Name == control.HoldOff.String() || o.Name == control.WatchOnly.String() {
				text += "; then the pump may start by itself"
			}
		}
		all = append(all, text)
	}
	return all
}
