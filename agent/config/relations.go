package config

import (
	"fmt"
	"net"
	"regexp"
	"strconv"

	"duskloop/control"
	"duskloop/sensors/quantity"
	"duskloop/sim/pv"
)

// loopRelations finds values of a loop that contradict each other. Keys are
// without the loop's prefix.
func loopRelations(f *File, l *Loop) Faults {
	var faults Faults
	wrong := func(bad bool, key string, value any, problem string, others ...any) {
		if bad {
			for i, v := range others {
				others[i] = said(v, f.Site.Units)
			}
			faults = append(faults, Fault{Key: key, Value: said(value, f.Site.Units), Problem: fmt.Sprintf(problem, others...)})
		}
	}
	c, t, b := l.Carry, l.Tank, l.Battery
	wrong(c.Stop >= c.Start, "carry.stop_difference", c.Stop, "not below start_difference of %v", c.Start)
	wrong(c.StirFor < c.MinRun, "carry.stir_for", c.StirFor, "shorter than minimum_run of %v", c.MinRun)
	wrong(c.StirEvery < c.MinRest, "carry.stir_every", c.StirEvery, "shorter than minimum_rest of %v", c.MinRest)
	wrong(t.Danger < t.Hot.Plus(2), "tank.dangerously_hot", t.Danger, "not at least %v above hot at %v", quantity.Kelvin(2), t.Hot)
	wrong(t.Vessel > 0 && t.Vessel < t.Volume, "tank.vessel", t.Vessel, "less than the %v of liquid in it", t.Volume)
	wrong(l.Crop.Comfort <= l.Crop.Minimum, "crop.comfortable", l.Crop.Comfort, "not above minimum of %v", l.Crop.Minimum)
	wrong(l.Crop.Maximum <= l.Crop.Comfort, "crop.maximum", l.Crop.Maximum, "not above comfortable of %v", l.Crop.Comfort)
	wrong(l.Crop.Harm > l.Crop.Minimum, "crop.harm", l.Crop.Harm, "above the minimum of %v"+f.kindsHarm(l), l.Crop.Minimum)
	wrong(b.Reconnect < b.CutOff+0.2, "battery.reconnect", b.Reconnect, "not at least 0.2 V above cut_off of %v", b.CutOff)
	wrong(b.Reserve+b.Recovery > 1, "battery.recovery", b.Recovery, "with the reserve of %v more than a full battery", b.Reserve)
	atCutOff := control.RestCharge(b.Chemistry.Kind, b.CutOff)
	wrong(b.Reserve <= atCutOff, "battery.reserve", b.Reserve,
		"not above the charge of %v that cut_off at %v stands for", atCutOff, b.CutOff)
	wrong(l.Element.CutOut < t.Danger.Plus(-10) || l.Element.CutOut > t.Danger.Plus(8), "element.cut_out", l.Element.CutOut,
		"the thermal cut-out belongs near dangerously_hot at %v: not more than %v below or %v above", t.Danger, quantity.Kelvin(10), quantity.Kelvin(8))
	wrong(bool(t.Closed) && l.Model.OpenSurface > 0, "model.open_surface", l.Model.OpenSurface, "water cannot evaporate from a tank that is closed (tank.closed = true)")
	lumpedRelations(l, wrong)
	if problem := unpushed(l); problem != "" {
		wrong(true, "model.pump_head", l.Model.PumpHead, "%v", problem)
	}
	if problem := mislabelled(l.Label); problem != "" {
		wrong(true, "element.voc", l.Label.Voc, "%v", problem)
	}
	for _, x := range []struct {
		name string
		Drive
	}{{"pump", l.Pump}, {"fans", l.Fans}} {
		wrong(!x.Fitted(), x.name+".chip", "", "names no chip, and no pwm either")
		wrong(x.Duty < 1 && x.Dim == NoDim, x.name+".duty", x.Duty, "needs pwm: a line alone is on or off")
		wrong(x.Dim == ChipDim && f.Daemon.Pulses.Hertz > 1500, x.name+".pwm", x.Dim, "cannot make the %v pulses a second of daemon.pwm_hertz; at most 1500", f.Daemon.Pulses.Hertz)
	}
	wrong(c.Speed == VariedSpeed && (l.Pump.Dim == NoDim || l.Fans.Dim == NoDim), "carry.speed", c.Speed, "needs pwm at pump and fans: a line alone is on or off")
	wrong(l.Charger.Fitted() && b.Chemistry.Kind != control.LFP, "charger.chip", l.Charger.Chip, "only a lifepo4 battery must not be charged in the cold")
	wrong(l.Charger.Fitted() && b.Where == "", "charger.chip", l.Charger.Chip, "battery.place names no probe that tells the battery's temperature")
	faults = append(faults, oddProbes(l)...)
	faults = append(faults, sharedProbes(l)...)
	faults = append(faults, calibratedNothing(l)...)
	return append(faults, sharedLines(l)...)
}

// mislabelled says what contradicts itself on the panels' label.
func mislabelled(n Nameplate) string {
	if !n.Given() {
		return ""
	}
	_, err := pv.Fit(n.PV())
	if err != nil {
		return err.Error()
	}
	return ""
}

// probeName is how the kernel names a thermometer on the 1-Wire bus: family code
// 22, 28 or 3b, then the serial number.
var probeName = regexp.MustCompile(`^(22|28|3b)-[0-9a-f]{12}$`)

