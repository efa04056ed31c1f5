package night

// Settings of a mind.
type Settings struct {
	Wishes
	Twin  Twin // by the greenhouse file
	Drive Drive
	Skies Skies
	// Every is how many slots a plan is followed before the next; Scenarios how many pasts
	// it weighs, 1 for the outlook alone; Shared for how many slots they keep one duty.
	Every, Scenarios, Shared int
	// Learn refits the twin every noon, the slot of the day Noon.
	Learn bool
	Noon  int64
	// Budget is how many steps a plan is improved.
	Budget int
}

// Wishes are what may change while a mind works.
type Wishes struct {
	Minimum float64 // °C, the crop's
	Harm    float64 // °C, below which a deficit weighs more
	Margin  float64 // K above the minimum, where a plan aims
	// Thrift is the price of a step at full power, as a share of the mean squared deficit
	// of the cold steps of the last two weeks without heat.
	Thrift  float64
	Horizon int // slots that a plan looks ahead
}

// margin is how far above the crop's minimum a plan aims by itself, K. Our choice.
const margin = 0.1

// What Usual goes by: a tank that keeps its heat for a day is worth a look further ahead,
// but not beside light air, which the twin knows too poorly to wait a day for its word;
// one that holds a part of a night's heat, and not all, is worth weighing several pasts,
// which otherwise gain nothing for eight times the work. A night is taken as so many
// hours at so many K between tunnel and greenhouse, a warm tank as so many K over the
// tunnel. The figures were found on simulated winters; they have no source.
const (
	keepsFor          = 24 * 3600.0 // s
	warmTank          = 40.0
	nightFor          = 12 * 3600.0
	nightAcross       = 5.0
	someHeat, allHeat = 0.15, 1.0
)

// Usual is how a mind plans for a twin, but for the crop and the place.
func Usual(t Twin) Settings {
	s := Settings{Twin: t, Every: 6, Scenarios: 1, Budget: 40, Learn: true}
	s.Margin, s.Horizon, s.Thrift = margin, 144, 0.03
	if t.TankLoss <= 0 || t.Tank/t.TankLoss > keepsFor {
		s.Horizon, s.Thrift = 216, 0.2
	}
	if t.Light() {
		s.Horizon, s.Thrift = 108, 0.1
	}
	if part := t.Tank * warmTank / (t.Cover * nightAcross * nightFor); part > someHeat && part < allHeat {
		s.Scenarios, s.Shared = 8, 24
	}
	return s
}
