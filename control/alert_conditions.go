package control

// Conditions of the alert table. Each reads the view after the step has moved
// on; hysteresis lives either in the state (hot, sparing, cut-off) or in the
// second function of the row. What was raised by a probe is not over because
// the probe is lost.

func tankInDanger(v *view, _ Place) bool { return v.st.Hot.Danger }
func tankIsHot(v *view, _ Place) bool    { return v.st.Hot.Hot }

// tankLost counts a reading that would be hot, and is not believed, as no
// knowledge: a tank that really is that hot must not wait for proof.
func tankLost(v *view, _ Place) bool      { return v.lost(Tank) || v.suspectHot() }
func tankStillLost(v *view, _ Place) bool { return !v.tank.ok || v.suspectHot() }

func levelIsLow(v *view, _ Place) bool     { return v.in.Level == LevelLow }
func tunnelIsHot(v *view, _ Place) bool    { return v.st.Hot.Tunnel }
func tunnelStillHot(v *view, _ Place) bool { return !v.tunnel.ok }

func tunnelIsCold(v *view, _ Place) bool {
	return v.tunnel.ok && v.tunnel.c < v.s.Crop.Minimum
}

func tunnelStillCold(v *view, _ Place) bool {
	return !v.tunnel.ok || v.tunnel.c < v.s.Crop.Minimum.Plus(cropBand)
}

func batteryIsCutOff(v *view, _ Place) bool  { return v.st.Battery.CutOff }
func batteryIsLow(v *view, _ Place) bool     { return v.st.Battery.Sparing && v.meterKnown() }
func batteryStillLow(v *view, _ Place) bool  { return v.st.Battery.Sparing }
func batteryIsLost(v *view, _ Place) bool    { return v.batteryLost() }
func batteryStillLost(v *view, _ Place) bool { return !v.meterKnown() }

// nearFreezing is an alert only where the guard cannot help, or has come too
// late: a guard at work is a mode, not an alarm.
func nearFreezing(v *view, _ Place) bool {
	guarded := v.st.Mode == Guarding && v.st.pumping()
	return v.nearFreezing(0) && !guarded || v.st.Slush
}

func stillNearFreezing(v *view, _ Place) bool { return v.nearFreezing(1) || v.loopProbeMissing() }

func loopIsStill(v *view, _ Place) bool    { return v.st.Flow.Halted }
func recordFails(v *view, _ Place) bool    { return v.in.RecordFails }
func brokerFails(v *view, _ Place) bool    { return v.in.BrokerFails }
func clockUntrusted(v *view, _ Place) bool { return !v.in.ClockTrusted }
func isHeld(v *view, _ Place) bool         { return v.st.Hand.Hold > 0 }
func isWatching(v *view, _ Place) bool     { return v.st.Hand.Watch > 0 }
func probeLost(v *view, p Place) bool      { return v.lost(p) }
func probeStillLost(v *view, p Place) bool { return v.s.Fitted.Places[p] && !v.at(p).ok }

// probeDoubted is about values that come and are not believed; it is raised
// before the place becomes unknown.
func probeDoubted(v *view, p Place) bool {
	return v.s.Fitted.Places[p] && v.in.Places[p].Trouble == Doubted
}
