package agent

import (
	"math"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
	"duskloop/control/night"
	"duskloop/sim/plant"
	"duskloop/sim/season"
	"duskloop/sim/weather"
)

// When, in days after the noon on which it begins, something goes wrong, and how long it is
// judged afterwards.
const (
	goesWrong = 9
	mended    = 12
	judgedFor = 6
)

// mishap is what goes wrong: in the greenhouse, or in what the mind that learns is shown
// of it. since is in days.
type mishap struct {
	name   string
	faults func(since float64) plant.Faults
	shown  func(since float64, s *night.Sample) bool // false: nothing
}

// stuckAt holds a figure at what it was when it went wrong.
func stuckAt(of func(*night.Sample) *night.Known) func(float64, *night.Sample) bool {
	at := math.NaN()
	return func(since float64, s *night.Sample) bool {
		if since < goesWrong || since >= mended {
			at = *of(s)
		}
		*of(s) = at
		return true
	}
}

func tankOf(s *night.Sample) *night.Known { return &s.Tank }
func airOf(s *night.Sample) *night.Known  { return &s.Air }

func during(since, from, to float64) bool { return since >= from && since < to }

func mishaps() []mishap {
	return []mishap{
		{name: "nothing"},
		{name: "tank probe stuck", shown: stuckAt(tankOf)},
		{name: "air probe stuck", shown: stuckAt(airOf)},
		{name: "air probe 8 K off for a day", shown: func(since float64, s *night.Sample) bool {
			if during(since, mended-1, mended) {
				s.Air += 8
			}
			return true
		}},
		{name: "pump stuck", faults: func(since float64) plant.Faults {
			return plant.Faults{PumpStuck: during(since, goesWrong, mended)}
		}},
		{name: "panel covered for a day", faults: func(since float64) plant.Faults {
			return plant.Faults{PanelCovered: during(since, mended-1, mended)}
		}},
		{name: "a week missing", shown: func(since float64, _ *night.Sample) bool {
			return !during(since, mended-7, mended)
		}},
		{name: "clock set back a day", shown: func(since float64, s *night.Sample) bool {
			if since > mended-1 {
				s.Time = s.Time.Add(-24 * time.Hour)
			}
			return true
		}},
	}
}

// school is a greenhouse with a mind that knows it, which runs it until the mishap is
// over, and one that learns beside it.
type school struct {
	t        *testing.T
	house    season.House
	start    time.Time
	plant    *plant.Plant
	probes   *plant.Probes
	sky      weather.Source
	state    control.State
	act      plant.Act
	knowing  *night.Mind
	learning *night.Mind
	lessons  []night.Learned // when the trouble was over
}

func newSchool(t *testing.T, name string) *school {
	t.Helper()
	f := lumpedFile(t, name)
	h, err := House(f, 5, 1)
	require.NoError(t, err)
	c := &school{t: t, house: h, start: time.Date(2026, 1, 2, 17, 20, 0, 0, time.UTC), sky: InventedWeather(f, 4), state: control.NewState()}
	c.plant, err = plant.New(h.Plant, c.start, h.Start)
	require.NoError(t, err)
	c.probes = plant.NewProbes(h.Probes, c.plant.Now())
	c.act = plant.Act{ElementConnected: true}
	h.Night.Scenarios = 1 // for the test's sake: an eighth of the work
	c.learning = night.NewMind(h.Night)
	h.Night.Learn = false
	c.knowing = night.NewMind(h.Night)
	return c
}

// inputs are what the probes say.
func (c *school) inputs() control.Inputs {
	in := control.Inputs{Elapsed: time.Minute, ClockTrusted: true, Level: c.house.Level}
	for p := range control.Places {
		if v, ok := c.probes.At(plant.Place(p)); ok && c.house.Settings.Fitted.Places[p] {
			in.Places[p] = control.Temperature{Value: v, Ever: true}
		}
	}
	volts, amps, ok := c.probes.Battery()
	in.Panel = control.Panel{Volts: c.plant.Now().PanelVolts, Has: c.house.PanelMeasured}
	in.Meter = control.Meter{Volts: volts, Amps: amps, HasVolts: ok, HasAmps: ok}
	return in
}

