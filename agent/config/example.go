package config

import (
	"fmt"
	"strings"

	"duskloop/sensors/quantity"
)

// Demo is the embedded demonstration greenhouse, Alder Hollow. It is the
// example file, read back.
func Demo() *File {
	f, err := Parse([]byte(Example()))
	if err != nil {
		panic("the built-in example does not pass its own check: " + err.Error()) // a programmer's error; a test reads it
	}
	return f
}

// exampleLoop is the name of the loop in the example.
const exampleLoop = "bench"

// exampleValues are Alder Hollow's own values: an invented place and plant.
var exampleValues = map[string]string{
	"site.name": "Alder Hollow", "site.units": "us",
	"site.latitude": "44.2 deg", "site.longitude": "-78.6 deg", "site.elevation": "620 ft",
	"tank.volume": "6.3 gal", "tank.glycerin": "35 % by weight", "tank.loss": "0.42 W/K",
	"tank.hot": "176 °F", "tank.dangerously_hot": "190 °F",
	"element.panel": "420 W", "element.resistance": "1.15 ohm", "element.tilt": "62 deg", "element.facing": "175 deg",
	"element.cable": "0.03 ohm", "element.cut_out": "195 °F",
	"coil.conductance": "19 W/K", "coil.flow": "0.5 gal/min", "coil.volume": "3 cups",
	"tunnel.volume": "1400 L", "tunnel.cover_loss": "20 W/K", "tunnel.bed": "330 kJ/K",
	"house.floor": "70 sq ft", "house.cover_loss": "100 W/K",
	"pump.draw": "7 W", "pump.chip": "header", "pump.line": "17",
	"fans.draw": "5 W", "fans.chip": "header", "fans.line": "27",
	"contactor.chip": "header", "contactor.line": "22",
	"buzzer.chip": "header", "buzzer.line": "23",
	"crop.kind": "lettuce", "crop.minimum": "43 °F", "crop.comfortable": "48 °F", "crop.maximum": "86 °F",
	"carry.start_difference": "14 °F", "carry.stop_difference": "5 °F",
	"battery.chemistry": "agm", "battery.capacity": "34 Ah", "battery.panel": "60 W", "battery.computer": "2.2 W",
	"probes.tank": "28-0a1de0110001", "probes.coil": "28-0a1de0110002", "probes.return": "28-0a1de0110003",
	"probes.tunnel": "28-0a1de0110004", "probes.bed": "28-0a1de0110005", "probes.greenhouse": "28-0a1de0110006",
	"probes.outdoors": "28-0a1de0110007",
}

// Cautions are what must be read before anything is wired. They stand in the
// example, in the check and in the README alike.
func Cautions() []string {
	return []string{
		"This program is not a safeguard. Fit an independent thermal cut-out, rated for DC, on the element: the panel is wired straight to it and software cannot be trusted to cut it.",
		"A sealed vessel needs a pressure relief valve and room for the liquid to expand. Glass can shatter: do not heat liquid in it.",
		"DC arcs do not go out by themselves. Use switches and fuses rated for DC, sized to the cable.",
		"Water at 60 °C (140 °F) scalds in seconds. Keep water and wiring apart.",
		"Vent lead-acid batteries; they give off hydrogen. Never charge LiFePO4 below 0 °C (32 °F).",
		"Follow your local codes, and ask licensed trades where they say so.",
	}
}

