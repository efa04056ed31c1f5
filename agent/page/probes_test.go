package page

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withDevices is a moment with three probes on the bus, one of them in no file, and one dead.
func withDevices(at time.Time) *Moment {
	m := moment(at)
	m.Devices = []Device{
		{ID: "28-0a1de0110001", Place: "tunnel", Known: true, C: 6.6}, {ID: "28-0a1de0110002", Place: "tank", Known: true, C: 52},
		{ID: "28-0a1de0110003", Place: "bed", Trouble: "no answer"}, {ID: "28-0a1de0110009", Known: true, C: 19},
	}
	return m
}

// Every device on the bus is listed, also one that the file does not name; each is compared
// with what it read when the view was opened, and the one that moved most is said.
func TestProbesSayWhichMoved(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(withDevices(now))
	text := b.ask("GET", "/probes", nil).Body.String()
	assert.Positive(t, b.house.sought, "the bus is looked through")
	for _, say := range []string{"28-0a1de0110001", "28-0a1de0110003", "28-0a1de0110009", "not in the file", "no answer", "Compared with 22:04"} {
		assert.Contains(t, text, say)
	}
	assert.NotContains(t, text, "moved most")
	assert.NotContains(t, text, "The pump is on")
	again, _ := shownForm(t, text, "/probes")
	require.NotEmpty(t, again.Get("base"))

	m := withDevices(now.Add(30 * time.Second))
	m.Devices[3].C, m.Devices[1].C = 26, 52.3
	m.Decision.Outputs.Pump, m.Unseen = 1, "The bus could not be looked through"
	b.Show(m)
	text = b.ask("GET", "/probes?base="+url.QueryEscape(again.Get("base")), nil).Body.String()
	assert.Equal(t, 1, strings.Count(text, "moved most"))
	_, moved, _ := strings.Cut(text, `class="most"`)
	moved, _, _ = strings.Cut(moved, "</tr>")
	assert.Contains(t, moved, "&#43;7.0\u00a0K")
	assert.Contains(t, moved, "28-0a1de0110009")
	assert.Contains(t, text, "Compared with 22:04", "from when it was opened")
	assert.Contains(t, text, "coil and return move by themselves")
	assert.Contains(t, text, "The bus could not be looked through")
	for _, bad := range []string{"x", "-5.-.a_b", "1e9", "99999999999999999999", "1.-.28-0a1de0110009_NaN", "1.-." + strings.Repeat("a_1.-.", 500)} {
		assert.Equal(t, http.StatusOK, b.ask("GET", "/probes?base="+url.QueryEscape(bad), nil).Code, bad)
	}
}

// The stream of that view sends the list with each tick, against the same beginning.
func TestProbesAreLive(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(withDevices(now))
	from := baseNow(withDevices(now)).String()
	m := withDevices(now.Add(10 * time.Second))
	m.Devices[0].C = 9
	r := httptest.NewRequest("GET", staged(stageProbes, "base="+url.QueryEscape(from)), nil)
	e, err := b.eventFor(r, m, nil, taste{zone: zone})
	require.NoError(t, err)
	assert.Contains(t, string(e), "event: moment\ndata: ")
	assert.Contains(t, string(e), "43;2.4\u00a0K")
	assert.Contains(t, string(e), "moved most")
	assert.Positive(t, b.house.sought)
	head, err := b.eventFor(httptest.NewRequest("GET", staged(stageHead, ""), nil), m, nil, taste{zone: zone})
	require.NoError(t, err)
	assert.Equal(t, "event: moment\ndata: {\"time\":\"Thursday 15 January, 22:04\"}\n\n", string(head))
}

// A probe is given its place by the exact line for the file, with what must go from it; it
// is said that the page writes no file.
func TestProbesAreNamed(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(withDevices(now))
	ask := func(device, place string) string {
		return b.ask("GET", "/probes?device="+url.QueryEscape(device)+"&place="+url.QueryEscape(place), nil).Body.String()
	}
	text := ask("28-0a1de0110009", "tank")
	for _, say := range []string{
		`value="tank = &#34;28-0a1de0110009&#34;"`, "This page does not write the greenhouse file", "<code>[loop.bench.probes]</code>",
		"in place of the one that names <code>28-0a1de0110002</code>", "A wrong probe at the tank hides", "duskloop check",
	} {
		assert.Contains(t, text, say)
	}
	text = ask("28-0a1de0110001", "outdoors")
	assert.Contains(t, text, `value="outdoors = &#34;28-0a1de0110001&#34;"`)
	assert.Contains(t, text, "Take the line <code>tunnel = &#34;28-0a1de0110001&#34;</code> out")
	assert.NotContains(t, text, "in place of the one")
	for _, bad := range [][2]string{{"28-0a1de011ffff", "tank"}, {"28-0a1de0110001", "moon"}, {`"`, "tank"}} {
		text = ask(bad[0], bad[1])
		assert.Contains(t, text, "Choose one of the probes")
		assert.NotContains(t, text, "The line to copy")
	}
}