// minute lets one pass under a mishap; by decides, and nobody if it is nil.
func (c *school) minute(x *mishap, by *night.Mind) {
	since := c.plant.Clock().Sub(c.start).Hours() / 24
	if x.faults != nil {
		c.plant.SetFaults(x.faults(since))
	}
	c.plant.Step(time.Minute, c.act, c.sky.At(c.plant.Clock().Add(30*time.Second)))
	c.probes.Read(c.plant.Now(), time.Minute)
	in := c.inputs()
	in.Tonight = night.Advice{Way: night.Planned} // that is, rest
	if by != nil {
		in.Tonight = by.Advice()
	}
	var d control.Decision
	c.state, d = control.Step(&c.house.Settings, c.state, in)
	c.act = plant.Act{Pump: d.Outputs.Pump, Fans: d.Outputs.Fans, ElementConnected: true}
	sample := c.house.Settings.Sample(&in, &d, c.plant.Clock())
	c.knowing.Observe(&sample)
	c.knowing.Think(40)
	if x.shown == nil || x.shown(since, &sample) {
		c.learning.Observe(&sample)
		c.learning.Think(40)
	}
}

// ran is how it went after the mishap was over, under a mind that took over then.
func (c *school) ran(x mishap, who func(*school) *night.Mind) (squared float64) {
	for range mended * 24 * 60 {
		c.minute(&x, c.knowing)
	}
	c.lessons, _ = c.learning.Learned()
	for range judgedFor * 24 * 60 {
		c.minute(&x, who(c))
		short := max(0, 5-float64(c.plant.Now().Tunnel))
		squared += short * short / 60
	}
	return squared
}

// pupils take the greenhouse over in turn: nobody, the mind that knew it, the one that learned.
func nobody(*school) *night.Mind   { return nil }
func knows(c *school) *night.Mind  { return c.knowing }
func taught(c *school) *night.Mind { return c.learning }

// without is what comes without heat, and by a mind that knows the greenhouse; flown once.
func without(t *testing.T, name string, x mishap) func() (off, known float64) {
	t.Helper()
	return sync.OnceValues(func() (off, known float64) {
		return newSchool(t, name).ran(x, nobody), newSchool(t, name).ran(x, knows)
	})
}

// Whatever went wrong in the last three of the days from which a mind learned, or in what
// it was shown of them, every figure it learned stays within 0.6 to 1.6 of the true one,
// and under its plans the nights that follow are warmer than without heat by at least so
// much of what a mind achieves that knows the greenhouse and learned nothing: 0.95 on the
// large plant, 0.9 on the box.
func TestLearningCannotBePoisoned(t *testing.T) {
	t.Parallel()
	for name, least := range map[string]float64{"large": 0.95, "box": 0.9} {
		healthy := without(t, name, mishap{}) // what the mind is shown changes no greenhouse
		for _, x := range mishaps() {
			if raced && (name != "box" || x.name != "air probe 8 K off for a day") {
				continue
			}
			t.Run(name+" "+x.name, func(t *testing.T) {
				t.Parallel()
				beside := healthy
				if x.faults != nil {
					beside = without(t, name, x)
				}
				off, known := beside()
				require.Less(t, known, 0.75*off, "there is something to achieve")
				c := newSchool(t, name)
				achieved := (off - c.ran(x, taught)) / (off - known)
				lowest, highest := 9.0, 0.0
				require.NotEmpty(t, c.lessons)
				for _, l := range c.lessons {
					lowest, highest = min(lowest, l.Value/l.File), max(highest, l.Value/l.File)
				}
				t.Logf("%.0f K²h without heat, %.0f known; learned: %.3f of it, figures %.2f to %.2f", off, known, achieved, lowest, highest)
				assert.GreaterOrEqual(t, achieved, least)
				assert.Greater(t, lowest, 0.6)
				assert.Less(t, highest, 1.6)
			})
		}
	}
}
