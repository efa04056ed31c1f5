package control

import "fmt"

// Reason is why the decision is what it is: one code, used alike by log,
// record, message, page and tests.
type Reason int

// The reasons, in the order of the rules that give them.
const (
	JustStarted Reason = iota
	HoldByHand
	BatteryCutOff
	BatteryBlind
	LevelIsLow
	LoopHalted
	LoopWaits
	LoopSlush
	TankDanger
	TankHot
	TankHotWaits
	TankLostWhileHot
	FrostGuard
	BatteryReserve
	BatteryUnknown
	RunByHand
	TestByHand
	CropCold
	Difference
	Stir
	MinimumRun
	MinimumRest
	SafetyRest
	TankUnknown
	WarmEnough
	NotWorth
	TankCool
	Planned
	Gathering
	Levelling
	Saving
	NoNeed
	reasons // how many there are
)

type reasonEntry struct{ code, words string }

// reasonTable gives each reason its code and its words.
var reasonTable = [reasons]reasonEntry{
	JustStarted:      {"just-started", "just started; waiting for readings"},
	HoldByHand:       {"held-by-hand", "everything is held off by hand"},
	BatteryCutOff:    {"battery-cut-off", "the battery is below its cut-off voltage"},
	BatteryBlind:     {"battery-blind", "the battery's voltage has not been known for too long"},
	LevelIsLow:       {"level-low", "the tank's level switch says low"},
	LoopHalted:       {"loop-halted", "the loop did not move heat in any try; see to the pump, then resume"},
	LoopWaits:        {"loop-waits", "the loop did not move heat; waiting for the next try"},
	LoopSlush:        {"loop-slush", "a loop probe is at the freezing point of the mix; slush is not pumped"},
	TankDanger:       {"tank-danger", "the tank is dangerously hot; shedding heat"},
	TankHot:          {"tank-hot", "the tank is hot; shedding heat"},
	TankHotWaits:     {"tank-hot-waits", "the tank is hot, but the tunnel is above the crop's maximum; shedding waits"},
	TankLostWhileHot: {"tank-lost-while-hot", "the tank was hot when its probe was lost; shedding while the coil stays warm"},
	FrostGuard:       {"frost-guard", "a loop probe is near the mix's freezing point; warm liquid goes round, fans off"},
	BatteryReserve:   {"battery-reserve", "the battery is at its reserve; comfort heat waits"},
	BatteryUnknown:   {"battery-unknown", "the battery is not known and counts as at its reserve"},
	RunByHand:        {"run-by-hand", "run by hand"},
	TestByHand:       {"test-by-hand", "a forced test asked for by hand: 30 min on, 60 min off"},
	CropCold:         {"crop-cold", "the tunnel is below the crop's minimum and the tank is usefully warmer"},
	Difference:       {"difference", "the tank is warmer than the tunnel by more than the start difference"},
	Stir:             {"stir", "the element is heating; mixing the tank"},
	MinimumRun:       {"minimum-run", "finishing the minimum run"},
	MinimumRest:      {"minimum-rest", "finishing the minimum rest"},
	SafetyRest:       {"safety-rest", "a moment's rest between safety runs"},
	TankUnknown:      {"tank-unknown", "the tank's temperature is not known"},
	WarmEnough:       {"warm-enough", "the tunnel is warm enough; heat is kept for later"},
	NotWorth:         {"not-worth", "the difference is too small to be worth the battery"},
	TankCool:         {"tank-cool", "the tank is not warm enough above the tunnel to start"},
	Planned:          {"planned", "heat is spent now, as planned for the night"},
	Gathering:        {"gathering", "the warm tunnel heats the tank, as planned for the night"},
	Levelling:        {"levelling", "holding the floor that heat and battery can hold until morning"},
	Saving:           {"saving", "saving heat for colder hours"},
	NoNeed:           {"no-need", "no cold is expected that needs heat"},
}

// String is the reason's code.
func (r Reason) String() string {
	if r < 0 || r >= reasons {
		return reasonTable[JustStarted].code
	}
	return reasonTable[r].code
}

// Words says the reason in a sentence without numbers.
func (r Reason) Words() string {
	if r < 0 || r >= reasons {
		return reasonTable[JustStarted].words
	}
	return reasonTable[r].words
}

// MarshalText writes the code.
func (r Reason) MarshalText() ([]byte, error) { return []byte(r.String()), nil }

// UnmarshalText reads the code; an unknown one is an error.
func (r *Reason) UnmarshalText(text []byte) error {
	for i := range reasonTable {
		if reasonTable[i].code == string(text) {
			*r = Reason(i)
			return nil
		}
	}
	return fmt.Errorf("no reason has the code %q", text)
}
