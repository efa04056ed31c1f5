package agent

import (
	"encoding/json"
	"io"
	"os/exec"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "duskloop/"

// arrows are the import rules: what a room may use of ours. A room is a folder;
// the longest prefix counts. Each has its reason.
var arrows = []struct {
	room   string
	may    []string
	reason string
}{
	{"sensors/quantity", nil, "everybody speaks in quantities, so they depend on nobody"},
	{"sensors", []string{"sensors"}, "drivers must be usable and testable without a daemon, a model or a decision"},
	{"control/night", nil, "numbers in, numbers out: a plan must be fit for any greenhouse and any test"},
	{"control", []string{"control/night", "sensors/quantity"}, "a decision that did I/O could not be replayed, fuzzed or run through a winter"},
	{"sim/plant", []string{"sim", "sensors/quantity"}, "the greenhouse joins the subjects; it must not know who drives it"},
	{"sim/match", []string{"sim/pv", "sensors/quantity"}, "joins light and panels, and knows no place, weather or greenhouse"},
	{"sim/fit", []string{"control/night", "sensors/quantity"}, "finds the plan's own twin in minutes of a record, and knows no greenhouse that is simulated"},
	{"sim/tune", []string{"sim/season"}, "asks for flights and is told; it does not know what a knob turns"},
	{"sim/season", []string{"sim", "control", "sensors/quantity"}, "runs the decision against the greenhouse, without a daemon"},
	{"sim", []string{"sensors/quantity"}, "one physical subject each, so that each can be checked by itself"},
	{"agent/wire", []string{"control", "sensors/quantity"}, "documents are data"},
	{"agent/senml", nil, "an open standard, nothing of ours"},
	{"agent/outputs", []string{"control"}, "outputs obey decisions and know nothing else"},
	{"agent/hardware", nil, "opens the board for whoever asks"},
	{"agent/config", []string{"control", "sensors/quantity", "sim/cable", "sim/coil", "sim/fluid", "sim/pv", "agent/fitted"}, "reading a file opens nothing"},
	{"agent/fitted", []string{"sensors/quantity", "sim/fit", "sim/plant", "sim/season"}, "what a fit found, as a file and as figures"},
	{"agent/record", []string{"control", "sensors/quantity"}, "the past does not depend on who reads it"},
	{"agent/mqtt", []string{"agent/record", "agent/wire", "agent/senml", "control"}, "a reader of the record"},
	{"agent/phone", []string{"agent/record", "agent/wire", "control"}, "a reader of the record"},
	{"agent/nightly", []string{"agent/record", "agent/wire", "control", "sensors/quantity"}, "sums up the past that it is handed"},
	{"agent/picture", []string{"sensors/quantity"}, "draws what it is handed, and cannot look anything up"},
	{"agent/page", []string{"agent/page/access", "agent/picture", "agent/wire", "control", "sensors/quantity"}, "shows what it is handed, and asks the daemon through one door"},
	{"agent/metrics", []string{"control", "sensors/quantity"}, "shows what it is handed, and asks nobody"},
	{"agent/page/access", nil, "who may read and change is decided without knowing what"},
	{"agent/tuning", []string{"agent", "control", "sensors/quantity", "sim"}, "turns knobs of the same house that the daemon simulates"},
	{"agent/sizing", []string{"agent", "control", "sensors/quantity", "sim"}, "works out a heater on paper from the same house that the daemon simulates"},
	{"agent/internal", []string{"agent/internal"}, "help for tests only"},
	{"agent/duskloop", []string{"agent", "sensors", "control", "sim"}, "the command line, the tools behind it, and its test rig"},
	{"agent", []string{"agent", "sensors", "control", "sim"}, "the wiring knows all"},
}

// impure are standard packages that a pure room must not import: with them it
// could wait, read a clock that jumps, or touch the world.
var impure = []string{"os", "net", "net/http", "log", "log/slog", "database/sql", "sync", "context", "os/exec", "time/tzdata", "math/rand"}

type pkg struct {
	ImportPath string
	Imports    []string
}

func packages(t *testing.T) []pkg {
	t.Helper()
	out, err := exec.Command("go", "list", "-json=ImportPath,Imports", "-tags", "rig", module+"...").Output()
	require.NoError(t, err)
	var all []pkg
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p pkg
		if err := d.Decode(&p); err == io.EOF {
			return all
		} else {
			require.NoError(t, err)
		}
		all = append(all, p)
	}
}

// ruleFor finds the rule of a package.
func ruleFor(path string) int {
	best := -1
	for i, a := range arrows {
		if within(path, a.room) && (best < 0 || len(a.room) > len(arrows[best].room)) {
			best = i
		}
	}
	return best
}

func within(path, room string) bool { return path == room || strings.HasPrefix(path, room+"/") }

func TestArrows(t *testing.T) {
	t.Parallel()
	all := packages(t)
	require.Greater(t, len(all), 15, "the whole house was listed")
	for _, p := range all {
		path := strings.TrimPrefix(p.ImportPath, module)
		i := ruleFor(path)
		if !assert.GreaterOrEqual(t, i, 0, "%s has no rule: which room is it in?", path) {
			continue
		}
		for _, imported := range p.Imports {
			ours, is := strings.CutPrefix(imported, module)
			if !is || allowed(ours, arrows[i].may) {
				continue
			}
			t.Errorf("%s imports %s: %s", path, ours, arrows[i].reason)
		}
	}
}

func allowed(path string, may []string) bool {
	for _, m := range may {
		if within(path, m) {
			return true
		}
	}
	return false
}

// The decision core and the physics neither wait, nor log, nor touch the world.
func TestPureRoomsStayPure(t *testing.T) {
	t.Parallel()
	seen := 0
	for _, p := range packages(t) {
		path := strings.TrimPrefix(p.ImportPath, module)
		if !within(path, "control") && path != "agent/picture" && !within(path, "sim") {
			continue
		}
		seen++
		for _, imported := range p.Imports {
			assert.NotContains(t, impure, imported, "%s", path)
		}
	}
	assert.Greater(t, seen, 5)
}
