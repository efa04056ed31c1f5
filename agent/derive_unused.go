package agent

import (
	"fmt"
	"strings"

	"duskloop/agent/config"
)

// unused warns of keys that are written in the file and change nothing, because of
// another one.
func (d *Derived) unused(f *config.File) {
	l := f.Loop()
	for _, x := range []struct {
		idle bool
		why  string
		keys []string
	}{
		{l.Tunnel.Cover > 0, "tunnel.cover_loss is given", []string{"tunnel.cover_area", "tunnel.layers", "tunnel.air_changes"}},
		{l.House.Cover > 0, "house.cover_loss is given", []string{"house.cover_area", "house.layers", "house.air_changes"}},
		{l.Model.CoilFins == 0, "model.coil_fins is not given", []string{"model.coil_air", "model.coil_bore", "model.coil_length", "model.coil_circuits"}},
		{l.Model.PumpHead == 0, "model.pump_head is not given", []string{"model.pipe_bore", "model.pipe_length"}},
		{l.Model.TunnelSun == 0, "model.tunnel_sun is 0", []string{"model.sun_to_bed"}},
		{l.Model.TaperBand == 0, "model.taper_band is 0", []string{"model.taper_from"}},
		{l.Battery.Panel == 0, "battery.panel is 0", []string{"battery.controller", "battery.tilt", "battery.facing"}},
		{!bool(l.Tank.Closed) && l.Tank.Vessel > 0, "tank.closed is not true", []string{"tank.vessel"}},
		{!bool(l.Tank.Closed) && bool(l.Tank.Relief), "tank.closed is not true", []string{"tank.relief_valve"}},
		{!l.Label.Given(), "the label's voc, isc, vmp, imp and cells are not given", []string{"element.alpha", "element.beta", "element.in_series", "element.in_parallel"}},
		{l.Model.TunnelVent.Conductance == 0, "model.tunnel_vent is 0", []string{"model.tunnel_vent_opens", "model.tunnel_vent_band"}},
		{l.Model.HouseVent.Conductance == 0, "model.house_vent is 0", []string{"model.house_vent_opens", "model.house_vent_band"}},
	} {
		if said := written(f, x.keys); x.idle && said != "" {
			d.warning("Not used, since %s: %s.", x.why, said)
		}
	}
}

// written lists those of a loop's keys that the file has, with their lines.
func written(f *config.File, keys []string) string {
	var said []string
	for _, key := range keys {
		if line := f.Line("loop." + f.Loop().Name + "." + key); line > 0 {
			said = append(said, fmt.Sprintf("%s (line %d)", key, line))
		}
	}
	return strings.Join(said, ", ")
}
