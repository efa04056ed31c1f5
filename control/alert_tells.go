package control

import "duskloop/sensors/quantity"

// Tell is an alert's text as things stand after a step, in units u. s, st and in are that
// step's own; nothing of them is changed.
func Tell(s *Settings, st *State, in Inputs, c AlertCode, p Place, u quantity.Units) string {
	in.clean()
	set := *s
	set.Units = u
	v := see(&set, st, &in)
	return v.tells(c, p)
}

// tells is the alert's text.
func (v *view) tells(c AlertCode, p Place) string {
	switch c {
	case AlertTankDanger:
		return tankDangerText(v)
	case AlertTankHot:
		return tankHotText(v)
	case AlertTankUnknown:
		return tankUnknownText(v)
	case AlertLevelLow:
		return levelLowText(v)
	case AlertTunnelHot:
		return tunnelHotText(v)
	case AlertTunnelCold:
		return tunnelColdText(v)
	case AlertBatteryCutOff:
		return cutOffText(v)
	case AlertBatteryLow:
		return batteryLowText(v)
	case AlertBatteryUnknown:
		return batteryUnknownText(v)
	case AlertNearFreezing:
		return nearFreezingText(v)
	case AlertLoopStill:
		return loopStillText(v)
	case AlertHeld:
		return heldText(v)
	case AlertWatching:
		return watchingText(v)
	case AlertColdCharge:
		return coldChargeText(v)
	case AlertNotHeating:
		return notHeatingText(v)
	case AlertAged:
		return agedText(v)
	case AlertProbeLost:
		return probeLostText(v, p)
	case AlertProbeDoubted:
		return probeDoubtedText(v, p)
	case AlertRecordFails:
		return recordText
	case AlertBrokerFails:
		return brokerText
	case AlertClockUntrusted:
		return clockText
	}
	return ""
}
