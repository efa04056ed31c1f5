package config

import (
	"errors"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/control"
)

func TestExamplePassesItsOwnCheck(t *testing.T) {
	t.Parallel()
	f, err := Parse([]byte(Example()))
	require.NoError(t, err)
	assert.Equal(t, "Alder Hollow", string(f.Site.Name))
	assert.Equal(t, "bench", f.Loop().Name)
	assert.InDelta(t, 6.3*3.785411784, float64(f.Loop().Tank.Volume), 1e-9, "6.3 US gallons in litres (NIST SP 811)")
	assert.InDelta(t, 14*5.0/9, float64(f.Loop().Carry.Start), 1e-9, "a difference of 14 °F is 7.8 K, not -10 °C")
	assert.InDelta(t, (43-32)*5.0/9, float64(f.Loop().Crop.Minimum), 1e-9)
}

func TestExampleShowsEveryKey(t *testing.T) {
	t.Parallel()
	text := Example()
	for _, table := range [][]field{common(), perLoop()} {
		for _, x := range table {
			assert.Regexp(t, `(?m)^(# )?`+x.name()+` = `, text, x.key)
			assert.NotEmpty(t, sectionIntro[x.section()], x.section())
		}
	}
}

// with is the example with one line replaced.
func with(t *testing.T, from, to string) []byte {
	t.Helper()
	text := Example()
	require.Equal(t, 1, strings.Count(text, "\n"+from+"\n"), from)
	return []byte(strings.Replace(text, "\n"+from+"\n", "\n"+to+"\n", 1))
}

