package weather

import (
	"fmt"
	"math"
	"strings"
	"time"

	"duskloop/sensors/quantity"
)

// pvgisHourlyFormat is the hourly series of one to many years on a plane, which must
// be level here: global horizontal irradiance is wanted. The irradiance is that of
// the stamp, an instant at some minutes past the hour; we take it for the hour
// around that moment. Air and wind stand in the same row and are taken at the stamp, too;
// they may be those of the full hour, some minutes off.
func pvgisHourlyFormat() format {
	const first = "time,"
	return format{
		name: "PVGIS hourly",
		is:   func(head []string) bool { return pvgisTable(head, first) > 0 },
		read: func(in *reading) error { return readPVGISHourly(in, pvgisTable(in.lines, first)) },
	}
}

func readPVGISHourly(in *reading, table int) error {
	header, err := pvgisHeader(in, table)
	if err != nil {
		return err
	}
	if err := pvgisLevel(header["Slope"]); err != nil {
		return err
	}
	names, err := fields(in.lines[table-1])
	if err != nil {
		return fmt.Errorf("line %d: %w", table, err)
	}
	c, err := pvgisPlane(names)
	if err != nil {
		return fmt.Errorf("line %d: %w", table, err)
	}
	pvgisRows(in, table, func(line int, stamp time.Time, cells []string) error {
		r, err := c.row(in.file, line, stamp, cells)
		if err == nil && c.parts {
			err = r.join(pick(cells, c.height))
		}
		if err == nil {
			in.rows = append(in.rows, r)
		}
		return err
	})
	in.place(time.Hour, atMiddle)
	return nil
}

// plane are the columns of a series on a plane.
type plane struct {
	columns
	parts  bool // the global irradiance is told as beam and diffuse; ghi is the beam
	height int  // the sun's, in degrees
}

func pvgisPlane(names []string) (plane, error) {
	p := plane{height: column(names, "H_sun"), columns: columns{
		air: column(names, "T2m"), ghi: column(names, "G(i)"), dhi: column(names, "Gd(i)"),
		wind: column(names, "WS10m"), dni: -1, humidity: -1, dew: -1, cloud: -1,
	}}
	if p.ghi < 0 && p.dhi >= 0 {
		p.ghi, p.parts = column(names, "Gb(i)"), true
	}
	if p.air < 0 || p.ghi < 0 {
		return p, fmt.Errorf("columns T2m and G(i), or Gb(i) and Gd(i), are wanted")
	}
	return p, nil
}

// join adds beam and diffuse on the level plane up, and turns the beam towards the
// sun by its height in degrees. Without the height the direct irradiance stays absent.
func (r *row) join(height string) error {
	if !r.given.DHI {
		return fmt.Errorf("no diffuse part")
	}
	beam := r.GHI
	r.GHI += r.DHI
	if h, err := number(height); err == nil {
		r.given.DNI = true
		if h < lowest {
			r.DHI = r.GHI
		} else {
			r.DNI = beam / quantity.WattPerSquareMetre(math.Sin(h*math.Pi/180))
		}
	}
	if problem := r.problem(); problem != "" {
		return fmt.Errorf("%s", problem)
	}
	return nil
}

// pvgisLevel refuses a plane that is not level, or of which nothing is said, as in
// files for panels that follow the sun.
func pvgisLevel(slope string) error {
	if slope == "" {
		return fmt.Errorf("the header does not say that the plane is level (a line \"Slope: 0 deg.\"): global horizontal irradiance is wanted, so ask for slope 0 and no tracking")
	}
	text, _, _ := strings.Cut(slope, " ")
	if v, err := number(text); err != nil || v != 0 {
		return fmt.Errorf("the irradiance is that of a plane tilted by %s: global horizontal irradiance is wanted, so ask for slope 0", slope)
	}
	return nil
}

// lowest is the sun's height in degrees below which its beam on level ground says
// nothing about the beam itself, and counts as diffuse (as Erbs' split does, 3°).
const lowest = 3
