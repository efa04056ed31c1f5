package control

import "fmt"

// Texts of the tunnel's alerts: while hysteresis holds one it says that the limit was passed.

func tunnelHotText(v *view) string {
	limit := v.s.Crop.Maximum.In(v.s.Units)
	switch {
	case !v.tunnel.ok:
		return fmt.Sprintf("Tunnel air was above the crop's maximum of %s and is not known now. Open the tunnel.", limit)
	case v.tunnel.c <= v.s.Crop.Maximum:
		return fmt.Sprintf("Tunnel air was above the crop's maximum of %s and is not yet clear of it: %s. Keep the tunnel open.", limit, v.tempOf(v.tunnel))
	}
	return fmt.Sprintf("Tunnel air %s is above the crop's maximum of %s. Open the tunnel.",
		v.tempOf(v.tunnel), limit)
}

func tunnelColdText(v *view) string {
	limit, still := v.s.Crop.Minimum.In(v.s.Units), v.st.Reason.Words()+"."+watchNote(v)
	switch {
	case !v.tunnel.ok:
		return fmt.Sprintf("Tunnel air was below the crop's minimum of %s and is not known now; %s Add a cover or move the trays if you can.", limit, still)
	case v.tunnel.c >= v.s.Crop.Minimum:
		return fmt.Sprintf("Tunnel air was below the crop's minimum of %s and is not yet clear of it for half an hour: %s now; %s Keep it covered.", limit, v.tempOf(v.tunnel), still)
	}
	return fmt.Sprintf("Tunnel air %s is below the crop's minimum of %s; %s Add a cover or move the trays if you can.", v.tempOf(v.tunnel), limit, still)
}