// sectionIntro says before a section what the grower must know there.
var sectionIntro = map[string]string{
	"site":        "The greenhouse.",
	"daemon":      "The program itself.",
	"broker":      "Where messages go (MQTT 3.1.1).",
	"record":      "What is kept.",
	"phone":       "Messages to your telephone. Off until a secret file is named.",
	"page":        "The local page, for a telephone in the cold.",
	"metrics":     "The latest figures as OpenMetrics text, for what draws curves or watches machines.",
	"tank":        "The tank. A closed one needs a relief valve and room to expand; an open one needs refilling.",
	"element":     "Immersion element and the panel wired straight to it. Its thermal cut-out must be rated for DC and need no software. An element that is not covered by liquid burns.",
	"coil":        "Finned coil and pipes. A check valve keeps warm liquid from rising by itself.",
	"tunnel":      "The cover over the seedlings; for sums and simulation.",
	"house":       "The greenhouse around it; for simulation.",
	"pump":        "The pump. Fit a pull-down so that it is off while the computer starts or hangs, and a fuse that protects the cable.",
	"fans":        "The fans, likewise.",
	"contactor":   "The element's contactor, DC-rated and open when its coil has no power. It is a convenience beside the cut-out, never instead of it.",
	"buzzer":      "The buzzer.",
	"charger":     "A line that holds the charger of a LiFePO4 battery off while the battery is below 2 °C (36 °F): charging it frozen harms it for good. The probe of battery.place is taken for its case or its air, and the cell for hours behind it; after a start it is taken for frozen until the probe has been warm long enough. A dead computer leaves the charger working, so that the battery does not run flat; the battery's own protection is the safeguard, not this. For a charger with an enable input choose active_low so that the line's rest enables it.",
	"level":       "Level switch in the tank, wired so that high means liquid enough: a broken wire then reads as low, which is the safe side.",
	"crop":        "Tunnel air that the crop stands. The figures by kind are for seedlings as they are commonly held; your own seed merchant or extension office knows yours better.",
	"carry":       "When heat is carried.",
	"plan":        "How a plan spends heat (carry.spend). Leave it alone until duskloop tune says better.",
	"proof":       "How the loop shows that it moves heat.",
	"calibration": "What a probe said in one bath or two, and what was true there: crushed ice stirred in a little water is 0 °C (32 °F); for the second, warm water beside a good thermometer. Tie the probes together, keep the cable's end dry, wait ten minutes. Hot water scalds; never in boiling water.",
	"battery":     "12 V battery of pump, fans and computer. Fuse it close to its plus post.",
	"cables":      "Cables, for the sums of duskloop size only; all of copper.",
	"probes":      "1-Wire probes by the kernel's names.",
	"model":       "Only for the simulation; the defaults serve to begin with. A zero switches a single effect off.",
}

// Example is a commented greenhouse file that itself passes the check. Lines
// that only repeat a default are commented out.
func Example() string {
	var b strings.Builder
	b.WriteString("# A greenhouse file. Every quantity carries its unit: \"5 gal\" or \"20 L\",\n# \"14 °F\" or \"8 K\". Lines with # before the key show the default.\n#\n# Before you wire anything:\n")
	for _, c := range Cautions() {
		comment(&b, "- "+c)
	}
	writeTable(&b, "", common())
	writeTable(&b, "loop."+exampleLoop+".", perLoop())
	return b.String()
}

// writeTable writes the sections of a table in the order they first appear.
func writeTable(b *strings.Builder, prefix string, table []field) {
	file, loop := &File{}, &Loop{}
	done := make(map[string]bool)
	for _, first := range table {
		section := first.section()
		if done[section] {
			continue
		}
		done[section] = true
		b.WriteString("\n")
		comment(b, sectionIntro[section])
		open := "[" + prefix + section + "]\n"
		if optional(table, section) {
			open = "# " + open
		}
		b.WriteString(open)
		for _, f := range table {
			if f.section() == section {
				writeField(b, f, f.at(file, loop))
			}
		}
	}
}

// optional says whether the example leaves a whole section out.
func optional(table []field, section string) bool {
	for _, f := range table {
		if _, own := exampleValues[f.key]; f.section() == section && (own || f.initial != "") && !lineOnly(section) {
			return false
		} else if own && f.section() == section {
			return false
		}
	}
	return true
}

// lineOnly names the sections that describe nothing but an output line.
func lineOnly(section string) bool {
	return section == "contactor" || section == "buzzer" || section == "charger" || section == "level"
}

func writeField(b *strings.Builder, f field, s slot) {
	about := f.about
	if a := s.allowed(quantity.SI); a != "" {
		about += " (" + a + ")"
	}
	comment(b, about)
	value, own := exampleValues[f.key]
	if !own {
		value = f.initial
		b.WriteString("# ")
	}
	if !s.bare() {
		value = fmt.Sprintf("%q", value)
	}
	if value == "" {
		value = "0"
	}
	fmt.Fprintf(b, "%s = %s\n", f.name(), value)
}

// comment writes text as comment lines of at most about 76 letters.
func comment(b *strings.Builder, text string) {
	line := "#"
	for _, word := range strings.Fields(text) {
		if len(line)+1+len(word) > 78 {
			b.WriteString(line + "\n")
			line = "#"
		}
		line += " " + word
	}
	b.WriteString(line + "\n")
}
