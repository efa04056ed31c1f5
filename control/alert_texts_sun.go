package control

import "fmt"

func notHeatingText(v *view) string {
	seen := "In bright sun over the last days the tank did not get warmer."
	switch {
	case v.unloaded():
		seen = fmt.Sprintf("The panel stands at %s: nothing draws from it, unless element.panel or its label in the greenhouse file is another's.", v.in.Panel.Volts)
	case v.panelKnown():
		seen = "The panel had a voltage and the tank did not get warmer."
	}
	return "Element not heating: " + seen + " Look for a thermal cut-out that has opened (find out why before it is reset), a fuse, a loose or burnt connection, a broken element. Cover the panel or open its DC switch first: direct current draws arcs, and a connector must not be pulled under load."
}

func agedText(v *view) string {
	return fmt.Sprintf("The battery seems to hold only %.0f %% of the %s printed on it; under 80 %% it is due to be replaced before a cold night finds out. If it is a new one of the same size, that is learned once it has been full and then well used.",
		float64(v.st.Charge.Age.Holds)*100, v.s.Battery.Capacity)
}
