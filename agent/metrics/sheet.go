package metrics

import (
	"runtime"
	"strconv"
	"time"

	"duskloop/control"
)

// exposition is everything that is known. Without a status yet only the program is.
func exposition(st *Status, from Source) string {
	var s sheet
	s.add(family{"duskloop_build", info, "", "The program."}, sample{[]string{"version", from.Version, "go", runtime.Version()}, 1})
	if st == nil {
		return s.end()
	}
	s.common = []string{"loop", st.Loop, "simulated", strconv.FormatBool(st.Simulated)}
	since := max(0, from.Now().Sub(st.At))
	s.probes(st, since)
	s.battery(st, since)
	s.doing(st)
	s.alerts(st)
	s.daemon(st, from)
	return s.end()
}

// probes are the places: the last believed temperature, its age, and whether the
// latest attempt was believed. A place without a probe has none of it.
func (s *sheet) probes(st *Status, since time.Duration) {
	var values, ages, believed []sample
	for p := range control.Places {
		if !st.Fitted[p] {
			continue
		}
		t, label := st.Places[p], []string{"place", p.String()}
		if t.Ever {
			values = append(values, sample{label, float64(t.Value)})
			ages = append(ages, sample{label, (t.Age + since).Seconds()})
		}
		believed = append(believed, sample{label, truth(t.Ever && t.Trouble == control.NoTrouble)})
	}
	s.add(family{"duskloop_temperature_celsius", gauge, "celsius", "Last believed temperature of a place."}, values...)
	s.add(family{"duskloop_temperature_age_seconds", gauge, "seconds", "Age of that temperature."}, ages...)
	s.add(family{"duskloop_temperature_believed", gauge, "", "1 if the latest attempt at the probe was believed."}, believed...)
}

func (s *sheet) battery(st *Status, since time.Duration) {
	m, c := st.Meter, st.Charge
	s.add(family{"duskloop_battery_volts", gauge, "volts", "Battery voltage."}, when(m.HasVolts, float64(m.Volts))...)
	s.add(family{"duskloop_battery_amperes", gauge, "amperes", "Battery current; positive charges."}, when(m.HasAmps, float64(m.Amps))...)
	s.add(family{"duskloop_battery_age_seconds", gauge, "seconds", "Age of the battery's figures."}, when(m.HasVolts, (m.Age+since).Seconds())...)
	s.add(family{"duskloop_battery_believed", gauge, "", "1 if the latest sample of the meter was believed."}, one(truth(m.HasVolts && m.Cause == "")))
	s.add(family{"duskloop_battery_charge_ratio", gauge, "ratio", "State of charge, of full."}, when(c.OK, float64(c.Share))...)
	s.add(family{"duskloop_battery_charge_band_ratio", gauge, "ratio", "The charge is within plus or minus this, of full."}, when(c.OK, float64(c.Band))...)
}

func (s *sheet) doing(st *Status) {
	o := st.Outputs
	s.add(family{"duskloop_pump_duty_ratio", gauge, "ratio", "Duty of the pump, 0 to 1."}, one(float64(o.Pump)))
	s.add(family{"duskloop_fans_duty_ratio", gauge, "ratio", "Duty of the fans, 0 to 1."}, one(float64(o.Fans)))
	s.add(family{"duskloop_contactor_closed", gauge, "", "1 while the element's contactor is closed."}, when(st.Contactor, truth(o.Closed))...)
	s.add(family{"duskloop_heating_watts", gauge, "watts", "What the panel's voltage drives through the element; left out where that is not measured or the element was found not to heat."}, when(st.HeatingOK, float64(st.Heating))...)
	s.add(family{"duskloop_buzzer_on", gauge, "", "1 while the buzzer sounds."}, one(truth(o.Buzzer)))
	s.add(family{"duskloop_watch_only", gauge, "", "1 while pump and fans are decided on and not switched."}, one(truth(st.Watching)))
	s.state(family{"duskloop_mode", stateSet, "", "What the loop is doing."}, int(st.Mode), func(i int) string { return control.Mode(i).String() })
	s.state(family{"duskloop_reason", stateSet, "", "Why."}, int(st.Reason), func(i int) string { return control.Reason(i).String() })
}

// state writes all states of a set, one of them on. word gives the first again beyond
// the last.
func (s *sheet) state(f family, is int, word func(int) string) {
	var states []sample
	for i := 0; i == 0 || word(i) != word(0); i++ {
		states = append(states, sample{[]string{f.name, word(i)}, truth(i == is)})
	}
	s.add(f, states...)
}

func (s *sheet) alerts(st *Status) {
	var active, raised []sample
	for i := range Severities {
		label := []string{"severity", control.Severity(i).String()}
		active = append(active, sample{label, float64(st.Active[i])})
		raised = append(raised, sample{label, float64(st.Raised[i])})
	}
	s.add(family{"duskloop_alerts_active", gauge, "", "Alerts in force."}, active...)
	s.add(family{"duskloop_alerts_raised", counter, "", "Alerts raised since the start."}, raised...)
}

func (s *sheet) daemon(st *Status, from Source) {
	s.add(family{"duskloop_tick_timestamp_seconds", gauge, "seconds", "Time of the last tick, by the loop's clock."}, one(float64(st.At.UnixMilli())/1000))
	s.add(family{"duskloop_ticks", counter, "", "Ticks since the start."}, one(float64(st.Ticks)))
	s.add(family{"duskloop_ticks_faulty", counter, "", "Ticks of which something was not read, switched or recorded."}, one(float64(st.Faulty)))
	if w := from.Wire; w != nil {
		s.add(family{"duskloop_broker_connected", gauge, "", "1 while there is a connection to the broker."}, one(truth(w.Err() == nil)))
		s.add(family{"duskloop_backlog", gauge, "", "Rows of the record that the broker has not acknowledged."}, one(float64(w.Left())))
		s.add(family{"duskloop_messages_delivered", counter, "", "Messages acknowledged by the broker since the start."}, one(float64(w.Delivered())))
	}
}
