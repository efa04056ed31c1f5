package control

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/sensors/quantity"
)

// tell is the text of an alert in force as the rig stands.
func (r *rig) tell(c AlertCode, u quantity.Units) string {
	return Tell(&r.s, &r.st, r.in, c, Places, u)
}

// An alert's text is told anew as things stand, in whichever units; while hysteresis holds it
// it says that the limit was passed and is not clear, and not that it is passed now.
// 4 °C is 39.2 °F, 5 °C 41 °F (NIST SP 811, table B.8).
func TestAlertsAreToldAsThingsStand(t *testing.T) {
	t.Parallel()
	r := settledRig()
	r.temp(Tunnel, 4)
	r.run(11 * time.Minute)
	require.True(t, r.active(AlertTunnelCold))
	before := r.st
	assert.Contains(t, r.tell(AlertTunnelCold, quantity.SI), "Tunnel air 4 °C is below the crop's minimum of 5 °C;")
	assert.Contains(t, r.tell(AlertTunnelCold, quantity.US), "Tunnel air 39.2 °F is below the crop's minimum of 41 °F;")
	assert.Equal(t, before, r.st)
	r.temp(Tunnel, 5.5)
	r.step(1)
	require.True(t, r.active(AlertTunnelCold))
	assert.Contains(t, r.tell(AlertTunnelCold, quantity.SI), "was below the crop's minimum of 5 °C and is not yet clear of it for half an hour: 5.5 °C now;")
	r.lose(Tunnel, time.Hour)
	r.step(1)
	assert.Contains(t, r.tell(AlertTunnelCold, quantity.SI), "was below the crop's minimum of 5 °C and is not known now;")

	r = settledRig()
	r.temp(Tank, 83)
	r.step(1)
	require.True(t, r.active(AlertTankHot))
	assert.Contains(t, r.tell(AlertTankHot, quantity.SI), "Tank hot: 83 °C (limit 82 °C).")
	r.temp(Tank, 80)
	r.step(1)
	require.True(t, r.active(AlertTankHot))
	assert.Contains(t, r.tell(AlertTankHot, quantity.US), "Tank hot: 176 °F (limit 179.6 °F; it was above and is not yet clear of it).")

	r = settledRig()
	r.temp(Tunnel, 31)
	r.run(6 * time.Minute)
	require.True(t, r.active(AlertTunnelHot))
	assert.Contains(t, r.tell(AlertTunnelHot, quantity.SI), "Tunnel air 31 °C is above the crop's maximum of 30 °C.")
	r.temp(Tunnel, 29.5)
	r.step(1)
	if assert.True(t, r.active(AlertTunnelHot)) {
		assert.Contains(t, r.tell(AlertTunnelHot, quantity.SI), "was above the crop's maximum of 30 °C and is not yet clear of it: 29.5 °C.")
	}
}