// oddProbes finds names that the kernel does not give to a thermometer.
func oddProbes(l *Loop) Faults {
	var faults Faults
	for p := range control.Places {
		if id := l.Probes[p].ID; id != "" && !probeName.MatchString(string(id)) {
			faults = append(faults, Fault{Key: "probes." + p.String(), Value: string(id),
				Problem: "no thermometer's name", Allowed: "as 28-0000072fa1c3, with 22-, 28- or 3b- and small letters"})
		}
	}
	for _, p := range [...]control.Place{control.Tank, control.Tunnel} {
		if l.Probes[p].ID == "" {
			faults = append(faults, Fault{Key: "probes." + p.String(), Problem: "names no probe"})
		}
	}
	return faults
}

// sharedProbes finds a probe that is in two places.
func sharedProbes(l *Loop) Faults {
	var faults Faults
	first := make(map[Text]control.Place)
	for p := range control.Places {
		id := l.Probes[p].ID
		if id == "" {
			continue
		}
		if at, again := first[id]; again {
			faults = append(faults, Fault{Key: "probes." + p.String(), Value: string(id),
				Problem: fmt.Sprintf("the same probe is at %v", at), Allowed: "each probe in one place"})
			continue
		}
		first[id] = p
	}
	return faults
}

// sharedLines finds an output line that is used twice.
func sharedLines(l *Loop) Faults {
	type at struct {
		chip Text
		line Count
	}
	var faults Faults
	first := make(map[at]string)
	for _, x := range []struct {
		name string
		line Line
	}{{"pump", l.Pump.Line}, {"fans", l.Fans.Line}, {"contactor", l.Contactor}, {"buzzer", l.Buzzer}, {"charger", l.Charger}, {"level", l.Level}} {
		if !x.line.Fitted() {
			continue
		}
		key := at{x.line.Chip, x.line.Number}
		if other, again := first[key]; again {
			faults = append(faults, Fault{Key: x.name + ".line", Value: x.line.Number.String(),
				Problem: fmt.Sprintf("the same line of %s switches the %s", x.line.Chip, other), Allowed: "each line once"})
			continue
		}
		first[key] = x.name
	}
	return faults
}

// fileRelations finds contradictions outside the loops.
func fileRelations(f *File) Faults {
	var faults Faults
	d := f.Daemon
	if d.StaleAfter != 0 && d.StaleAfter < d.Period {
		faults = append(faults, Fault{Key: "daemon.stale_after", Value: d.StaleAfter.String(),
			Problem: fmt.Sprintf("shorter than the period of %v", d.Period)})
	}
	if a := string(f.Broker.Address); a != "embedded" && a != "none" {
		if host, port, err := net.SplitHostPort(a); err != nil || host == "" || port == "" {
			faults = append(faults, Fault{Key: "broker.address", Value: a, Problem: "not an address", Allowed: "embedded, none or host:port, as 192.168.1.5:1883"})
		}
	}
	if problem := unheard(string(f.Page.Listen)); problem != "" {
		faults = append(faults, Fault{Key: "page.listen", Value: string(f.Page.Listen), Problem: problem, Allowed: "none or host:port, as 127.0.0.1:8480"})
	}
	if (f.Page.CertFile == "") != (f.Page.KeyFile == "") {
		faults = append(faults, Fault{Key: "page.cert_file", Value: string(f.Page.CertFile), Problem: "certificate and key go together"})
	}
	if problem := unheard(string(f.Metrics.Listen)); problem != "" {
		faults = append(faults, Fault{Key: "metrics.listen", Value: string(f.Metrics.Listen), Problem: problem, Allowed: "none or host:port, as 127.0.0.1:9110"})
	}
	if d.PanelRatio > 0 && d.MeterKind == ADS1115 && d.PanelInput == d.ADCInput {
		faults = append(faults, Fault{Key: "daemon.panel_input", Value: d.PanelInput.String(),
			Problem: "the same input measures the battery", Allowed: "another input"})
	}
	if d.PanelRatio > 0 && d.PanelRatio < 1 {
		faults = append(faults, Fault{Key: "daemon.panel_divider", Value: d.PanelRatio.String(),
			Problem: "a divider makes a voltage smaller", Allowed: "0, or 1 to 200"})
	}
	faults = append(faults, f.overloaded()...)
	if f.Broker.User != "" && f.Broker.Address == "embedded" {
		faults = append(faults, Fault{Key: "broker.user", Value: string(f.Broker.User),
			Problem: "the embedded broker serves this computer only and asks for no user"})
	}
	if (f.Broker.PasswordFile != "") != (f.Broker.User != "") {
		faults = append(faults, Fault{Key: "broker.password_file", Value: string(f.Broker.PasswordFile),
			Problem: "user and password_file go together"})
	}
	return faults
}

// unheard says why nobody can listen at an address; a name is not looked up here.
func unheard(address string) string {
	if address == "none" {
		return ""
	}
	host, port, err := net.SplitHostPort(address)
	if err != nil || host == "" {
		return "not an address"
	}
	if host != "localhost" && net.ParseIP(host) == nil {
		return "the host is one of this computer's own addresses in figures, or localhost"
	}
	if n, err := strconv.ParseUint(port, 10, 16); err != nil || n == 0 {
		return "the port is a number from 1 to 65535"
	}
	return ""
}

// staleAfter is the setting, or three periods.
func (d Daemon) staleAfter() quantity.Span {
	if d.StaleAfter == 0 {
		return 3 * d.Period
	}
	return d.StaleAfter
}
