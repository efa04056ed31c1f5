//go:build !rig

package main

import (
	"duskloop/agent"
	"duskloop/agent/hardware"
)

// openBoard opens the computer's own hardware.
func openBoard() (agent.Hardware, error) { return hardware.Open() }
