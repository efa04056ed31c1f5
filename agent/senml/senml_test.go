package senml

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// read is when the tests read packs: the time the RFC gives in §5.1.6, Mon Oct
// 31 16:27:09 UTC 2011.
var read = time.Unix(1320078429, 0).UTC()

// measured is one resolved record as the tests list it.
type measured struct {
	name string
	unit Unit
	v    float64
	t    float64
}

func resolve(t *testing.T, text string) Pack {
	t.Helper()
	p, err := Parse([]byte(text))
	require.NoError(t, err)
	r, err := p.Resolve(read)
	require.NoError(t, err)
	return r
}

func list(p Pack) []measured {
	var out []measured
	for _, r := range p {
		m := measured{name: r.Name, unit: r.Unit, t: r.Time}
		if r.Value != nil {
			m.v = *r.Value
		}
		out = append(out, m)
	}
	return out
}

// The packs below are the examples of RFC 8428, section in the name.
func TestExamplesOfTheStandard(t *testing.T) {
	t.Parallel()
	const now = 1320078429
	ow := "urn:dev:ow:10e2073a01080063"
	rows := []struct {
		name, pack string
		want       []measured
	}{
		{"§5.1.1 single datapoint", `[{"n":"urn:dev:ow:10e2073a01080063","u":"Cel","v":23.1}]`,
			[]measured{{ow, "Cel", 23.1, now}}},
		{"§5.1.2 multiple datapoints", `[{"bn":"urn:dev:ow:10e2073a01080063:","n":"voltage","u":"V","v":120.1},{"n":"current","u":"A","v":1.2}]`,
			[]measured{{ow + ":voltage", "V", 120.1, now}, {ow + ":current", "A", 1.2, now}}},
		{"§5.1.2 with times, sorted when resolved", `[{"bn":"urn:dev:ow:10e2073a0108006:","bt":1.276020076001e+09,"bu":"A","bver":5,"n":"voltage","u":"V","v":120.1},
			{"n":"current","t":-5,"v":1.2},{"n":"current","t":-4,"v":1.3},{"n":"current","t":-3,"v":1.4},
			{"n":"current","t":-2,"v":1.5},{"n":"current","t":-1,"v":1.6},{"n":"current","v":1.7}]`,
			[]measured{
				{"urn:dev:ow:10e2073a0108006:current", "A", 1.2, 1276020071.001}, {"urn:dev:ow:10e2073a0108006:current", "A", 1.3, 1276020072.001},
				{"urn:dev:ow:10e2073a0108006:current", "A", 1.4, 1276020073.001}, {"urn:dev:ow:10e2073a0108006:current", "A", 1.5, 1276020074.001},
				{"urn:dev:ow:10e2073a0108006:current", "A", 1.6, 1276020075.001}, {"urn:dev:ow:10e2073a0108006:voltage", "V", 120.1, 1276020076.001},
				{"urn:dev:ow:10e2073a0108006:current", "A", 1.7, 1276020076.001}}},
		{"§5.1.6 collection of resources", `[{"bn":"2001:db8::2/","bt":1.320078429e+09,"n":"temperature","u":"Cel","v":25.2},
			{"n":"humidity","u":"%RH","v":30},{"bn":"2001:db8::1/","n":"temperature","u":"Cel","v":12.3},{"n":"humidity","u":"%RH","v":67}]`,
			[]measured{{"2001:db8::2/temperature", "Cel", 25.2, now}, {"2001:db8::2/humidity", "%RH", 30, now},
				{"2001:db8::1/temperature", "Cel", 12.3, now}, {"2001:db8::1/humidity", "%RH", 67, now}}},
		{"§5.1.7 a first record that only carries the name", `[{"bn":"urn:dev:ow:10e2073a01080063:"},{"n":"temp","u":"Cel","v":23.1},{"n":"heat","u":"/","v":1},{"n":"fan","u":"/","v":0}]`,
			[]measured{{ow + ":temp", "Cel", 23.1, now}, {ow + ":heat", "/", 1, now}, {ow + ":fan", "/", 0, now}}},
		{"§5.1.7 two lights", `[{"bt":1.320078429e+09,"bu":"/","n":"2001:db8::3","v":0.5},{"n":"2001:db8::4","v":0.5},{"n":"2001:db8::3","t":0.1,"v":0},{"n":"2001:db8::4","t":0.1,"v":0}]`,
			[]measured{{"2001:db8::3", "/", 0.5, now}, {"2001:db8::4", "/", 0.5, now}, {"2001:db8::3", "/", 0, now + 0.1}, {"2001:db8::4", "/", 0, now + 0.1}}},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			got := list(resolve(t, row.pack))
			require.Len(t, got, len(row.want))
			for i, w := range row.want {
				assert.Equal(t, []any{w.name, w.unit, w.v}, []any{got[i].name, got[i].unit, got[i].v}, "record %d", i+1)
				assert.InDelta(t, w.t, got[i].t, 1e-6, "record %d", i+1) // a double holds these to a quarter of a microsecond
			}
		})
	}
}

