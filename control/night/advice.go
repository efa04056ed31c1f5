package night

import "time"

// Way is by what the heat is spent.
type Way int

// The ways. The zero value asks nothing of a mind.
const (
	Unasked  Way = iota // the loop's own differences
	Waiting             // too little is known: the crop's minimum alone, where heat is worth the battery
	Levelled            // hold the floor that heat and battery can hold until morning
	Planned             // follow the plan
)

// String is a plain word.
func (w Way) String() string {
	return [...]string{"difference", "minimum", "floor", "plan"}[min(max(w, Unasked), Planned)]
}

// Advice is what a mind advises now, and what it rests on.
type Advice struct {
	Way   Way
	Duty  float64 // Planned: share of the coil's full conductance
	Level float64 // Levelled, or Planned with Hold: °C of tunnel air to hold
	Hold  bool    // Planned: the air is so light that a duty means little between two looks at it
	Cold  bool    // without heat the air would fall below the crop's minimum
	Why   Doubt   // why there is no plan
	Story Story
	// Nights are how many the outlook rests on.
	Nights int
	// Rests is on what; Record how both did of late.
	Rests  Source
	Record Record
	// Learned are the figures of the greenhouse worth telling, nil for none. They are
	// made anew when they change, and never changed.
	Learned *[]Learned
	// Course is what the plan expects from now on, nil without one. It is made anew for
	// each slot, and never changed.
	Course *[]Expected
}

// UnheatedUntil is the coldest that the tunnel's air, °C, becomes up to a time without heat,
// and when; not ok without a plan.
func (a *Advice) UnheatedUntil(until time.Time) (c float64, at time.Time, ok bool) {
	if a.Course == nil {
		return 0, at, false
	}
	for i, x := range *a.Course {
		if i > 0 && x.At.After(until) {
			break
		}
		if !ok || x.Unheated.Air < c {
			c, at, ok = x.Unheated.Air, x.At, true
		}
	}
	return c, at, ok
}

// Source is where the air and the sun ahead come from.
type Source int

// The sources.
const (
	OnOutlook  Source = iota // what was seen here
	OnForecast               // told from outside
)

// String is a plain word.
func (s Source) String() string {
	return [...]string{"outlook", "forecast"}[min(max(s, OnOutlook), OnForecast)]
}

// Record is the mean absolute error of either source in the greenhouse's air over the next
// 24 hours, K, over the last week or so, from so many bets; 0 before the first.
type Record struct {
	Outlook, Forecast float64
	Bets              int
}

// Doubt is why a mind does not plan.
type Doubt int

// The doubts.
const (
	NoDoubt Doubt = iota
	JustBegun
	ClockUnset
	TankUnseen
	AirUnseen
	HouseUnseen
	BatteryUnseen
	TwinWrong // an hour's forecast was far from what came
)

// String says it in words.
func (d Doubt) String() string {
	return [...]string{
		"", "it has only begun to look", "the clock has not been set", "the tank is not known", "the tunnel's air is not known",
		"the greenhouse's air is not known", "the battery's charge is not known", "the greenhouse did not do what was forecast",
	}[min(max(d, NoDoubt), TwinWrong)]
}

// Story is the plan in figures. Times are zero where the thing does not come.
type Story struct {
	Coldest, Unheated float64   // °C: the air's minimum ahead with the plan, and without heat
	ColdestAt         time.Time // by the plan
	Low, High         float64   // °C: four in five nights' coldest fall between
	Lasts             time.Time // when the tank has nothing left to give
	From, To          time.Time // the plan's next spell of heat
	Left, Needed      float64   // Wh: in the tank over what is useful; what that spell and the rest of the plan take
	Charge, ChargeEnd float64   // share of the battery, now and at the plan's coldest
	UnheatedAt        time.Time // when the air is coldest without heat
	UnheatedLow       float64   // °C: colder than that without heat on one night in ten
}
