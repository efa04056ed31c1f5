package sizing_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"

	"duskloop/agent/sizing"
	"duskloop/sensors/quantity"
)

// cold is a worksheet with levers, by hand.
func cold(t *testing.T, file string) *sizing.Worksheet {
	t.Helper()
	s := invented(t, file, 10)
	w := sheet(t, s)
	for _, keys := range []map[string]string{{"tunnel.cover_loss": "10 W/K"}, {"tank.loss": "0.3 W/K"}} {
		x, err := s.Try(sizing.Set(keys))
		require.NoError(t, err)
		w.Levers = append(w.Levers, x)
	}
	sizing.Rank(w.Levers, w.With)
	return w
}

// The page stands alone: nothing is fetched, every id is there once, every table's rows
// are as long as its head, and nothing that a grower wrote is taken for markup.
func TestPageStandsAlone(t *testing.T) {
	t.Parallel()
	w := cold(t, "plant-large.toml")
	w.Site = `<b onclick="x">Alder & Hollow</b>`
	var b bytes.Buffer
	require.NoError(t, w.Page(quantity.US).Write(&b))
	text := b.String()
	assert.NotContains(t, text, `<b onclick`)
	assert.NotRegexp(t, `(?i)(src|href)\s*=|@import|url\(|<script|<link|<iframe`, text)
	ids := map[string]int{}
	for _, m := range regexp.MustCompile(`\sid="([^"]*)"`).FindAllStringSubmatch(text, -1) {
		ids[m[1]]++
	}
	assert.GreaterOrEqual(t, len(ids), 11)
	for id, n := range ids {
		assert.Equal(t, 1, n, id)
	}
	assert.GreaterOrEqual(t, strings.Count(text, "<svg"), 4)
	doc, err := html.Parse(strings.NewReader(text))
	require.NoError(t, err)
	assert.Equal(t, 11, count(doc, "section"))
	for _, s := range w.Sections(quantity.US) {
		for _, r := range s.Rows {
			assert.Len(t, r, len(s.Head), s.Title)
		}
	}
}

func count(n *html.Node, name string) (sum int) {
	if n.Type == html.ElementNode && n.Data == name {
		sum++
	}
	for k := n.FirstChild; k != nil; k = k.NextSibling {
		sum += count(k, name)
	}
	return sum
}

// The grower's units throughout: no °C in a sheet for °F, nor the other way round; and the
// cautions stand in both.
func TestSheetSpeaksTheGrowersUnits(t *testing.T) {
	t.Parallel()
	w := cold(t, "plant-large.toml")
	us, si := text(w, quantity.US), text(w, quantity.SI)
	us, si = strings.ReplaceAll(us, "Water at 60 °C (140 °F)", ""), strings.ReplaceAll(si, "Water at 60 °C (140 °F)", "")
	us, si = strings.ReplaceAll(us, "below 0 °C (32 °F)", ""), strings.ReplaceAll(si, "below 0 °C (32 °F)", "")
	assert.NotContains(t, us, "°C")
	assert.NotContains(t, us, "K²h")
	assert.NotRegexp(t, `\d L of`, strings.ReplaceAll(us, "bottles of 2 L of water", ""))
	assert.NotContains(t, si, "°F")
	assert.NotContains(t, si, "Btu")
	assert.NotContains(t, si, "gal")
	for _, words := range []string{us, si} {
		assert.Contains(t, words, "independent thermal cut-out")
		assert.Contains(t, words, "relief valve")
		assert.Contains(t, words, "cover the panels first")
		assert.Contains(t, words, "Never ethylene glycol")
		assert.NotContains(t, words, "NaN")
		assert.NotContains(t, words, "Inf")
		assert.NotContains(t, words, "%!")
	}
}

// What can hurt stands right behind the verdict, before anything else is said.
func TestDangersComeFirst(t *testing.T) {
	t.Parallel()
	s := set(t, invented(t, "", 20), map[string]string{
		"tank.volume": "2 L", "tank.loss": "0.2 W/K", "tank.glycerin": "5 %", "tank.closed": "true", "tank.vessel": "2.4 L",
	})
	first := sheet(t, s).Sections(quantity.SI)[0]
	require.GreaterOrEqual(t, len(first.Says), 6)
	assert.True(t, strings.HasPrefix(first.Says[0], "No. "), first.Says[0])
	for _, beware := range first.Says[1:5] {
		assert.True(t, strings.HasPrefix(beware, "Beware: "), beware)
	}
	all := strings.Join(first.Says, "\n")
	assert.Contains(t, all, "too hot (tank.hot)")
	assert.Contains(t, all, "the mix freezes at")
	assert.Contains(t, all, "no relief valve: it can burst")
	assert.Contains(t, all, "the label of the element's panels is not told")
	words := text(sheet(t, s), quantity.SI)
	assert.Contains(t, words, "17 % of it is air when it is filled cold")
	assert.Contains(t, words, "over the air outside")
}