// RFC 8428 §5.1.3 is a pack and §5.1.4 the same pack resolved.
func TestResolvedDataOfTheStandard(t *testing.T) {
	t.Parallel()
	pack := `[{"bn":"urn:dev:ow:10e2073a01080063","bt":1.320067464e+09,"bu":"%RH","v":20},
		{"u":"lon","v":24.30621},{"u":"lat","v":60.07965},
		{"t":60,"v":20.3},{"u":"lon","t":60,"v":24.30622},{"u":"lat","t":60,"v":60.07965},
		{"t":120,"v":20.7},{"u":"lon","t":120,"v":24.30623},{"u":"lat","t":120,"v":60.07966},
		{"u":"%EL","t":150,"v":98},
		{"t":180,"v":21.2},{"u":"lon","t":180,"v":24.30628},{"u":"lat","t":180,"v":60.07967}]`
	const n = `"n":"urn:dev:ow:10e2073a01080063"`
	want := strings.NewReplacer("N", n).Replace(`[
		{N,"u":"%RH","t":1.320067464e+09,"v":20},{N,"u":"lon","t":1.320067464e+09,"v":24.30621},{N,"u":"lat","t":1.320067464e+09,"v":60.07965},
		{N,"u":"%RH","t":1.320067524e+09,"v":20.3},{N,"u":"lon","t":1.320067524e+09,"v":24.30622},{N,"u":"lat","t":1.320067524e+09,"v":60.07965},
		{N,"u":"%RH","t":1.320067584e+09,"v":20.7},{N,"u":"lon","t":1.320067584e+09,"v":24.30623},{N,"u":"lat","t":1.320067584e+09,"v":60.07966},
		{N,"u":"%EL","t":1.320067614e+09,"v":98},
		{N,"u":"%RH","t":1.320067644e+09,"v":21.2},{N,"u":"lon","t":1.320067644e+09,"v":24.30628},{N,"u":"lat","t":1.320067644e+09,"v":60.07967}]`)
	got, err := resolve(t, pack).Marshal()
	require.NoError(t, err)
	assert.JSONEq(t, want, string(got))
}

// RFC 8428 §5.1.5: different data types.
func TestDataTypesOfTheStandard(t *testing.T) {
	t.Parallel()
	r := resolve(t, `[{"bn":"urn:dev:ow:10e2073a01080063:","n":"temp","u":"Cel","v":23.1},{"n":"label","vs":"Machine Room"},{"n":"open","vb":false},{"n":"nfc-reader","vd":"aGkgCg"}]`)
	require.Len(t, r, 4)
	assert.Equal(t, "Machine Room", *r[1].Text)
	assert.False(t, *r[2].Flag)
	assert.Equal(t, "aGkgCg", *r[3].Data)
}

func TestVersionStaysInResolvedRecords(t *testing.T) {
	t.Parallel()
	for _, r := range resolve(t, `[{"n":"a","v":1,"bver":5},{"n":"b","v":1}]`) { // §4.6, of the example of §5.1.2
		require.NotNil(t, r.BaseVersion)
		assert.Equal(t, 5, *r.BaseVersion)
	}
	assert.Nil(t, resolve(t, `[{"n":"a","v":1,"bver":10}]`)[0].BaseVersion)
}

func TestBaseValueAndSum(t *testing.T) { // §4.5.4
	t.Parallel()
	r := resolve(t, `[{"n":"a","bv":20,"bs":100,"v":1.5},{"n":"b"},{"n":"c","vs":"text","s":1},{"n":"d","bv":0,"v":2}]`)
	require.Len(t, r, 4)
	assert.Equal(t, []float64{21.5, 100}, []float64{*r[0].Value, *r[0].Sum})
	assert.Equal(t, []float64{20, 100}, []float64{*r[1].Value, *r[1].Sum}, "missing is zero")
	assert.Nil(t, r[2].Value, "a text is not added to")
	assert.InDelta(t, 101, *r[2].Sum, 0)
	assert.InDelta(t, 2, *r[3].Value, 0, "a base value of zero ends the one before")
}

