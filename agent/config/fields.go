package config

import "duskloop/sensors/quantity"

// common is the table of the keys that belong to the whole greenhouse.
func common() []field {
	return []field{
		{key: "site.name", about: "What you call the place.", initial: "my greenhouse",
			at: words("a name", func(f *File, _ *Loop) *Text { return &f.Site.Name })},
		{key: "site.units", about: "How numbers are shown: us (°F, gallons) or si (°C, litres).", initial: "si",
			at: words("us or si", func(f *File, _ *Loop) *quantity.Units { return &f.Site.Units })},
		{key: "site.latitude", about: "North is positive. Used by the simulated sun.", initial: "45 deg",
			at: between(func(f *File, _ *Loop) *quantity.Angle { return &f.Site.Latitude }, -90, 90)},
		{key: "site.longitude", about: "East is positive.", initial: "0 deg",
			at: between(func(f *File, _ *Loop) *quantity.Angle { return &f.Site.Longitude }, -180, 180)},
		{key: "site.elevation", about: "Above sea level.", initial: "100 m",
			at: between(func(f *File, _ *Loop) *quantity.Metre { return &f.Site.Elevation }, -430, 5000)},

		{key: "daemon.period", about: "Time between readings and decisions.", initial: "10 s",
			at: between(func(f *File, _ *Loop) *quantity.Span { return &f.Daemon.Period }, seconds(1), seconds(60))},
		{key: "daemon.stale_after", about: "A place is unknown once its last believed reading is older. 0 s means three periods.", initial: "0 s",
			at: between(func(f *File, _ *Loop) *quantity.Span { return &f.Daemon.StaleAfter }, 0, seconds(600))},
		{key: "daemon.probes", about: "kernel: the 1-Wire bus on a GPIO line, as the kernel shows it; bridge: a DS2482 or DS2484 on I2C.", initial: "kernel",
			at: words("kernel or bridge", func(f *File, _ *Loop) *ProbeBus { return &f.Daemon.Probes })},
		{key: "daemon.bridge_bus", about: "I2C bus of that bridge.", initial: "1",
			at: words("a bus name or number", func(f *File, _ *Loop) *Text { return &f.Daemon.Bridge })},
		{key: "daemon.bridge_address", about: "Address of the bridge.", initial: "24",
			at: number(func(f *File, _ *Loop) *Count { return &f.Daemon.BridgeAt }, 24, 27)},
		{key: "daemon.two_wire_probes", about: "true if probes behind the bridge have two wires only and take their power from the line.", initial: "false",
			at: flag(func(f *File, _ *Loop) *Flag { return &f.Daemon.TwoWire })},
		{key: "daemon.sys_root", about: "Top of the kernel's tree in which the 1-Wire probes stand.", initial: "/sys",
			at: words("a folder", func(f *File, _ *Loop) *Text { return &f.Daemon.SysRoot })},
		{key: "daemon.meter", about: "ina219: voltage and current of the battery by a shunt; ads1115: its voltage only, by a divider, and the charge is then a rougher guess.", initial: "ina219",
			at: words("ina219 or ads1115", func(f *File, _ *Loop) *MeterKind { return &f.Daemon.MeterKind })},
		{key: "daemon.meter_bus", about: "I2C bus of that part.", initial: "1",
			at: words("a bus name or number", func(f *File, _ *Loop) *Text { return &f.Daemon.Meter })},
		{key: "daemon.meter_address", about: "Address of the INA219.", initial: "64",
			at: number(func(f *File, _ *Loop) *Count { return &f.Daemon.MeterAt }, 64, 79)},
		{key: "daemon.meter_shunt", about: "Its shunt resistor. A wrong value makes every current silently wrong.", initial: "10 mohm",
			at: between(func(f *File, _ *Loop) *quantity.Ohm { return &f.Daemon.Shunt }, 0.0005, 0.5)},
		{key: "daemon.meter_reversed", about: "true if charging shows as discharging.", initial: "false",
			at: flag(func(f *File, _ *Loop) *Flag { return &f.Daemon.Reversed })},

		{key: "daemon.converter_address", about: "Address of the ADS1115.", initial: "72",
			at: number(func(f *File, _ *Loop) *Count { return &f.Daemon.ADCAt }, 72, 75)},
		{key: "daemon.battery_input", about: "Its input for the battery.", initial: "0",
			at: number(func(f *File, _ *Loop) *Count { return &f.Daemon.ADCInput }, 0, 3)},
		{key: "daemon.battery_divider", about: "Battery's voltage over what the input sees. Measure both with a good meter: 1 % resistors may be wrong by 2 %. Must hold the input below 2 V.", initial: "11",
			at: number(func(f *File, _ *Loop) *Ratio { return &f.Daemon.ADCRatio }, 8, 200)},

		{key: "daemon.pwm_root", about: "The kernel's tree of PWM chips, for pumps and fans that are dimmed by it.", initial: "/sys/class/pwm",
			at: words("a folder", func(f *File, _ *Loop) *Text { return &f.Daemon.Pulses.Root })},
		{key: "daemon.pwm_bus", about: "I2C bus of a PCA9685, for those that are dimmed by one.", initial: "1",
			at: words("a bus name or number", func(f *File, _ *Loop) *Text { return &f.Daemon.Pulses.Bus })},
		{key: "daemon.pwm_address", about: "Address of the PCA9685.", initial: "65",
			at: number(func(f *File, _ *Loop) *Count { return &f.Daemon.Pulses.At }, 64, 119)},
		{key: "daemon.pwm_hertz", about: "Pulses a second: a few hundred for a MOSFET, 25000 for the control wire of a four-wire fan; a PCA9685 makes 24 to 1500.", initial: "200",
			at: number(func(f *File, _ *Loop) *Count { return &f.Daemon.Pulses.Hertz }, 24, 50000)},

		{key: "broker.address", about: "embedded (inside this program, loopback only), none, or host:port of your own.", initial: "embedded",
			at: words("embedded, none or host:port", func(f *File, _ *Loop) *Text { return &f.Broker.Address })},
		{key: "broker.port", about: "Port of the embedded broker; the next free one is taken if it is in use.", initial: "1883",
			at: number(func(f *File, _ *Loop) *Count { return &f.Broker.Port }, 0, 65535)},
		{key: "broker.user", about: "User name at your own broker.", initial: "",
			at: words("a name", func(f *File, _ *Loop) *Text { return &f.Broker.User })},
		{key: "broker.password_file", about: "File that holds the password, readable by the daemon only.", initial: "",
			at: words("a file", func(f *File, _ *Loop) *Text { return &f.Broker.PasswordFile })},

		{key: "broker.tls", about: "true to encrypt the connection to your own broker.", initial: "false",
			at: flag(func(f *File, _ *Loop) *Flag { return &f.Broker.TLS })},
		{key: "broker.ca_file", about: "Certificate of the authority that signed the broker's. Empty: the system's authorities.", initial: "",
			at: words("a file", func(f *File, _ *Loop) *Text { return &f.Broker.CAFile })},
		{key: "broker.certificate_file", about: "The daemon's own certificate, if the broker wants one.", initial: "",
			at: words("a file", func(f *File, _ *Loop) *Text { return &f.Broker.CertFile })},
		{key: "broker.key_file", about: "Its key, readable by the daemon only.", initial: "",
			at: words("a file", func(f *File, _ *Loop) *Text { return &f.Broker.KeyFile })},

		{key: "record.keep", about: "How long single readings are kept. Hourly figures, alerts and changes stay.", initial: "400 days",
			at: between(func(f *File, _ *Loop) *quantity.Span { return &f.Record.Keep }, days(1), days(3650))},
		{key: "record.commit", about: "Readings are written at least this often; a power cut loses no more.", initial: "60 s",
			at: between(func(f *File, _ *Loop) *quantity.Span { return &f.Record.Commit }, seconds(1), seconds(60))},
		{key: "record.backlog", about: "Readings kept for a broker that is away; beyond it the oldest are dropped and counted.", initial: "60480",
			at: number(func(f *File, _ *Loop) *Count { return &f.Record.Backlog }, 100, 10000000)},

		{key: "phone.secret_file", about: "File with the https address that your message service gave you, and header lines if it wants any; readable by the daemon only. Empty: nobody is told. A phone may be off: it is no safeguard.", initial: "",
			at: words("a file", func(f *File, _ *Loop) *Text { return &f.Phone.SecretFile })},
		{key: "phone.from", about: "Least grave alert that is told: emergency, alert, critical, error, warning or notice.", initial: "error",
			at: words("a severity", func(f *File, _ *Loop) *Gravity { return &f.Phone.From })},
		{key: "phone.over", about: "true to be told also when an alert is over.", initial: "false",
			at: flag(func(f *File, _ *Loop) *Flag { return &f.Phone.Over })},
		{key: "phone.quiet_from", about: "In quiet hours what is less than critical waits. The same time twice: none.", initial: "22:00",
			at: words("a time of day", func(f *File, _ *Loop) *TimeOfDay { return &f.Phone.QuietFrom })},
		{key: "phone.quiet_to", about: "End of the quiet hours.", initial: "06:30",
			at: words("a time of day", func(f *File, _ *Loop) *TimeOfDay { return &f.Phone.QuietTo })},
		{key: "phone.hourly", about: "Messages an hour for what is less than critical; more wait and come in one.", initial: "4",
			at: number(func(f *File, _ *Loop) *Count { return &f.Phone.Hourly }, 1, 60)},

		{key: "metrics.listen", about: "none, or host:port at which the latest figures are served at /metrics, as 127.0.0.1:9110: by that address this computer alone can read them. No password is asked.", initial: "none",
			at: words("none or host:port", func(f *File, _ *Loop) *Text { return &f.Metrics.Listen })},
	}
}

func seconds(n int64) quantity.Span { return quantity.Span(n * 1e9) }
func days(n int64) quantity.Span    { return quantity.Span(n * 86400 * 1e9) }
