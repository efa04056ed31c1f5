package mqtt

import (
	"maps"
	"math"
	"slices"

	"duskloop/agent/record"
	"duskloop/agent/senml"
	"duskloop/control"
)

func (f *Feed) readingRows(readings []record.Reading) []row {
	rows := make([]row, len(readings))
	for i, x := range readings {
		m := f.readingMessages(x)
		rows[i] = row{m, func() {
			f.cursors.readings.Store(x.Seq)
			f.rememberReading(x.Loop, m)
		}}
	}
	return rows
}

// readingMessages is a reading as a SenML pack. One that cannot be sent is
// logged and passed over.
func (f *Feed) readingMessages(x record.Reading) []message {
	b, err := Pack(f.opts.Prefix, x).Marshal()
	if err != nil {
		f.opts.Log.Error("reading cannot be sent", "seq", x.Seq, "error", err)
		return nil
	}
	return []message{{f.topics.loop(x.Loop, topicReadings), true, b}}
}

// Pack is a reading as a SenML pack whose base name is the loop's topic. A value
// that is not fresh carries its age as a negative time; one never known is
// absent, one that is no number likewise. A reading from before the clock was
// set (1978-07-04 is the earliest that SenML can say) has no base time and so
// means "now".
func Pack(prefix string, x record.Reading) senml.Pack {
	name := prefix + "/" + x.Loop + "/"
	p := senml.Pack{senml.Flag("simulated", x.Simulated)}
	p[0].BaseName = &name
	if at, ok := senml.Seconds(x.At); ok {
		p[0].BaseTime = &at
	}
	p = append(p, senml.Number("pump", senml.Ratio, float64(x.Outputs.Pump)),
		senml.Number("fans", senml.Ratio, float64(x.Outputs.Fans)),
		senml.Flag("contactor-closed", x.Outputs.Closed),
		senml.Flag("buzzer", x.Outputs.Buzzer))
	for place := range control.Places {
		p = add(p, place.String(), senml.Celsius, x.Places[place], 1)
	}
	p = add(p, "battery", senml.Volt, x.Volts, 1)
	p = add(p, "battery-current", senml.Ampere, x.Amps, 1)
	p = add(p, "heating", senml.Watt, x.Heating, 1)
	p = add(p, "charge", senml.Charge, x.Charge, 100)
	if x.Charge.OK {
		p = add(p, "charge-band", senml.Charge, record.Known(x.Band, 0), 100)
	}
	for _, where := range slices.Sorted(maps.Keys(x.Trouble)) {
		p = append(p, senml.Text(where+"-trouble", x.Trouble[where]))
	}
	return p
}

// add appends a value with its age, rounded to what the record keeps.
func add(p senml.Pack, name string, unit senml.Unit, v record.Value, scale float64) senml.Pack {
	if !v.OK || math.IsNaN(v.V) || math.IsInf(v.V, 0) {
		return p
	}
	r := senml.Number(name, unit, math.Round(v.V*scale*1e4)/1e4)
	if age := math.Round(v.Age.Seconds()*1000) / 1000; age > 0 {
		r.Time = -age
	}
	return append(p, r)
}
