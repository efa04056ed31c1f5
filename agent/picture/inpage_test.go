package picture

import (
	"bytes"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/svgtest"
	"duskloop/sensors/quantity"
)

// ids are all ids of a picture, and what refers to them.
func ids(t *testing.T, p Picture, id string) (all, referred []string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, InPage(&b, p, id))
	assert.True(t, strings.HasPrefix(b.String(), "<svg "), "no declaration before it")
	e, err := svgtest.Parse(&b)
	require.NoError(t, err)
	e.Walk(func(x *svgtest.Element) {
		if id, is := x.Attr["id"]; is {
			all = append(all, id)
		}
		referred = append(referred, strings.Fields(x.Attr["aria-labelledby"])...)
	})
	return all, referred
}

// Several pictures stand on one page: no id is there twice, and each picture refers to
// its own title and description.
func TestPicturesOnOnePage(t *testing.T) {
	t.Parallel()
	seen := make(map[string]bool)
	for id, p := range map[string]Picture{
		"night": ways(t, 3, quantity.SI), "night-us": ways(t, 2, quantity.US), "winter": worst(winter(t, 24*60)),
		"size": &Curves{Title: "a", Lines: []Curve{{Name: "b", Points: straight(9)}}}, "helps": &Bars{Title: "c", Rows: []Bar{{Name: "d", Value: 1}}},
	} {
		all, referred := ids(t, p, id)
		assert.Len(t, all, 2)
		assert.ElementsMatch(t, all, referred)
		for _, x := range all {
			assert.False(t, seen[x], "%s is there twice", x)
			seen[x] = true
		}
	}
}

// A file and a page have the same picture, but for its ids.
func TestInPageIsTheFile(t *testing.T) {
	t.Parallel()
	var file, page bytes.Buffer
	require.NoError(t, ways(t, 2, quantity.SI).Write(&file))
	require.NoError(t, InPage(&page, ways(t, 2, quantity.SI), "a"))
	_, inside, _ := strings.Cut(file.String(), "\n")
	assert.Equal(t, inside, strings.NewReplacer(`"a-title a-desc"`, `"title desc"`, `"a-title"`, `"title"`, `"a-desc"`, `"desc"`).Replace(page.String()))
}

func TestInPageRefuses(t *testing.T) {
	t.Parallel()
	for _, id := range []string{"", "two words", "1st", `a"b`, "ä"} {
		require.ErrorContains(t, InPage(&bytes.Buffer{}, ways(t, 1, quantity.SI), id), "a letter first", id)
	}
	require.ErrorIs(t, InPage(&bytes.Buffer{}, &Beside{}, "a"), ErrNothing)
}
