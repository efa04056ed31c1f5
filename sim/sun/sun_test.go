package sun_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
	"duskloop/sim/sun"
)

// row is one line of a reference table by column name. Sources and methods stand
// in the header lines of each file in testdata.
type row map[string]string

func rows(t *testing.T, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	var out []row
	for _, line := range all[1:] {
		one := row{}
		for i, column := range all[0] {
			one[column] = line[i]
		}
		out = append(out, one)
	}
	require.NotEmpty(t, out)
	return out
}

func (r row) number(t *testing.T, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, column)
	return v
}

func (r row) instant(t *testing.T, column string) time.Time {
	t.Helper()
	v, err := time.Parse(time.RFC3339, r[column])
	require.NoError(t, err, column)
	return v
}

func (r row) angle(t *testing.T, column string) quantity.Angle {
	t.Helper()
	return quantity.Angle(r.number(t, column))
}

func (r row) irradiance(t *testing.T, column string) quantity.WattPerSquareMetre {
	t.Helper()
	return quantity.WattPerSquareMetre(r.number(t, column))
}

func (r row) site(t *testing.T) sun.Site {
	t.Helper()
	return sun.Site{
		Latitude: r.angle(t, "lat_deg"), Longitude: r.angle(t, "lon_deg"),
		Elevation: quantity.Metre(r.number(t, "alt_m")),
	}
}

func TestPositionAgainstSPA(t *testing.T) {
	t.Parallel()
	for _, r := range rows(t, "sun_position.csv") {
		t.Run(r["utc"]+" lat "+r["lat_deg"], func(t *testing.T) {
			t.Parallel()
			got := r.site(t).Position(r.instant(t, "utc"))
			zenith := r.number(t, "zenith_true_deg")
			assert.InDelta(t, zenith, float64(got.Zenith), 0.004)
			// Refraction differs with the row's weather by some thousandths near the
			// horizon.
			assert.InDelta(t, r.number(t, "zenith_apparent_deg"), float64(got.Apparent), 0.015)
			// An azimuth error counts by the sine of the zenith: near the vertical a
			// small shift of the sun turns its azimuth far.
			turn := math.Remainder(float64(got.Azimuth)-r.number(t, "azimuth_deg"), 360)
			assert.InDelta(t, 0, turn*math.Sin(zenith*math.Pi/180), 0.004)
			assert.InDelta(t, 0, turn, 0.01, "here as it is too: no row is that near the vertical")
		})
	}
}

func TestRiseAndSetAgainstSPA(t *testing.T) {
	t.Parallel()
	for _, r := range rows(t, "sun_position.csv") {
		t.Run(r["local_date"]+" lat "+r["lat_deg"], func(t *testing.T) {
			t.Parallel()
			zone := time.FixedZone("local", int(r.number(t, "utc_offset_h")*3600))
			date, err := time.ParseInLocation(time.DateOnly, r["local_date"], zone)
			require.NoError(t, err)
			day := r.site(t).Day(date.Add(10 * time.Hour))
			assert.WithinDuration(t, r.instant(t, "transit_utc"), day.Noon, 15*time.Second)
			for column, got := range map[string]time.Time{"sunrise_utc": day.Rise, "sunset_utc": day.Set} {
				if r[column] == "" {
					assert.True(t, got.IsZero(), "%s: none that day, got %v", column, got)
					continue
				}
				assert.WithinDuration(t, r.instant(t, column), got, 15*time.Second, column)
			}
		})
	}
}

func TestClearSkyAgainstTable(t *testing.T) {
	t.Parallel()
	for _, r := range rows(t, "clear_sky.csv") {
		t.Run(r["utc"]+" lat "+r["lat_deg"], func(t *testing.T) {
			t.Parallel()
			z, extra := r.angle(t, "zenith_apparent_deg"), sun.Extraterrestrial(r.instant(t, "utc"))
			site := sun.Site{Elevation: 100, Turbidity: 3}
			l := site.IneichenPerez(z, extra)
			assert.InEpsilon(t, r.number(t, "dni_extra_wm2"), float64(extra), 1e-6)
			// Printed to 0.001 W/m2 from the zenith printed to 0.0001 deg: 0.02 W/m2.
			assert.InDelta(t, r.number(t, "ghi_haurwitz_wm2"), float64(sun.Haurwitz(z)), 0.02)
			assert.InDelta(t, r.number(t, "ghi_ineichen_wm2"), float64(l.GHI), 0.02)
			assert.InDelta(t, r.number(t, "dni_ineichen_wm2"), float64(l.DNI), 0.02)
			assert.InDelta(t, r.number(t, "dhi_ineichen_wm2"), float64(l.DHI), 0.02)
			if r["airmass_rel"] != "" {
				assert.InEpsilon(t, r.number(t, "airmass_rel"), sun.AirMass(z), 1e-4)
			}
		})
	}
}

func TestSplitAndPlaneAgainstTable(t *testing.T) {
	t.Parallel()
	for _, r := range rows(t, "transposition.csv") {
		t.Run(r["utc"]+" tilt "+r["tilt_deg"], func(t *testing.T) {
			t.Parallel()
			extra := sun.Extraterrestrial(r.instant(t, "utc"))
			pos := sun.Position{Zenith: r.angle(t, "zenith_true_deg"), Azimuth: r.angle(t, "sun_azimuth_deg")}
			l := sun.Erbs(r.irradiance(t, "ghi_wm2"), pos.Zenith, extra)
			plane := sun.Plane{
				Tilt: r.angle(t, "tilt_deg"), Facing: r.angle(t, "plane_azimuth_deg"),
				Albedo: quantity.Share(r.number(t, "albedo")),
			}
			// ghi is printed to 0.1 W/m2 but was 0.05 off at most; DNI at a low sun
			// multiplies that. 0.2 % is the accuracy the project asks for.
			within := func(column string, got quantity.WattPerSquareMetre) {
				want := r.number(t, column)
				assert.InDelta(t, want, float64(got), 0.002*want+0.05, column)
			}
			within("dni_erbs_wm2", l.DNI)
			within("dhi_erbs_wm2", l.DHI)
			within("poa_total_isotropic_wm2", plane.Isotropic(pos, l))
			within("poa_total_haydavies_wm2", plane.HayDavies(pos, l, extra))
		})
	}
}

func TestValidate(t *testing.T) {
	t.Parallel()
	require.NoError(t, sun.Site{Latitude: 44, Longitude: -78}.Validate())
	require.ErrorContains(t, sun.Site{Latitude: 91}.Validate(), "latitude")
	require.ErrorContains(t, sun.Site{Longitude: 200}.Validate(), "longitude")
	require.ErrorContains(t, sun.Site{Latitude: quantity.Angle(math.NaN())}.Validate(), "latitude")
	require.ErrorContains(t, sun.Plane{Tilt: 120}.Validate(), "tilt")
}

func ExampleSite_Day() {
	site := sun.Site{Latitude: 44.2, Longitude: -78.6, Elevation: 190}
	day := site.Day(time.Date(2026, 1, 15, 12, 0, 0, 0, time.FixedZone("EST", -5*3600)))
	fmt.Println(day.Rise.Format("15:04"), day.Noon.Format("15:04"), day.Set.Format("15:04"))
	// Output: 07:46 12:23 17:01
}
