package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"duskloop/sim/trial"
)

// judged is a run with what it says.
type judged struct {
	run     trial.Run
	sun     trial.Sunlit
	highest float64 // V, of the panel, where that was followed: that of Power
	trial.Fitted
}

// judge a file's run.
func judge(name string, heat float64) (j judged, err error) {
	text, err := os.ReadFile(name)
	if err != nil {
		return j, err
	}
	if j.run, j.sun, j.highest, err = trial.Read(bytes.NewReader(text)); err != nil {
		return j, err
	}
	j.run.Name, j.run.Heat = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name)), heat
	if bytes.HasPrefix(text, []byte(simulatedMark)) {
		j.run.Name += " (simulated)"
	}
	j.Fitted, err = trial.Fit(&j.run)
	return j, err
}

// atOneVoltage states the powers of runs that were followed by their panel's voltage at the
// highest of all: a resistor takes its square.
func atOneVoltage(all []judged) {
	highest := 0.0
	for i := range all {
		highest = max(highest, all[i].highest)
	}
	for i := range all {
		if j := &all[i]; j.sun == trial.ByVoltage && j.highest > 0 {
			more := (highest / j.highest) * (highest / j.highest)
			for k := range j.run.Readings {
				j.run.Readings[k].On /= more
			}
			j.Power, j.PowerError, j.highest = j.Power*more, j.PowerError*more, highest
		}
	}
}

// powerKind says what a run's power did.
type powerKind string

// A steady one, one that the sun changed as was recorded, and one that the readings alone
// say was not steady.
const (
	steadyPower     powerKind = "constant"
	changingSun     powerKind = "changing-sun"
	looksLikeTheSun powerKind = "looks-like-changing-sun"
)

// steadyWithin is how much a recorded power may vary and be called steady: a meter's scatter.
// Our choice.
const steadyWithin = 0.05

// kind of a run's power, and what told it.
func (j *judged) kind() (kind powerKind, by string) {
	switch {
	case j.sun == trial.Constant && j.Unsteady:
		return looksLikeTheSun, "readings"
	case j.sun == trial.Constant:
		return steadyPower, "readings"
	case j.run.Varied() > steadyWithin:
		return changingSun, follows(j.sun)
	}
	return steadyPower, follows(j.sun)
}

// follows says in a word by what a power was followed.
func follows(s trial.Sunlit) string {
	return map[trial.Sunlit]string{trial.Constant: "constant", trial.ByIrradiance: "irradiance", trial.ByVoltage: "panel voltage"}[s]
}

// unlike says why the powers of two runs cannot be compared; empty where they can.
func unlike(a, b *judged) string {
	for _, j := range []*judged{a, b} {
		if kind, _ := j.kind(); kind == looksLikeTheSun {
			return fmt.Sprintf("the power of %s is a mean under a changing sun", j.run.Name)
		}
	}
	if a.sun != b.sun {
		return fmt.Sprintf("the power of %s stands %s, that of %s %s", a.run.Name, statedAt(a), b.run.Name, statedAt(b))
	}
	return ""
}

// statedAt says at what light a power is stated.
func statedAt(j *judged) string {
	switch j.sun {
	case trial.ByIrradiance:
		return "at 1000 W/m²"
	case trial.ByVoltage:
		return fmt.Sprintf("at %.1f V of the panel", j.highest)
	}
	return "as it was"
}
