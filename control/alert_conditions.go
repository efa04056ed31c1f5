package control

// Conditions of the alert table, read after the step has moved on. They are
// called by name, not from the table, so that a step allocates nothing.

// raises says whether the alert's condition holds now.
func (v *view) raises(c AlertCode, p Place) bool {
	st, in := v.st, v.in
	switch c {
	case AlertTankDanger:
		return st.Hot.Danger
	case AlertTankHot:
		return st.Hot.Hot
	case AlertTankUnknown:
		// A reading that would be hot, and is not believed, is no knowledge: a
		// tank that really is that hot must not wait for proof.
		return v.lost(Tank) || v.suspectHot()
	case AlertLevelLow:
		return in.Level == LevelLow
	case AlertTunnelHot:
		return st.Hot.Tunnel
	case AlertTunnelCold:
		return v.tunnel.ok && v.tunnel.c < v.s.Crop.Minimum
	case AlertBatteryCutOff:
		return st.Battery.CutOff
	case AlertBatteryLow:
		return st.Battery.Sparing && v.meterKnown()
	case AlertBatteryUnknown:
		return v.batteryLost()
	case AlertNearFreezing:
		// Only where the guard cannot help, or has come too late: a guard at
		// work is a mode, not an alarm.
		return v.nearFreezing(0) && !(st.Mode == Guarding && st.pumping()) || st.Slush
	case AlertLoopStill:
		return st.Flow.Halted
	case AlertProbeLost:
		return v.lost(p)
	case AlertProbeDoubted:
		// About values that come and are not believed; raised before the place
		// becomes unknown.
		return v.s.Fitted.Places[p] && in.Places[p].Trouble == Doubted
	}
	return v.raisesHousekeeping(c)
}

func (v *view) raisesHousekeeping(c AlertCode) bool {
	switch c {
	case AlertRecordFails:
		return v.in.RecordFails
	case AlertBrokerFails:
		return v.in.BrokerFails
	case AlertClockUntrusted:
		return !v.in.ClockTrusted
	case AlertHeld:
		return v.st.Hand.Hold > 0
	case AlertWatching:
		return v.st.Hand.Watch > 0
	case AlertColdCharge:
		return v.coldCharge(0)
	case AlertNotHeating:
		return v.st.Sunned.Fails
	case AlertAged:
		return v.aged(0)
	}
	return false
}

// keeps says whether an alert in force stays although its condition no longer
// holds: hysteresis, where the state does not have it already, and what a probe
// raised is not over because the probe is lost.
func (v *view) keeps(c AlertCode, p Place) bool {
	switch c {
	case AlertTankUnknown:
		return !v.tank.ok
	case AlertTunnelHot:
		return !v.tunnel.ok
	case AlertTunnelCold:
		return !v.tunnel.ok || v.tunnel.c < v.s.Crop.Minimum.Plus(cropBand)
	case AlertBatteryLow:
		return v.st.Battery.Sparing
	case AlertBatteryUnknown:
		return !v.meterKnown()
	case AlertNearFreezing:
		return v.nearFreezing(1) || v.loopProbeMissing()
	case AlertProbeLost:
		return v.s.Fitted.Places[p] && !v.at(p).ok
	case AlertColdCharge:
		return v.coldCharge(1)
	case AlertAged:
		return v.aged(0.05)
	}
	return false
}
