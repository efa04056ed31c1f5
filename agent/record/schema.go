package record

import (
	"fmt"
	"strings"

	"duskloop/control"
)

// version is stored in the file; a file of a newer version is refused.
const version = 2

// readingColumns are the columns of a reading after seq, in order.
func readingColumns() []string {
	columns := []string{"at", "loop", "simulated"}
	for p := range control.Places {
		columns = append(columns, p.String()+"_c", p.String()+"_age_s")
	}
	return append(columns,
		"battery_v", "battery_a", "battery_age_s", "charge", "band",
		"mode", "reason", "pump", "fans", "closed", "buzzer", "trouble", heating)
}

// heating is the column that version 2 added; it stands last, as in a file that began
// with version 1.
const heating = "heating_w"

// schema makes the tables. Times are milliseconds since 1970 in UTC.
func schema() string {
	var b strings.Builder
	b.WriteString("CREATE TABLE IF NOT EXISTS reading (seq INTEGER PRIMARY KEY, ")
	b.WriteString(strings.Join(readingColumns(), ", "))
	b.WriteString(");\nCREATE INDEX IF NOT EXISTS reading_at ON reading(at);\n")
	b.WriteString("CREATE TABLE IF NOT EXISTS event (seq INTEGER PRIMARY KEY, at, loop, simulated, kind, code, body);\n")
	b.WriteString("CREATE INDEX IF NOT EXISTS event_at ON event(at);\n")
	b.WriteString("CREATE TABLE IF NOT EXISTS hour (at INTEGER, loop TEXT, simulated, readings, pump_s, fans_s, charge_mean")
	for p := range control.Places {
		fmt.Fprintf(&b, ", %[1]s_min_c, %[1]s_mean_c, %[1]s_max_c", p)
	}
	b.WriteString(", PRIMARY KEY (loop, at)) WITHOUT ROWID;\n")
	b.WriteString("CREATE TABLE IF NOT EXISTS kept (name TEXT PRIMARY KEY, value TEXT) WITHOUT ROWID;\n")
	return b.String()
}
