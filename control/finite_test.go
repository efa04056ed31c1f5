package control

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"github.com/stretchr/testify/require"
)

// requireFinite fails if a number anywhere in the values is NaN or infinite.
func requireFinite(t require.TestingT, values ...any) {
	for _, v := range values {
		if path := notFinite(reflect.ValueOf(v), reflect.TypeOf(v).Name()); path != "" {
			require.Fail(t, "not a finite number", path)
		}
	}
}

// notFinite is where in v a number is not finite; empty if all are.
func notFinite(v reflect.Value, path string) string {
	switch v.Kind() {
	case reflect.Float64, reflect.Float32:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			return path
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if p := notFinite(v.Field(i), path+"."+v.Type().Field(i).Name); p != "" {
				return p
			}
		}
	case reflect.Array, reflect.Slice:
		for i := range v.Len() {
			if p := notFinite(v.Index(i), fmt.Sprintf("%s[%d]", path, i)); p != "" {
				return p
			}
		}
	}
	return ""
}

// The walk itself must be able to fail.
func TestNotFiniteFindsThem(t *testing.T) {
	t.Parallel()
	var st State
	require.Empty(t, notFinite(reflect.ValueOf(st), "State"))
	st.Samples.Rest[1] = 1 // and one deep inside
	st.Samples.Amps[2] = 0
	st.Charge.Band = 0
	st.Flow.Far = 0
	require.Empty(t, notFinite(reflect.ValueOf(st), "State"))
	st.Samples.Amps[2] /= 0 * st.Samples.Amps[1]
	require.Equal(t, "State.Samples.Amps[2]", notFinite(reflect.ValueOf(st), "State"))
}