func TestFaults(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, from, to, key, problem string }{
		{"unknown key", `draw = "7 W"`, "draw = \"7 W\"\ndrow = \"7 W\"", "loop.bench.pump.drow", "unknown key; perhaps pump.draw"},
		{"duplicate key", `draw = "7 W"`, "draw = \"7 W\"\ndraw = \"8 W\"", "loop.bench.pump.draw", "set again; first on line"},
		{"missing unit", `volume = "6.3 gal"`, `volume = "6.3"`, "loop.bench.tank.volume", "no unit"},
		{"bare number", `volume = "6.3 gal"`, `volume = 6.3`, "loop.bench.tank.volume", "no unit or no quotes"},
		{"wrong unit", `volume = "6.3 gal"`, `volume = "6.3 W"`, "loop.bench.tank.volume", "no unit of a volume"},
		{"a difference is no temperature", `minimum = "43 °F"`, `minimum = "6 K"`, "loop.bench.crop.minimum", "no unit of a temperature"},
		{"vessel too small", `volume = "6.3 gal"`, "volume = \"6.3 gal\"\nvessel = \"6 gal\"", "loop.bench.tank.vessel", "less than the"},
		{"out of range", `volume = "6.3 gal"`, `volume = "6300 gal"`, "loop.bench.tank.volume", "out of range"},
		{"not a number", `volume = "6.3 gal"`, `volume = "NaN gal"`, "loop.bench.tank.volume", "no number"},
		{"stop not below start", `stop_difference = "5 °F"`, `stop_difference = "8 K"`, "loop.bench.carry.stop_difference", "not below start_difference"},
		{"reserve below cut-off", `chemistry = "agm"`, "chemistry = \"agm\"\nreserve = \"9 %\"", "loop.bench.battery.reserve", "not above the charge"},
		{"one probe in two places", `coil = "28-0a1de0110002"`, `coil = "28-0a1de0110001"`, "loop.bench.probes.coil", "the same probe is at tank"},
		{"one line for two things", `line = 27`, `line = 17`, "loop.bench.fans.line", "switches the pump"},
		{"a label that contradicts itself", `resistance = "1.15 ohm"`, "resistance = \"1.15 ohm\"\nvoc = \"18 V\"\nvmp = \"18.4 V\"\nisc = \"6 A\"\nimp = \"5.4 A\"\ncells = 36", "loop.bench.element.voc", "is below Voc"},
		{"closed and open", `volume = "6.3 gal"`, "volume = \"6.3 gal\"\nclosed = true\n[loop.bench.model]\nopen_surface = \"0.05 m2\"\n[loop.bench.tank]", "loop.bench.model.open_surface", "a tank that is closed"},
		{"a pump too weak", "[loop.bench.model]", "[loop.bench.model]\npump_head = \"1 m\"\npipe_bore = \"4 mm\"\npipe_length = \"20 m\"", "loop.bench.model.pump_head", "of head at that flow, the pump gives 1 m"},
		{"a loop of drops", `volume = "3 cups"`, `volume = "10 mL"`, "loop.bench.coil.volume", "neither none nor at least"},
		{"probes on no loop", `volume = "3 cups"`, `volume = "0 L"`, "loop.bench.coil.volume", "shows that there is a loop"},
		{"fins without a loop", `volume = "3 cups"`, "volume = \"0 L\"\n[loop.bench.model]\ncoil_fins = \"40 W/K\"\n[loop.bench.coil]", "loop.bench.coil.volume", "told by its conductance"},
		{"a taper too steep", "[loop.bench.model]", "[loop.bench.model]\ntaper_band = \"0.1 K\"", "loop.bench.model.taper_band", "neither none nor at least"},
		{"no such controller", `chemistry = "agm"`, "chemistry = \"agm\"\ncontroller = \"magic\"", "loop.bench.battery.controller", "direct or maximum-power"},
		{"no time of day", `# quiet_from = "22:00"`, `quiet_from = "25:00"`, "phone.quiet_from", "write a time of day"},
		{"no severity", `# from = "error"`, `from = "grave"`, "phone.from", "no severity"},
		{"a duty without pwm", `draw = "7 W"`, "draw = \"7 W\"\nduty = \"60 %\"", "loop.bench.pump.duty", "needs pwm"},
		{"divider too small for the converter", `# panel_divider = 0`, `panel_divider = 11`, "daemon.panel_divider", "the input would see"},
		{"divider that makes more", `# panel_divider = 0`, `panel_divider = 0.5`, "daemon.panel_divider", "makes a voltage smaller"},
		{"no such place", `# place = "greenhouse"`, `place = "cellar"`, "loop.bench.battery.place", "no probe's place"},
		{"a list", `line = 27`, `line = [27]`, "loop.bench.fans.line", "has no place here"},
		{"a table twice", `line = 27`, "line = 27\n[loop.bench.crop]", "loop.bench.crop", "table opened again"},
		{"a missing key", `volume = "6.3 gal"`, ``, "loop.bench.tank.volume", "missing"},
		{"broken TOML", `line = 27`, `line = `, "file", "not TOML"},
		{"two loops", `line = 27`, "line = 27\n[loop.second.tank]\nvolume = \"5 L\"", "loop", "this version runs one loop"},
		{"a bad loop name", `line = 27`, "line = 27\n[loop.\"Bad Name\".tank]\nvolume = \"5 L\"", "loop.Bad Name.tank.volume", "cannot be called"},
		{"unknown word", `chemistry = "agm"`, `chemistry = "nickel"`, "loop.bench.battery.chemistry", "flooded, agm or lifepo4"},
		{"cut-out far below", `cut_out = "195 °F"`, `cut_out = "150 °F"`, "loop.bench.element.cut_out", "belongs near dangerously_hot"},
		{"no thermometer", `coil = "28-0a1de0110002"`, `coil = "kitchen"`, "loop.bench.probes.coil", "no thermometer's name"},
		{"no tank probe", `tank = "28-0a1de0110001"`, `tank = ""`, "loop.bench.probes.tank", "names no probe"},
		{"no address", `# address = "embedded"`, `address = "mybroker"`, "broker.address", "not an address"},
		{"metrics without a host", `# listen = "none"`, `listen = ":9110"`, "metrics.listen", "not an address"},
		{"metrics at a name", `# listen = "none"`, `listen = "greenhouse:9110"`, "metrics.listen", "this computer's own addresses"},
		{"metrics at no port", `# listen = "none"`, `listen = "127.0.0.1:0"`, "metrics.listen", "from 1 to 65535"},
		{"metrics at a service", `# listen = "none"`, `listen = "127.0.0.1:http"`, "metrics.listen", "from 1 to 65535"},
		{"poison", `glycerin = "35 % by weight"`, `ethylene_glycol = "35 %"`, "loop.bench.tank.ethylene_glycol", "unknown key"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, err := Parse(with(t, row.from, row.to))
			faults, ok := errors.AsType[Faults](err)
			require.True(t, ok, "%v", err)
			var seen []string
			for _, f := range faults {
				seen = append(seen, f.Error())
				if f.Key == row.key && strings.Contains(f.Error(), row.problem) {
					return
				}
			}
			assert.Failf(t, "fault not found", "want %s: %s\ngot %s", row.key, row.problem, strings.Join(seen, "\n"))
		})
	}
}

// A relation's fault stands alone, with its line, where nothing else is wrong.
func TestPumpTooWeakIsOneFault(t *testing.T) {
	t.Parallel()
	_, err := Parse(with(t, "[loop.bench.model]", "[loop.bench.model]\npump_head = \"1 m\"\npipe_bore = \"4 mm\"\npipe_length = \"20 m\""))
	faults, ok := errors.AsType[Faults](err)
	require.True(t, ok)
	require.Len(t, faults, 1)
	assert.Positive(t, faults[0].Line)
	assert.NotContains(t, faults[0].Problem, "outside")
	f, err := Parse(with(t, `tilt = "62 deg"`, `tilt = "50 deg"`))
	require.NoError(t, err)
	assert.Positive(t, f.Line("loop.bench.element.tilt"))
	assert.Zero(t, f.Line("loop.bench.model.pump_head"))
}

