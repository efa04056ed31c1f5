package control

import "time"

// declared is one row of the alert table.
type declared struct {
	code     string
	title    string
	severity Severity
	sound    Sound
	after    time.Duration // condition must hold so long
	repeat   time.Duration // said again this often while active; 0 never
	cause    AlertCode     // while that one is active, this one keeps quiet
	raise    func(*view, Place) bool
	keep     func(*view, Place) bool // hysteresis: stays while true; nil means raise
	text     func(*view, Place) string
}

// alertTable declares every alert. Severities follow RFC 5424; delays and
// repeats are chosen: what burns or boils is said at once, what merely wants
// attention waits out a blip.
var alertTable = [alertCodes]declared{
	AlertTankDanger: {code: "tank-danger", title: "tank dangerously hot", severity: Emergency, sound: Steady,
		repeat: 10 * time.Minute, cause: noCause, raise: tankInDanger, text: tankDangerText},
	AlertTankHot: {code: "tank-hot", title: "tank hot", severity: Alarm, sound: Steady,
		repeat: 30 * time.Minute, cause: AlertTankDanger, raise: tankIsHot, text: tankHotText},
	AlertTankUnknown: {code: "tank-unknown", title: "tank temperature not known", severity: Alarm, sound: Steady,
		repeat: 30 * time.Minute, cause: noCause, raise: tankLost, keep: tankStillLost, text: tankUnknownText},
	AlertLevelLow: {code: "level-low", title: "tank level low", severity: Alarm, sound: Steady,
		repeat: 30 * time.Minute, cause: noCause, raise: levelIsLow, text: levelLowText},
	AlertTunnelHot: {code: "tunnel-hot", title: "tunnel above the crop's maximum", severity: Warning, sound: Chirp,
		after: 5 * time.Minute, repeat: time.Hour, cause: noCause, raise: tunnelIsHot, keep: tunnelStillHot, text: tunnelHotText},
	AlertTunnelCold: {code: "tunnel-cold", title: "tunnel below the crop's minimum", severity: Critical, sound: Chirp,
		after: 10 * time.Minute, repeat: time.Hour, cause: noCause, raise: tunnelIsCold, keep: tunnelStillCold, text: tunnelColdText},
	AlertBatteryCutOff: {code: "battery-cut-off", title: "battery cut off", severity: Error, sound: Chirp,
		repeat: 6 * time.Hour, cause: noCause, raise: batteryIsCutOff, text: cutOffText},
	AlertBatteryLow: {code: "battery-low", title: "battery low", severity: Warning, sound: Silent,
		after: time.Minute, repeat: 12 * time.Hour, cause: AlertBatteryCutOff, raise: batteryIsLow, keep: batteryStillLow, text: batteryLowText},
	AlertBatteryUnknown: {code: "battery-unknown", title: "battery not known", severity: Error, sound: Chirp,
		after: time.Minute, repeat: 6 * time.Hour, cause: noCause, raise: batteryIsLost, keep: batteryStillLost, text: batteryUnknownText},
	AlertNearFreezing: {code: "near-freezing", title: "coolant near freezing", severity: Critical, sound: Chirp,
		after: time.Minute, repeat: time.Hour, cause: noCause, raise: nearFreezing, keep: stillNearFreezing, text: nearFreezingText},
	AlertLoopStill: {code: "loop-not-moving", title: "loop not moving heat", severity: Error, sound: Chirp,
		repeat: 6 * time.Hour, cause: noCause, raise: loopIsStill, text: loopStillText},
	AlertRecordFails: {code: "record-fails", title: "record failing", severity: Error, sound: Silent,
		after: time.Minute, repeat: 12 * time.Hour, cause: noCause, raise: recordFails, text: recordText},
	AlertBrokerFails: {code: "broker-fails", title: "broker not reached", severity: Warning, sound: Silent,
		after: 2 * time.Minute, repeat: 24 * time.Hour, cause: noCause, raise: brokerFails, text: brokerText},
	AlertClockUntrusted: {code: "clock-untrusted", title: "clock not trusted", severity: Notice, sound: Silent,
		after: 10 * time.Minute, repeat: 24 * time.Hour, cause: noCause, raise: clockUntrusted, text: clockText},
	AlertHeld: {code: "held-by-hand", title: "held off by hand", severity: Critical, sound: Chirp,
		repeat: 5 * time.Minute, cause: noCause, raise: isHeld, text: heldText},
	AlertWatching: {code: "watch-only", title: "watch only", severity: Notice, sound: Silent,
		repeat: 24 * time.Hour, cause: noCause, raise: isWatching, text: watchingText},
	AlertProbeLost: {code: "probe-lost", title: "probe lost", severity: Error, sound: Silent,
		repeat: 12 * time.Hour, cause: noCause, raise: probeLost, keep: probeStillLost, text: probeLostText},
	AlertProbeDoubted: {code: "probe-doubted", title: "probe not believable", severity: Warning, sound: Silent,
		after: time.Minute, repeat: 12 * time.Hour, cause: AlertProbeLost, raise: probeDoubted, text: probeDoubtedText},
}
