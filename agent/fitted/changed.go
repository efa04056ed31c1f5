package fitted

import (
	"math"
	"slices"

	"duskloop/sim/plant"
	"duskloop/sim/season"
)

// alike is how near a file's figure must be to what it was, as a share: a fit's file keeps four
// digits. Our choice.
const alike = 0.01

// Changed are the figures that a plant, by its file alone, has otherwise now than when it was
// fitted, and otherwise than they were found; Now is what it has. Coil and draw cannot be held
// against what they were where the file states them at other duties: they stand.
func (g *Greenhouse) Changed(p plant.Params, at Duties) (all []Changed) {
	if g == nil {
		return nil
	}
	now := figuresOf(p)
	near := func(a, b float64) bool { return math.Abs(a-b) <= alike*math.Abs(b) }
	for _, f := range g.Figures {
		if at != g.At && (f.Name == "coil" || f.Name == "pump and fans") {
			continue
		}
		if x, ok := now[f.Name]; ok && !near(x, f.File) && !near(x, f.Value) {
			all = append(all, Changed{f, x})
		}
	}
	if x, ok := now[tankHeat]; ok && g.TankHeat > 0 && !near(x, g.TankHeat) {
		all = append(all, Changed{Figure{Name: tankHeat, Unit: "J/K", File: g.TankHeat}, x})
	}
	return all
}

// Changed is a figure of a fit with what the file has now.
type Changed struct {
	Figure
	Now float64
}

// tankHeat is what every figure rests on.
const tankHeat = "heat of the tank"

// standing is the fit without the figures that the grower has changed since.
func (g *Greenhouse) standing(p plant.Params, at Duties) *Greenhouse {
	changed := g.Changed(p, at)
	if len(changed) == 0 {
		return g
	}
	next := *g
	next.Figures = slices.DeleteFunc(slices.Clone(g.Figures), func(f Figure) bool {
		return slices.ContainsFunc(changed, func(c Changed) bool { return c.Name == f.Name })
	})
	return &next
}

// figuresOf a plant, by name; none of one that cannot be.
func figuresOf(p plant.Params) map[string]float64 {
	t, _, err := season.TwinOf(p)
	if err != nil {
		return nil
	}
	return map[string]float64{
		"tank loss": t.TankLoss, "coil": t.Coil, "element": t.Element, "tunnel cover": t.Cover, "tunnel air heat": t.Air, "bed heat": t.Bed,
		"bed to air": t.BedToAir, "bed to soil": t.BedToSoil, "sun on air": t.AirSun, "sun on bed": t.BedSun,
		"pump and fans": t.Draw, "always on": t.Base, tankHeat: t.Tank,
	}
}