func TestAllFaultsComeAtOnceWithTheirLines(t *testing.T) {
	t.Parallel()
	text := strings.NewReplacer(`volume = "6.3 gal"`, `volume = "6.3"`, `line = 27`, "line = 17\nlien = 3", `stop_difference = "5 °F"`, `stop_difference = "20 K"`).Replace(Example())
	_, err := Parse([]byte(text))
	faults, ok := errors.AsType[Faults](err)
	require.True(t, ok)
	require.Len(t, faults, 4)
	lines := strings.Split(text, "\n")
	last := 0
	for _, f := range faults {
		require.Positive(t, f.Line)
		assert.GreaterOrEqual(t, f.Line, last, "in the order of the file")
		last = f.Line
		name := f.Key[strings.LastIndex(f.Key, ".")+1:]
		assert.Contains(t, lines[f.Line-1], name, "line %d is the key's own", f.Line)
	}
}

func TestLiveChangesObeyTheFilesRules(t *testing.T) {
	t.Parallel()
	f := Demo()
	rows := []struct {
		name    string
		wanted  map[string]string
		problem string // empty: accepted
	}{
		{"by short name", map[string]string{"start_difference": "18 °F"}, ""},
		{"by section", map[string]string{"carry.start_difference": "9 K"}, ""},
		{"two that only fit together", map[string]string{"start_difference": "3 K", "stop_difference": "2 K"}, ""},
		{"out of range", map[string]string{"start_difference": "90 K"}, "out of range"},
		{"no unit", map[string]string{"start_difference": "9"}, "no unit"},
		{"contradicts another", map[string]string{"start_difference": "2 K"}, "not below start_difference"},
		{"not while running", map[string]string{"tank.volume": "9 L"}, "in the greenhouse file only"},
		{"no such", map[string]string{"carry.begin": "9 K"}, "no such setting"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			next, changes, err := f.With(row.wanted)
			if row.problem != "" {
				require.ErrorContains(t, err, row.problem)
				return
			}
			require.NoError(t, err)
			assert.Len(t, changes, len(row.wanted))
			assert.NotEqual(t, f.Loop().Carry, next.Loop().Carry)
			assert.InDelta(t, 14*5.0/9, float64(f.Loop().Carry.Start), 1e-9, "the original is untouched")
		})
	}
}

func TestSettingsCarryTheFilesValues(t *testing.T) {
	t.Parallel()
	s, err := Demo().Settings()
	require.NoError(t, err)
	assert.True(t, s.Fitted.Contactor)
	assert.False(t, s.Fitted.Level)
	assert.True(t, s.Fitted.Places[control.Return])
	assert.InDelta(t, 12, float64(s.Carry.Draw), 1e-9)
	// Lange's Handbook table 5.13: 30 % freezes at -9.5 °C, 40 % at -15.5 °C.
	assert.Less(t, float64(s.Frost.Freezing), -9.5)
	assert.Greater(t, float64(s.Frost.Freezing), -15.5)
}

func FuzzParse(f *testing.F) {
	f.Add([]byte(Example()))
	f.Add([]byte("[loop.a.tank]\nvolume = \"5 gal\"\n"))
	f.Add([]byte("a = [1, {b = 2}]\n[[c]]\nd.e = \"\\u00e9\""))
	f.Fuzz(func(t *testing.T, data []byte) {
		file, err := Parse(data)
		if (file == nil) == (err == nil) {
			t.Fatalf("a file or an error, not both or neither: %v", err)
		}
		if err == nil {
			if _, err := file.Settings(); err != nil {
				t.Fatalf("a checked file gives settings: %v", err)
			}
		}
	})
}

func TestFaultsSpeakTheGrowersUnits(t *testing.T) {
	t.Parallel()
	_, err := Parse(with(t, `hot = "176 °F"`, `hot = "260 °F"`))
	require.ErrorContains(t, err, "104 °F to 197.6 °F")
	_, err = Parse(with(t, `stop_difference = "5 °F"`, `stop_difference = "15 °F"`))
	require.ErrorContains(t, err, "start_difference of 14 °F")
	f, err := Parse([]byte(strings.Replace(Example(), `units = "us"`, `units = "si"`, 1)))
	require.NoError(t, err)
	_, _, err = f.With(map[string]string{"tank.hot": "260 °F"})
	require.ErrorContains(t, err, "40 °C to 92 °C")
}
