package night

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// relearned is what a mind of a wrong file learns at noon from the days that a right twin
// lived.
func relearned(m *Mind, wrong func(*Twin)) map[string]Learned {
	m.set.Twin = large()
	wrong(&m.set.Twin)
	m.fit = Fit{}
	m.learn(m.memory.now)
	all, _ := m.Learned()
	named := make(map[string]Learned)
	for _, l := range all {
		named[l.Name] = l
	}
	return named
}

// A coil of 25 W/K that the file has as 40 is found, within three of its widths, told, and
// striking; a cover that is right is told and does not strike.
func TestWrongFigureStrikes(t *testing.T) {
	t.Parallel()
	m, _ := lived(10, 1, nil)
	all := relearned(m, func(t *Twin) { t.Coil = 40 })
	coil, cover := all["coil"], all["tunnel cover"]
	t.Logf("%+v, %+v", coil, cover)
	require.True(t, coil.Told)
	assert.True(t, coil.Striking)
	assert.InDelta(t, 25, coil.Value, 3*coil.Width*coil.Value)
	assert.InDelta(t, 40, coil.File, 0)
	require.True(t, cover.Told)
	assert.False(t, cover.Striking)
	require.NotNil(t, m.lessons)
	told := *m.lessons
	for _, l := range told {
		assert.True(t, l.Told)
	}
	assert.Contains(t, told, coil)
	assert.Same(t, m.lessons, m.advised(Planned, NoDoubt).Learned)
}

// Where pump and fans never ran, coil and fan heat are not told, however wrong the file; the
// tank's heat is.
func TestWhatNeverSwungIsNotTold(t *testing.T) {
	t.Parallel()
	m, _ := lived(1, 1, nil)
	house, sun := winter(10)
	n, true0 := Now{Tank: 50, Air: 8, Bed: 9, Charge: 1000}, large()
	var l link
	at := slotOf(winterNoon)
	for slot := range 10 * slotsADay {
		m.memory.put(at+int64(slot), Slot{
			Tank: float32(n.Tank), Air: float32(n.Air), House: float32(house[slot]), Bed: float32(math.NaN()), Sun: float32(sun[slot]),
			TankFirst: float32(n.Tank), AirFirst: float32(n.Air),
		})
		true0.after(&n, house[slot], sun[slot], onLevel*sun[slot], 0, 0, &l)
		n = l.end()
	}
	m.memory.now = at + 10*slotsADay
	all := relearned(m, func(t *Twin) { t.Coil, t.FanHeat, t.Tank = 40, 30, 250e3 })
	for _, name := range []string{"coil", "fan heat"} {
		assert.False(t, all[name].Told, name)
		assert.InDelta(t, all[name].File, all[name].Value, 0.01*all[name].File, "%s: as the file has it", name)
	}
	tank := all["tank heat"]
	t.Logf("%+v", tank)
	assert.True(t, tank.Told)
	assert.Less(t, tank.Value, 240e3)
}

// A figure at the end of what a fit may reach is not told.
func TestFigureAtItsEndIsNotTold(t *testing.T) {
	t.Parallel()
	f := Fit{ok: true}
	for i := range f.width {
		f.width[i] = 0.02
	}
	f.logs[ofCoil], f.logs[ofTank] = farthest, 0.3
	assert.False(t, f.learned(ofCoil, 25, false).Told)
	assert.True(t, f.learned(ofTank, 25, false).Striking)
	assert.False(t, f.learned(ofTank, 0, false).Told, "the file has none")
	f.rms = 20
	assert.False(t, f.learned(ofTank, 25, false).Told, "forecasts that fail widen everything")
}

// A tank that the coil empties within two of the twin's steps hides its coil: 2 kg by 20
// W/K take six minutes.
func TestSwiftFigureIsNotTold(t *testing.T) {
	t.Parallel()
	small := large()
	assert.False(t, small.swift(ofCoil))
	small.Tank, small.Coil = 7400, 20
	assert.True(t, small.swift(ofCoil))
	assert.True(t, small.swift(ofFanHeat))
	assert.False(t, small.swift(ofTank))
	f := Fit{ok: true}
	f.width[ofCoil], f.logs[ofCoil] = 0.05, 0.4
	assert.True(t, f.learned(ofCoil, 20, false).Striking)
	assert.False(t, f.learned(ofCoil, 20, true).Told)
}
