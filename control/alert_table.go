package control

import "time"

// declared is one row of the alert table. What raises and keeps it stands in
// alert_conditions.go, what it says in alert_texts.go.
type declared struct {
	code     string
	title    string
	severity Severity
	sound    Sound
	after    time.Duration // condition must hold so long
	repeat   time.Duration // said again this often while active; 0 never
	stays    time.Duration // it must be over so long: what a run ends for minutes is not over
	cause    AlertCode     // while that one is active, this one keeps quiet
}

// alertTable declares every alert. Severities follow RFC 5424; delays and
// repeats are chosen: what burns or boils is said at once, what merely wants
// attention waits out a blip.
var alertTable = [alertCodes]declared{
	AlertTankDanger: {code: "tank-danger", title: "tank dangerously hot", severity: Emergency, sound: Steady,
		repeat: 10 * time.Minute, cause: noCause},
	AlertTankHot: {code: "tank-hot", title: "tank hot", severity: Alarm, sound: Steady,
		repeat: 30 * time.Minute, cause: AlertTankDanger},
	AlertTankUnknown: {code: "tank-unknown", title: "tank temperature not known", severity: Alarm, sound: Steady,
		repeat: 30 * time.Minute, cause: noCause},
	AlertLevelLow: {code: "level-low", title: "tank level low", severity: Alarm, sound: Steady,
		repeat: 30 * time.Minute, cause: noCause},
	AlertTunnelHot: {code: "tunnel-hot", title: "tunnel above the crop's maximum", severity: Warning, sound: Chirp,
		after: 5 * time.Minute, repeat: time.Hour, cause: noCause},
	AlertTunnelCold: {code: "tunnel-cold", title: "tunnel below the crop's minimum", severity: Critical, sound: Chirp,
		after: 10 * time.Minute, repeat: time.Hour, stays: 30 * time.Minute, cause: noCause},
	AlertBatteryCutOff: {code: "battery-cut-off", title: "battery cut off", severity: Error, sound: Chirp,
		repeat: 6 * time.Hour, cause: noCause},
	AlertBatteryLow: {code: "battery-low", title: "battery low", severity: Warning, sound: Silent,
		after: time.Minute, repeat: 12 * time.Hour, cause: AlertBatteryCutOff},
	AlertBatteryUnknown: {code: "battery-unknown", title: "battery not known", severity: Error, sound: Chirp,
		after: time.Minute, repeat: 6 * time.Hour, cause: noCause},
	AlertNearFreezing: {code: "near-freezing", title: "coolant near freezing", severity: Critical, sound: Chirp,
		after: time.Minute, repeat: time.Hour, cause: noCause},
	AlertLoopStill: {code: "loop-not-moving", title: "loop not moving heat", severity: Error, sound: Chirp,
		repeat: 6 * time.Hour, cause: noCause},
	AlertRecordFails: {code: "record-fails", title: "record failing", severity: Error, sound: Silent,
		after: time.Minute, repeat: 12 * time.Hour, cause: noCause},
	AlertBrokerFails: {code: "broker-fails", title: "broker not reached", severity: Warning, sound: Silent,
		after: 2 * time.Minute, repeat: 24 * time.Hour, cause: noCause},
	AlertClockUntrusted: {code: "clock-untrusted", title: "clock not trusted", severity: Notice, sound: Silent,
		after: 10 * time.Minute, repeat: 24 * time.Hour, cause: noCause},
	AlertHeld: {code: "held-by-hand", title: "held off by hand", severity: Critical, sound: Chirp,
		repeat: 5 * time.Minute, cause: noCause},
	AlertWatching: {code: "watch-only", title: "watch only", severity: Notice, sound: Silent,
		repeat: 24 * time.Hour, cause: noCause},
	AlertColdCharge: {code: "battery-too-cold-to-charge", title: "battery too cold to charge", severity: Error, sound: Chirp,
		after: time.Minute, repeat: time.Hour, cause: noCause},
	AlertNotHeating: {code: "element-not-heating", title: "element not heating in sun", severity: Warning, sound: Silent,
		repeat: 24 * time.Hour, cause: noCause},
	AlertAged: {code: "battery-aged", title: "battery holds less than it should", severity: Notice, sound: Silent,
		after: time.Hour, repeat: 30 * 24 * time.Hour, cause: noCause},
	AlertProbeLost: {code: "probe-lost", title: "probe lost", severity: Error, sound: Silent,
		repeat: 12 * time.Hour, cause: noCause},
	AlertProbeDoubted: {code: "probe-doubted", title: "probe not believable", severity: Warning, sound: Silent,
		after: time.Minute, repeat: 12 * time.Hour, cause: AlertProbeLost},
}
