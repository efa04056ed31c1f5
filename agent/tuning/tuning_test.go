package tuning

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent"
	"duskloop/agent/config"
	"duskloop/control/night"
	"duskloop/sim/season"
	"duskloop/sim/tune"
	"duskloop/sim/weather"
)

// byRules is the large plant, whose heat is spent by its differences.
func byRules(t *testing.T, changed map[string]string) *config.File {
	return spending(t, "large", config.ByDifference, changed)
}

// spending is a plant of the study whose heat is spent one way or the other.
func spending(t *testing.T, name string, by config.Spending, changed map[string]string) *config.File {
	t.Helper()
	f, err := config.Load("../../testdata/plant-" + name + ".toml")
	require.NoError(t, err)
	f.Loop().Carry.Spend = by
	if changed != nil {
		f, _, err = f.With(changed)
		require.NoError(t, err)
	}
	return f
}

// winter is December to March at Alder Hollow: two months searched and two judged.
var winter = season.Span{Start: time.Date(2025, 12, 1, 5, 0, 0, 0, time.UTC), Days: 121, Offset: -5 * time.Hour}

// half of it is a month of each.
var half = season.Span{Start: winter.Start, Days: 62, Offset: winter.Offset}

// benchOf a file on an invented winter and others that only judge.
func benchOf(t *testing.T, f *config.File, seed uint64, more ...uint64) *Bench {
	return benchOver(t, f, winter, seed, more...)
}

func benchOver(t *testing.T, f *config.File, over season.Span, seed uint64, more ...uint64) *Bench {
	t.Helper()
	b, err := NewBench(f)
	require.NoError(t, err)
	b.Winters(over, func(weather.Sky) weather.Source { return agent.InventedWeather(f, seed) }, "invented", more)
	return b
}

// flying flies asks two at a time, as the command does.
func flying(t *testing.T, b *Bench) tune.Fly {
	return func(asks []tune.Ask) ([]season.Spent, error) {
		all := make([]season.Spent, len(asks))
		var wait sync.WaitGroup
		room := make(chan struct{}, 2)
		for i := range asks {
			wait.Add(1)
			room <- struct{}{}
			go func() {
				defer wait.Done()
				var err error
				all[i], err = b.Fly(asks[i])
				assert.NoError(t, err)
				<-room
			}()
		}
		wait.Wait()
		return all, nil
	}
}

func searched(t *testing.T, b *Bench, sets int, seed uint64) *tune.Found {
	t.Helper()
	s := tune.Search{Knobs: b.Knobs(), Trade: tune.Usual(), Sets: sets, Seed: seed, Draws: 2}
	s.Searched, s.Judged = b.Halves()
	out, err := tune.Run(s, flying(t, b))
	require.NoError(t, err)
	return out
}

// Tuned on one half of a winter and judged on the other, the large plant's settings are never
// worse than before by more than 2 % in any month of two winters that neither search nor
// judgement has seen.
func TestTunedSettingsHold(t *testing.T) {
	t.Parallel()
	f := byRules(t, nil)
	b := benchOf(t, f, 1)
	out := searched(t, b, 32, 1)
	require.NotNil(t, out.Best, out.Why)
	t.Logf("%v; effects %+v", b.Changes(out.Best), out.Effects)
	holds(t, f, byRules(t, b.Changes(out.Best)), 900, 901)
}

// So is a plan's own thrift, where it was set far too high, and the rest beside it.
func TestATunedPlanHolds(t *testing.T) {
	t.Parallel()
	f := spending(t, "large", config.ByPlan, map[string]string{"plan.thrift": "1"})
	b := benchOver(t, f, half, 1)
	out := searched(t, b, 16, 3)
	require.NotNil(t, out.Best, out.Why)
	t.Logf("%v; effects %+v", b.Changes(out.Best), out.Effects)
	require.Contains(t, b.Changes(out.Best), "plan.thrift")
	tuned, _, err := f.With(b.Changes(out.Best))
	require.NoError(t, err)
	holds(t, f, tuned, 900)
}

