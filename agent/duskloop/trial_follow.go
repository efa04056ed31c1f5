package main

type trialFollow struct {
	trialVessel
	trialShown
}

func (c *trialFollow) Run(*session) error { return nil }
