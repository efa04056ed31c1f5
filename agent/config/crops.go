package config

import (
	"fmt"
	"strings"

	"duskloop/sensors/quantity"
)

// CropKind is a crop by its plain name; empty for none.
type CropKind string

// Set reads a name out of the table, or nothing.
func (k *CropKind) Set(text string) error {
	if _, known := Standing(CropKind(text)); text != "" && !known {
		return fmt.Errorf("no crop is known here as %q", text)
	}
	*k = CropKind(text)
	return nil
}

// String is the name.
func (k CropKind) String() string { return string(k) }

// Bound is a temperature that a crop stands, with where it is from.
type Bound struct {
	At     quantity.Celsius
	Source string
}

// Stands is what seedlings of a crop stand, as tunnel air.
type Stands struct {
	Kind                            CropKind
	Minimum, Comfort, Maximum, Harm Bound
}

// Standing is the table's row of a crop; false where it has none.
func Standing(k CropKind) (Stands, bool) {
	for _, row := range crops() {
		if row.Kind == k {
			return row, true
		}
	}
	return Stands{}, false
}

// kinds lists the names there are.
func kinds() string {
	var names []string
	for _, row := range crops() {
		names = append(names, string(row.Kind))
	}
	return strings.Join(names, ", ")
}

// Where the figures are from.
//
// Emergence: J. F. Harrington & P. A. Minges, Vegetable Seed Germination, 1954, as
// Knott's Handbook for Vegetable Growers, 1997, gives it: days to emergence at soil
// temperatures of 0 to 35 °C. Comfort is a temperature from which more of it saves
// little; which one is our judgement. Maximum, for want of a figure for air, is the
// highest soil temperature for germination of an extension table (Oregon State's, by a
// transcription), never above 35 °C, which is our judgement. Damage: ranges of
// frost damage of PMC10202904, table 2, upper end; 2 K less hardy for soft seedlings
// (from memory, unverified). Holding: E. Runkle, Perils of low temperature, Greenhouse
// Product News: nearly all crops stand an average of 10 °C, cold-tolerant ones 2 to
// 4 °C, basil nothing below 13 °C. Chilling: FAO, Frost Protection, vol. 1, ch. 4: crops
// from the tropics suffer below some 12.5 °C.
//
// Wrong figures spend heat that a harder night needs, or let seedlings stand in the
// cold: a grower who knows better writes his own.
const (
	emerges   = "Harrington & Minges 1954: "
	germinate = "highest for germination, of soil: "
	judged    = "our judgement"
	holding   = "Runkle, Greenhouse Product News: "
	tropical  = "chilling below it in crops from the tropics: FAO, Frost Protection 1, ch. 4"
	damaged   = "PMC10202904, table 2: frost damage "
	hardy     = judged + "; " + holding + "cold-tolerant crops are held at 2 to 4 °C"
	soft      = ", and 2 K for soft seedlings (from memory)"
	heldBack  = judged + ", below the germination table's "
)

// crops is the table, of crops whose figures have at least one source.
func crops() []Stands { return append(hardyCrops(), tenderCrops()...) }

// hardyCrops stand a light frost once they are hardened.
func hardyCrops() []Stands {
	row := func(k CropKind, days string, maximum, harm Bound) Stands {
		return Stands{Kind: k, Minimum: Bound{2, hardy}, Comfort: Bound{10, days}, Maximum: maximum, Harm: harm}
	}
	return []Stands{
		row("lettuce", emerges+"15 days at 5 °C, 7 at 10, 4 at 15",
			Bound{29, germinate + "85 °F"}, Bound{0, damaged + "from -2 °C in spring" + soft}),
		row("spinach", emerges+"23 days at 5 °C, 12 at 10, 7 at 15",
			Bound{23.5, germinate + "75 °F"}, Bound{-5, damaged + "from -7 °C" + soft}),
		row("onion", emerges+"31 days at 5 °C, 13 at 10, 7 at 15",
			Bound{35, germinate + "95 °F"}, Bound{-2, damaged + "from -4 °C" + soft}),
		row("brassica", emerges+"cabbage 15 days at 10 °C, 9 at 15",
			Bound{35, germinate + "95 °F, cabbage"}, Bound{-2, damaged + "from -4 °C in leaves of cabbage, broccoli and kale" + soft}),
		row("pea", emerges+"36 days at 5 °C, 14 at 10, 9 at 15",
			Bound{30, "highest with known emergence, Harrington & Minges 1954"}, Bound{0, damaged + "from -2 °C in spring" + soft}),
		row("carrot", emerges+"51 days at 5 °C, 17 at 10, 10 at 15",
			Bound{30, "highest with known emergence, Harrington & Minges 1954"}, Bound{-2, damaged + "from -4 °C" + soft}),
		row("hardy seedlings", judged+", as for lettuce",
			Bound{29, judged + ", as for lettuce"}, Bound{0, judged + ", as for lettuce, the softest of them"}),
	}
}

// tenderCrops are harmed by cold long before it freezes.
func tenderCrops() []Stands {
	average := Bound{10, holding + "nearly all crops stand an average of 10 °C, not less"}
	return []Stands{
		{"tomato", Bound{8, judged + ", between damage at 5 °C and the 10 °C that nearly all crops stand"},
			Bound{15, emerges + "43 days at 10 °C, 14 at 15, 8 at 20"}, Bound{35, germinate + "95 °F"},
			Bound{5, damaged + "from 5 °C"}},
		{"pepper", Bound{12.5, tropical}, Bound{15, emerges + "none at 10 °C, 25 days at 15, 13 at 20"},
			Bound{35, germinate + "95 °F"}, average},
		{"cucumber", Bound{12.5, tropical}, Bound{15, emerges + "none at 10 °C, 13 days at 15, 6 at 20"},
			Bound{35, heldBack + "105 °F"}, average},
		{"basil", Bound{13, holding + "not below 13 °C"}, Bound{15, judged},
			Bound{30, judged}, Bound{10, judged + ", as for other crops from the tropics"}},
	}
}

// harmless is a harm that never comes: every kelvin below the minimum counts alike.
const harmless = -40

// kindsHarm says where a loop's harm is from if the grower wrote none, and what to do.
func (f *File) kindsHarm(l *Loop) string {
	row, known := Standing(l.Crop.Kind)
	_, written := f.written["loop."+l.Name+".crop.harm"]
	if !known || written || l.Crop.Harm != row.Harm.At {
		return ""
	}
	return fmt.Sprintf("; it comes from crop.kind = %q, not from you: change crop.minimum and crop.harm together", string(l.Crop.Kind))
}

// stand puts the kind's figures in place of what the file does not write; written
// says which it does. A harm is never above the minimum, the grower's own included.
func (c *Crop) stand(written func(key string) bool) {
	row, known := Standing(c.Kind)
	if !known {
		return
	}
	for _, x := range []struct {
		key  string
		to   *quantity.Celsius
		from Bound
	}{
		{"crop.minimum", &c.Minimum, row.Minimum}, {"crop.comfortable", &c.Comfort, row.Comfort},
		{"crop.maximum", &c.Maximum, row.Maximum}, {"crop.harm", &c.Harm, row.Harm},
	} {
		if !written(x.key) {
			*x.to = x.from.At
		}
	}
	if !written("crop.harm") {
		c.Harm = min(c.Harm, c.Minimum)
	}
}