// holds lives invented winters by a file before and after it was tuned.
func holds(t *testing.T, f, tuned *config.File, seed uint64, more ...uint64) {
	t.Helper()
	var before, after, without, worst float64
	fresh, then := benchOf(t, f, seed, more...), benchOf(t, tuned, seed, more...)
	for i := range fresh.stretches {
		today := set0(fresh)
		was, err := fresh.Fly(tune.Ask{Set: today, Stretch: i})
		require.NoError(t, err)
		is, err := then.Fly(tune.Ask{Set: set0(then), Stretch: i})
		require.NoError(t, err)
		idle, err := fresh.Fly(tune.Ask{Set: today, Stretch: i, Idle: true})
		require.NoError(t, err)
		assert.LessOrEqual(t, is.Squared, was.Squared*1.02+0.5, fresh.Name(i))
		before, after, without = before+was.Squared, after+is.Squared, without+idle.Squared
		if was.Squared > 5 {
			worst = max(worst, is.Squared/was.Squared-1)
		}
	}
	t.Logf("winters that nothing has seen: %.0f K²h before, %.0f after (%.1f %% less), %.0f without heat; worst month %+.2f %%",
		before, after, 100*(1-after/before), without, 100*worst)
	assert.Less(t, after, before)
}

// Settings that a longer search ended at are left alone.
func TestRightSettingsStay(t *testing.T) {
	t.Parallel()
	f := byRules(t, map[string]string{"carry.start_difference": "14.5 K", "carry.stop_difference": "1.5 K", "crop.comfortable": "5.5 °C"})
	out := searched(t, benchOf(t, f, 1), 32, 2)
	assert.Nil(t, out.Best, "%+v", out.Effects)
	assert.NotEmpty(t, out.Why)
	t.Log(out.Why)
}

func set0(b *Bench) tune.Set {
	var s tune.Set
	for _, k := range b.Knobs() {
		s = append(s, k.Now)
	}
	return s
}

// Every knob's ends are values that the file takes, or that its own rules refuse in words; no
// knob turns what people or hardware rest on.
func TestKnobsAreTheFiles(t *testing.T) {
	t.Parallel()
	for by, own := range map[config.Spending][]string{
		config.ByDifference: {"carry.start_difference", "crop.comfortable"},
		config.ByPlan:       {"plan.margin", "plan.thrift", "plan.ahead"},
	} {
		f := spending(t, "large", by, nil)
		b, err := NewBench(f)
		require.NoError(t, err)
		require.GreaterOrEqual(t, len(b.Knobs()), 5+len(own))
		for _, key := range own {
			assert.True(t, slices.ContainsFunc(b.Knobs(), func(k tune.Knob) bool { return k.Key == key }), key)
		}
		for i := range b.Knobs() {
			knobIsTheFiles(t, b, i)
		}
	}
	f := byRules(t, nil)
	s := set0(benchOf(t, f, 1))
	s[0], s[1] = 3, 9 // starts below where it stops
	x, err := benchOf(t, f, 1).Fly(tune.Ask{Set: s, Short: true})
	require.NoError(t, err)
	assert.GreaterOrEqual(t, x.Squared, tune.Forbidden)
}

func knobIsTheFiles(t *testing.T, b *Bench, i int) {
	t.Helper()
	k := b.Knobs()[i]
	for _, kept := range []string{"tank.", "proof.", "cut_off", "reconnect", "frost", "crop.minimum", "crop.maximum", "safety"} {
		assert.NotContains(t, k.Key, kept)
	}
	if k.Key == "battery.reserve" {
		assert.GreaterOrEqual(t, k.Low, 35.0, "of a lead-acid battery")
	}
	for _, x := range []float64{k.Low, k.High} {
		s := set0(b)
		s[i] = x
		changes := b.Changes(s)
		if x == k.Now {
			assert.Empty(t, changes)
			continue
		}
		require.NotEmpty(t, changes)
		next, _, err := b.file.With(changes)
		if k.Key == "carry.stop_difference" || k.Key == "carry.start_difference" {
			continue // each may pass the other
		}
		require.NoError(t, err, k.Key)
		r, err := rulesOf(next)
		require.NoError(t, err)
		assert.InDelta(t, x, b.knobs[i].now(r), 0.06, k.Key)
	}
}

