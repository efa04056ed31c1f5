package plant

import (
	"time"

	"duskloop/sensors/quantity"
	"duskloop/sim/weather"
)

// Offer is what the two panels would give under a sky, whatever tank and battery take.
type Offer struct {
	Element quantity.Watt // by the element, before it tapers
	Charger quantity.Watt // to a battery at rest
}

// Offered finds it for a dt that is to come, the element connected.
func (p *Plant) Offered(dt time.Duration, sky weather.Sample) Offer {
	in := inputs{ghi: max(0, float64(sky.GHI)), connected: true}
	p.light(&in, dt, sky)
	o := Offer{Element: quantity.Watt(in.elementW), Charger: quantity.Watt(in.best)}
	if p.params.Supply.Charger == Direct {
		o.Charger = in.charger.OnBattery(resting, p.params.Supply.Battery.Resistance).Power()
	}
	return o
}
