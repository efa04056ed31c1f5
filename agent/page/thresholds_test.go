package page

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// shownForm is what a browser would send of the form with an action: its fields by name, its
// buttons in their order.
func shownForm(t *testing.T, text, action string) (values url.Values, buttons []string) {
	t.Helper()
	doc, err := html.Parse(strings.NewReader(text))
	require.NoError(t, err)
	values = url.Values{}
	of := func(n *html.Node, name string) string {
		for _, a := range n.Attr {
			if a.Key == name {
				return a.Val
			}
		}
		return ""
	}
	walk(doc, func(n *html.Node) {
		if n.Data != "form" || of(n, "action") != action {
			return
		}
		walk(n, func(k *html.Node) {
			switch {
			case k.Data == "input":
				values.Set(of(k, "name"), of(k, "value"))
			case k.Data == "button":
				buttons = append(buttons, of(k, "name"))
			}
		})
	})
	return values, buttons
}

// What is applied is what was looked at: Enter in a field looks, the look lists each change,
// and its own form holds these and nothing else, whatever is written beside it meanwhile.
func TestOnlyWhatWasLookedAtIsApplied(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	b.enter(t)
	form, buttons := shownForm(t, b.ask("GET", "/thresholds", nil).Body.String(), "/thresholds")
	require.NotEmpty(t, buttons)
	for _, name := range buttons {
		assert.Equal(t, "look", name, "no button of the form that is written in applies")
	}
	form.Set("crop.minimum", "6 °C")
	text := b.ask("POST", "/thresholds", form).Body.String()
	assert.Contains(t, text, "crop minimum: 5\u00a0°C → 6\u00a0°C")
	_, buttons = shownForm(t, text, "/thresholds")
	assert.NotContains(t, buttons, "apply")
	deed, buttons := shownForm(t, text, "/thresholds/make")
	assert.Equal(t, []string{"apply"}, buttons)
	assert.Equal(t, url.Values{"crop.minimum": {"6 °C"}, "was.crop.minimum": {"5 °C"}}, deed)
	require.Equal(t, http.StatusSeeOther, b.ask("POST", "/thresholds/make", deed).Code)
	require.Len(t, b.house.commands, 1)
	assert.Contains(t, b.house.commands[0], `"set":{"crop.minimum":"6 °C"}}`)
}

// A form that was made before somebody else's change does not put that back, and what it
// changes itself is refused beside its field where the ground has moved.
func TestAStaleFormPutsNothingBack(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	b.enter(t)
	form, _ := shownForm(t, b.ask("GET", "/thresholds", nil).Body.String(), "/thresholds")
	b.house.warmer = 2 // another session's change
	form.Set("carry.start_difference", "9 K")
	text := b.ask("POST", "/thresholds", form).Body.String()
	deed, _ := shownForm(t, text, "/thresholds/make")
	assert.Equal(t, url.Values{"carry.start_difference": {"9 K"}, "was.carry.start_difference": {"8 K"}}, deed, "the minimum was not touched here")
	require.Equal(t, http.StatusSeeOther, b.ask("POST", "/thresholds/make", deed).Code)

	for _, path := range []string{"/thresholds", "/thresholds/make"} {
		w := b.ask("POST", path, url.Values{"crop.minimum": {"6 °C"}, "was.crop.minimum": {"5 °C"}})
		assert.Equal(t, http.StatusUnprocessableEntity, w.Code)
		assert.Contains(t, w.Body.String(), `<p id="fault-crop-minimum" class="fault">It was changed meanwhile to 7 °C, from 5 °C.`)
		again, _ := shownForm(t, w.Body.String(), "/thresholds")
		assert.Equal(t, "6 °C", again.Get("crop.minimum"), "what was written stays")
		assert.Equal(t, http.StatusOK, b.ask("POST", "/thresholds", again).Code, "and can be looked at from the new ground")
	}
	assert.Len(t, b.house.commands, 1)
}

// The switch of units changes no setting: a form made before it holds no change, and what is
// written in the other family is the value that it is.
func TestUnitsChangeNoSetting(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	b.enter(t)
	form, _ := shownForm(t, b.ask("GET", "/thresholds", nil).Body.String(), "/thresholds")
	b.taste = b.ask("POST", "/figures", url.Values{"figures": {"us12"}}).Result().Cookies()[0]
	both := func(path string, form url.Values) (string, int) {
		w := b.ask("POST", path, form)
		return w.Body.String(), w.Code
	}
	text, code := both("/thresholds", form)
	assert.Equal(t, http.StatusUnprocessableEntity, code)
	assert.Contains(t, text, "Nothing is changed")
	shown, _ := shownForm(t, text, "/thresholds")
	assert.Equal(t, "2.7 °F", shown.Get("carry.fan_margin"))
	form.Set("crop.minimum", "41.0 °F") // 5 °C
	text, _ = both("/thresholds", form)
	assert.Contains(t, text, "Nothing is changed")
	form.Set("crop.minimum", "44 °F")
	text, code = both("/thresholds", form)
	assert.Equal(t, http.StatusOK, code)
	deed, _ := shownForm(t, text, "/thresholds/make")
	assert.Equal(t, url.Values{"crop.minimum": {"44 °F"}, "was.crop.minimum": {"5 °C"}}, deed)
	_, code = both("/thresholds/make", deed)
	assert.Equal(t, http.StatusSeeOther, code)
}

// Where limits of tank and battery are written, and where their change is looked at, it
// stands that software is no safeguard and what must be there.
func TestCautionsStandWhereOneActs(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	b.Show(moment(now))
	text := b.ask("GET", "/thresholds", nil).Body.String()
	assert.Contains(t, text, "The element needs its own thermal cut-out, rated for DC, and the tank a relief valve")
	assert.Contains(t, text, "The battery needs its own fuse")
	b.enter(t)
	for change, say := range map[string]string{"tank.hot=85 °C": "thermal cut-out, rated for DC", "battery.cut_off=11.5 V": "needs its own fuse"} {
		form, err := url.ParseQuery(change)
		require.NoError(t, err)
		text = b.ask("POST", "/thresholds", form).Body.String()
		_, preview, _ := strings.Cut(text, `class="preview"`)
		preview, _, _ = strings.Cut(preview, "</section>")
		assert.Contains(t, preview, say)
	}
	form := url.Values{"crop.minimum": {"6 °C"}}
	_, preview, _ := strings.Cut(b.ask("POST", "/thresholds", form).Body.String(), `class="preview"`)
	preview, _, _ = strings.Cut(preview, "</section>")
	assert.NotContains(t, preview, "caution")
}

// A preview's outlook of tonight says that nothing of it comes while heat is barred.
func TestPreviewSaysThatHeatIsBarred(t *testing.T) {
	t.Parallel()
	b := newBench(t)
	m := moment(now)
	held(m)
	b.Show(m)
	b.enter(t)
	text := b.ask("POST", "/thresholds", url.Values{"crop.minimum": {"6 °C"}}).Body.String()
	assert.Contains(t, text, "Nothing heats the tunnel: held off by hand until 10:04. What is said of tonight is as if that were over.")
	m = moment(now)
	b.Show(m)
	assert.NotContains(t, b.ask("POST", "/thresholds", url.Values{"crop.minimum": {"6 °C"}}).Body.String(), "Nothing heats")
}
