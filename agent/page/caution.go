package page

import (
	"strings"

	"duskloop/control"
)

// Cautions stand where a grower acts. Software is never the safeguard.

const tankCaution = "This program is not a safeguard, whatever these limits say. The element needs its own thermal cut-out, rated for DC, and the tank a relief valve or a vent: they work when computer, wires and this page do not. Without them leave the panel's DC switch open. Keep away from lid and fittings: " + control.Scalds + "."

const batteryCaution = "This program is not a safeguard. The battery needs its own fuse close to its plus post, and LiFePO4 its own protection against cold and deep discharge. A cut-off that is too low harms a lead-acid battery, and the computer goes dark, with shedding and frost guard: the tank's thermal cut-out and relief valve must not need either."

// opening is what goes before any work on the loop.
const opening = "Before opening anything pull the pump's fuse, open the panel's DC switch and let the tank cool until it is no longer under pressure: " + control.Scalds + "."

// cautions by section.
func cautionOf(section string) string {
	switch section {
	case "tank":
		return tankCaution
	case "battery":
		return batteryCaution
	}
	return ""
}

// cautionsOf are those of what is to be changed, each once.
func cautionsOf(changes []Change) (all []string) {
	last := ""
	for _, c := range changes { // by key, so that sections stand together
		section, _, _ := strings.Cut(c.Name, ".")
		if text := cautionOf(section); text != "" && section != last {
			all = append(all, text)
		}
		last = section
	}
	return all
}
