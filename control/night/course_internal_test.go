package night

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A course is the story's own plan, step by step: its coldest air over the night is the
// story's, and so is the band there. A step that has passed is left out, and what was
// handed out is not changed.
func TestCourseIsTheStorysPlan(t *testing.T) {
	t.Parallel()
	m, _ := lived(20, 8, nil)
	m.Think(m.set.Budget)
	a := m.Advice()
	require.NotNil(t, a.Course)
	c := *a.Course
	require.NotEmpty(t, c)
	from := int(m.told - m.planned)
	low, colder, at := 99.0, 99.0, time.Time{}
	bare, bareLow, bareAt := 99.0, 99.0, time.Time{}
	for i, x := range c {
		assert.LessOrEqual(t, x.Low, x.Air)
		assert.GreaterOrEqual(t, x.High, x.Air)
		if i > 0 {
			assert.Equal(t, 10*time.Minute, x.At.Sub(c[i-1].At))
		}
		if from+i >= m.plan.ends(from) {
			continue
		}
		if x.Air < low {
			low, at = x.Air, x.At
		}
		colder = min(colder, x.Low)
		if x.Unheated.Air < bare {
			bare, bareAt = x.Unheated.Air, x.At
		}
		bareLow = min(bareLow, x.Unheated.Low)
		assert.LessOrEqual(t, x.Unheated.Air, x.Air+0.01, "less heat is no warmer")
	}
	assert.InDelta(t, a.Story.Coldest, low, 1e-9)
	assert.Equal(t, a.Story.ColdestAt, at)
	assert.InDelta(t, a.Story.Low, colder, 1e-9)
	assert.InDelta(t, a.Story.Unheated, bare, 1e-9)
	assert.InDelta(t, a.Story.UnheatedLow, bareLow, 1e-9)
	assert.Equal(t, a.Story.UnheatedAt, bareAt)
	assert.LessOrEqual(t, len(c), courseSteps)
	later := m.plan.expect(m.begun, from+5)
	assert.Equal(t, c[5], later[0])
}