// The lines for the greenhouse file make it one that the daemon takes, whichever knob is turned
// to whichever end; what goes with a turn is in them.
func TestSnippetIsTaken(t *testing.T) {
	t.Parallel()
	b, err := NewBench(config.Demo())
	require.NoError(t, err)
	for i, k := range b.Knobs() {
		for _, x := range []float64{k.Low, k.High} {
			s := set0(b)
			s[i] = x
			if _, _, err := b.file.With(b.Changes(s)); err != nil {
				require.Contains(t, []string{"carry.start_difference", "carry.stop_difference", "carry.minimum_rest"}, k.Key, "they may pass what stands beside them")
				continue
			}
			text, at := config.Example(), ""
			for line := range strings.Lines(b.Snippet(s)) {
				if line = strings.TrimSpace(line); strings.HasPrefix(line, "[") {
					at = line
					continue
				}
				name, _, _ := strings.Cut(line, " =")
				head, rest, found := strings.Cut(text, at+"\n")
				require.True(t, found, at)
				old := regexp.MustCompile(`(?m)^(# )?` + name + ` = .*$`).FindString(rest)
				require.NotEmpty(t, old, line)
				text = head + at + "\n" + strings.Replace(rest, old, line, 1)
			}
			f, err := config.Parse([]byte(text))
			require.NoError(t, err, b.Snippet(s))
			r, err := rulesOf(f)
			require.NoError(t, err)
			assert.InDelta(t, x, b.knobs[i].now(r), 0.06, "%s: rounded to tenths of a degree", k.Key)
		}
	}
	run := slices.IndexFunc(b.Knobs(), func(k tune.Knob) bool { return k.Key == "carry.minimum_run" })
	s := set0(b)
	s[run] = 10
	assert.Contains(t, b.Snippet(s), "stir_for = \"10 min\"")
}

// A knob of the plan that the file leaves to the plant starts from what the plan goes by.
func TestThePlansKnobsStartFromThePlants(t *testing.T) {
	t.Parallel()
	f := spending(t, "large", config.ByPlan, nil)
	s, ok, err := agent.Planner(f)
	require.NoError(t, err)
	require.True(t, ok)
	require.Zero(t, f.Loop().Plan.Thrift)
	b, err := NewBench(f)
	require.NoError(t, err)
	for _, k := range b.Knobs() {
		if k.Key == "plan.thrift" {
			assert.InDelta(t, night.Usual(s.Twin).Thrift, k.Now, 0)
		}
	}
}

// A memory gives back what was flown, over a torn last line, and refuses another search's.
func TestMemory(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "flights")
	m, err := Remember(path, "a")
	require.NoError(t, err)
	a, spent := tune.Ask{Set: tune.Set{8, 3}, Stretch: 2, Draw: 1}, season.Spent{Squared: 12.5, Battery: 0.3, Starts: 7, Hours: 700}
	_, known := m.Of(&a)
	require.False(t, known)
	require.NoError(t, m.Keep(&a, spent))
	require.NoError(t, m.Close())
	f, err := os.OpenFile(path, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = f.WriteString(`{"ask":{"Set":[1`)
	require.NoError(t, err)
	require.NoError(t, f.Close())

	m, err = Remember(path, "a")
	require.NoError(t, err)
	got, known := m.Of(&a)
	assert.True(t, known)
	assert.Equal(t, spent, got)
	b := a
	b.Short = true
	_, known = m.Of(&b)
	assert.False(t, known)
	require.NoError(t, m.Keep(&b, spent), "behind what was torn")
	require.NoError(t, m.Close())
	m, err = Remember(path, "a")
	require.NoError(t, err)
	_, known = m.Of(&b)
	assert.True(t, known)
	require.NoError(t, m.Close())
	_, err = Remember(path, "b")
	require.ErrorIs(t, err, ErrOther)
	for text, want := range map[string]error{`{"of":"a`: nil, "{": nil, "": nil, "[site]": ErrOther, "[site]\n": ErrOther} {
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		m, err = Remember(path, "a")
		require.ErrorIs(t, err, want, text)
		if err == nil {
			require.NoError(t, m.Close())
		} else {
			kept, err := os.ReadFile(path)
			require.NoError(t, err)
			assert.Equal(t, text, string(kept), "what is not ours is left alone")
		}
	}
	var none *Memory
	_, known = none.Of(&a)
	assert.False(t, known)
	require.NoError(t, none.Keep(&a, spent))
}
