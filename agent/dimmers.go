package agent

import (
	"duskloop/agent/config"
	"duskloop/agent/outputs"
)

// dimmers makes what sets duties. One generator serves all its outputs.
type dimmers struct {
	at        config.Pulses
	hw        Hardware
	generator *outputs.Generator
}

// of is what sets a drive's duty; nil where nothing does.
func (d *dimmers) of(x config.Drive) (outputs.Dimmer, error) {
	switch x.Dim {
	case config.KernelDim:
		return outputs.KernelPWM{
			Root: string(d.at.Root), Chip: int(x.DimChip), Channel: int(x.Channel), Hertz: int(d.at.Hertz), Low: bool(x.Low),
		}, nil
	case config.ChipDim:
		if d.generator == nil {
			bus, err := d.hw.Bus(string(d.at.Bus))
			if err != nil {
				return nil, err
			}
			d.generator = &outputs.Generator{Bus: bus, Address: uint16(d.at.At), Hertz: int(d.at.Hertz)}
		}
		return d.generator.Output(int(x.Channel), bool(x.Low)), nil
	}
	return nil, nil
}