func TestRefused(t *testing.T) {
	t.Parallel()
	rows := []struct{ name, pack, problem string }{
		{"no record", `[]`, "no record"},
		{"not a list", `{"n":"a","v":1}`, "cannot unmarshal"},
		{"no name (§4.5.1)", `[{"v":1}]`, "no name"},
		{"letter (§4.5.1)", `[{"n":"tank hot","v":1}]`, "letter 5 is not allowed"},
		{"first letter (§4.5.1)", `[{"n":"/tank","v":1}]`, "letter 1 is not allowed"},
		{"letter beyond ASCII (§4.5.1)", `[{"n":"tänk","v":1}]`, "letter 2 is not allowed"},
		{"no value (§4.2)", `[{"n":"a","u":"Cel"}]`, "no value and no sum"},
		{"two values (§4.2)", `[{"n":"a","v":1,"vs":"one"}]`, "2 values"},
		{"newer version (§4.4)", `[{"n":"a","v":1,"bver":11}]`, "version 11"},
		{"two versions (§4.4)", `[{"n":"a","v":1},{"n":"b","v":1,"bver":5}]`, "version 5 after 10"},
		{"field to be understood (§4.4)", `[{"n":"a","v":1,"must_":1}]`, `"must_" must be understood`},
		{"number too large", `[{"n":"a","v":1e999}]`, "cannot unmarshal"},
	}
	for _, row := range rows {
		t.Run(row.name, func(t *testing.T) {
			t.Parallel()
			_, err := Parse([]byte(row.pack))
			require.ErrorIs(t, err, ErrPack)
			assert.ErrorContains(t, err, row.problem)
		})
	}
	_, err := Parse([]byte(`[{"n":"a","v":1,"colour":"red"}]`))
	assert.NoError(t, err, "other unknown fields are passed over (§4.4)")
}

func TestTimesThatCannotBeSaid(t *testing.T) { // §4.5.3, §4.6
	t.Parallel()
	for _, at := range []float64{-2e9, -1e300, 1e308} {
		_, err := Pack{{Name: "a", Value: new(1.0), Time: at, BaseTime: &at}}.Resolve(read)
		assert.ErrorIs(t, err, ErrPack, "%v", at)
	}
}

func TestNumbersThatAreNone(t *testing.T) {
	t.Parallel()
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := Pack{Number("a", Celsius, v)}.Marshal()
		require.ErrorIs(t, err, ErrPack)
		_, err = Pack{{Name: "a", Value: new(1.0), Time: v}}.Marshal()
		require.ErrorIs(t, err, ErrPack)
	}
}

// The units this program writes are in the registry of RFC 8428 §12.1, which
// prefers "/" to "%" for a switch and gives percentages only to humidity and
// remaining battery energy.
func TestUnitsAreRegistered(t *testing.T) {
	t.Parallel()
	assert.Equal(t, []Unit{"Cel", "V", "A", "/", "%EL"}, []Unit{Celsius, Volt, Ampere, Ratio, Charge})
}

func TestSeconds(t *testing.T) {
	t.Parallel()
	s, ok := Seconds(time.Date(2010, 6, 8, 18, 1, 16, 1e6, time.UTC)) // §5.1.2 gives this time and number
	assert.True(t, ok)
	assert.InDelta(t, 1.276020076001e+09, s, 1e-6)
	_, ok = Seconds(time.Date(1978, 7, 4, 21, 24, 16, 0, time.UTC)) // §4.5.3: the smallest absolute time
	assert.True(t, ok)
	_, ok = Seconds(time.Date(1978, 7, 4, 21, 24, 15, 0, time.UTC))
	assert.False(t, ok)
	_, ok = Seconds(time.Unix(60, 0))
	assert.False(t, ok, "a clock that was never set")
}

// FuzzParse: whatever is accepted can be resolved, written and read again, and
// resolving what is resolved changes nothing.
func FuzzParse(f *testing.F) {
	f.Add([]byte(`[{"bn":"a:","bt":1e9,"bu":"A","bver":5,"n":"b","u":"V","v":1},{"n":"c","t":-5,"v":2}]`))
	f.Add([]byte(`[{"bn":"a"},{"n":"b","vs":"x"},{"n":"c","vb":true},{"n":"d","s":1,"bs":2,"bv":3}]`))
	f.Add([]byte(`[{"n":"a","v":1e308,"bv":1e308}]`))
	f.Fuzz(func(t *testing.T, data []byte) {
		p, err := Parse(data)
		if err != nil {
			return
		}
		r, err := p.Resolve(read)
		if err != nil || len(r) == 0 {
			return
		}
		b, err := r.Marshal()
		if err != nil {
			return // sums beyond what a number holds
		}
		again, err := Parse(b)
		if err != nil {
			t.Fatalf("written and not read: %s: %v", b, err)
		}
		twice, err := again.Resolve(read)
		if err != nil {
			t.Fatalf("resolved and not resolvable: %s: %v", b, err)
		}
		b2, err := twice.Marshal()
		if err != nil || string(b) != string(b2) {
			t.Fatalf("resolving twice differs: %s, %s, %v", b, b2, err)
		}
		if !json.Valid(b) || strings.ContainsRune(string(b), '\n') {
			t.Fatalf("not one line of JSON: %q", b)
		}
	})
}
