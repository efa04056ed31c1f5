package nightly

import (
	"fmt"
	"strings"

	"duskloop/sensors/quantity"
)

// Name of a night, by the zone's clock.
func (p Printer) Name(n *Night) string { return n.night(p.Zone) }

// Says tells a night in a few lines, as below a heading.
func (p Printer) Says(n *Night) []string {
	lines := []string{p.coldestWords(n)}
	if n.Squared != nil {
		lines = append(lines, p.coldWords(n))
	}
	if n.HeatWh != nil {
		lines = append(lines, heatWords(n)+".", fmt.Sprintf("Pump and fans %s Wh; battery %s %%.", whole(n.BatteryWh), charges(n)))
	}
	if lacks := strings.Join(p.lacks(n), "; "); lacks != "" {
		lines = append(lines, capital(lacks)+".")
	}
	if alerts := strings.Join(alerted(n), "; "); alerts != "" {
		lines = append(lines, "Alerts: "+alerts+".")
	}
	return lines
}

// capital begins a sentence; ours begin with a letter of one byte, or a number.
func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func (p Printer) unit() string {
	if p.Units == quantity.US {
		return "°F"
	}
	return "°C"
}

// coldestWords are the coldest as it came and as it was expected.
func (p Printer) coldestWords(n *Night) string {
	text := "Nothing is known of the tunnel"
	if n.ColdestC != nil {
		text = fmt.Sprintf("Coldest %s %s at %s", p.degrees(n.ColdestC), p.unit(), p.clock(n.ColdestAt))
	}
	if e := n.Expected; e != nil && e.ColdestC != nil {
		return text + ", expected " + p.expected(e) + "."
	}
	return text + "; " + p.expected(n.Expected) + "."
}

// coldWords are the squared degree-hours that came and that would have.
func (p Printer) coldWords(n *Night) string {
	unit := "K²h"
	if p.Units == quantity.US {
		unit = "°F²h"
	}
	text := fmt.Sprintf("Cold %s %s", p.squared(n.Squared), unit)
	if n.Twin == nil {
		return text + "."
	}
	return fmt.Sprintf("%s; twin %s as it ran, %s without heat: %s avoided.", text, p.squared(&n.Twin.SquaredAsItRan), p.squared(&n.Twin.Squared), p.squared(&n.Twin.Avoided))
}

// heatWords are the heat by the coil, and by the tank where that is known.
func heatWords(n *Night) string {
	text := "Heat by the coil " + whole(n.HeatWh) + " Wh"
	if gathers(n) {
		text += ", " + whole(n.GatheredWh) + " Wh gathered"
	}
	if n.TankGaveWh != nil {
		text += "; tank gave " + whole(n.TankGaveWh) + " Wh by dawn"
	}
	return text
}
