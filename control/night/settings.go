package night

// Settings of a mind.
type Settings struct {
	Twin    Twin    // by the greenhouse file
	Minimum float64 // °C, the crop's
	Harm    float64 // °C, below which a deficit weighs more
	Drive   Drive
	Clear   Clear
	// Every is how many slots a plan is followed before the next; Horizon how many it
	// looks ahead; Scenarios how many pasts it weighs, 1 for the outlook alone; Shared
	// for how many slots they keep one duty.
	Every, Horizon, Scenarios, Shared int
	// Learn refits the twin every noon, the slot of the day Noon.
	Learn bool
	Noon  int64
	// Thrift is the price of a step at full power, as a share of the mean squared deficit
	// of the cold steps of the last two weeks without heat.
	Thrift float64
	// Budget is how many steps a plan is improved.
	Budget int
}

// Usual is how a mind plans for a twin, but for the crop and the place. A tank that keeps
// its heat for days is worth looking further ahead for than one that loses it in a night.
// The figures were found on simulated winters.
func Usual(t Twin) Settings {
	s := Settings{Twin: t, Every: 6, Horizon: 144, Scenarios: 1, Budget: 40, Thrift: 0.15, Learn: true}
	if t.TankLoss <= 0 || t.Tank/t.TankLoss > 24*3600 {
		s.Horizon = 216
		return s
	}
	s.Thrift, s.Scenarios, s.Shared = 0.03, 8, 24
	return s
}
