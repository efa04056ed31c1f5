package weather

import (
	"fmt"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// said is what the comments say.
type said struct {
	zoned   bool
	meaning stamped
	place   int // how many of latitude and longitude were given
}

// plainComments reads what the lines above the table say.
func plainComments(in *reading, table int) (said, error) {
	var told said
	for n, line := range in.lines[:table-1] {
		text := strings.TrimLeft(strings.TrimSpace(line), "# ")
		for piece := range strings.FieldsFuncSeq(text, func(r rune) bool { return r == ',' || r == ';' }) {
			word, value := plainPair(piece)
			if err := in.comment(&told, word, value); err != nil {
				return told, fmt.Errorf("line %d: %s: %w", n+1, word, err)
			}
		}
	}
	in.file.Station.Known = told.place == 2
	return told, in.file.Station.validate(in.file.Station.Offset.Hours())
}

// plainPair splits "zone: -05:00", "zone = -05:00" and "zone -05:00".
func plainPair(piece string) (word, value string) {
	piece = strings.TrimSpace(piece)
	end := strings.IndexAny(piece, ":= \t")
	if end < 0 {
		return strings.ToLower(piece), ""
	}
	return strings.ToLower(piece[:end]), strings.TrimSpace(strings.TrimLeft(piece[end:], ":= \t"))
}

// comment takes one word and its value. Words that mean nothing here are prose.
func (in *reading) comment(told *said, word, value string) error {
	var (
		s   = &in.file.Station
		err error
	)
	switch word {
	case "zone":
		s.Offset, err = plainZone(value)
		told.zoned = true
	case "stamp":
		told.meaning, err = plainMeaning(value)
	case "latitude":
		told.place++
		err = angle(&s.Latitude, value)
	case "longitude":
		told.place++
		err = angle(&s.Longitude, value)
	case "elevation":
		if v, bad := number(value); bad == nil {
			s.Elevation = quantity.Metre(v)
		} else {
			err = s.Elevation.Set(value)
		}
	}
	return err
}

func angle(into *quantity.Angle, text string) error {
	if v, err := number(text); err == nil {
		*into = quantity.Angle(v)
		return nil
	}
	return into.Set(text)
}

func plainMeaning(value string) (stamped, error) {
	for m, word := range []string{atStart: "start", atMiddle: "middle", atEnd: "end"} {
		if strings.EqualFold(value, word) {
			return stamped(m), nil
		}
	}
	return 0, fmt.Errorf("start, middle or end, not %q", value)
}

// plainZone reads -05:00, -5 or UTC.
func plainZone(value string) (time.Duration, error) {
	if strings.EqualFold(value, "UTC") || value == "Z" {
		return 0, nil
	}
	if hours, err := number(strings.TrimPrefix(value, "UTC")); err == nil {
		return time.Duration(hours * float64(time.Hour)), nil
	}
	t, err := time.Parse("Z07:00", strings.TrimPrefix(value, "UTC"))
	if err != nil {
		return 0, fmt.Errorf("write the offset from UTC as -05:00, not %q", value)
	}
	_, seconds := t.Zone()
	return time.Duration(seconds) * time.Second, nil
}
