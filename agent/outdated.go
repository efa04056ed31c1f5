package agent

import (
	"fmt"

	"duskloop/agent/config"
)

// OutdatedFit says in words which figures of a file's fit the grower has changed since; nothing
// where none are.
func OutdatedFit(f *config.File) []string {
	var all []string
	for _, c := range f.Fitted.Changed(ownParams(f), stated(f)) {
		all = append(all, fmt.Sprintf("%s is %.4g %s by this file, and was %.4g %s when the fit of %s was made: it goes by this file now, and the rest by the fit. After a week of record fit again (duskloop fit).",
			c.Name, c.Now, c.Unit, c.File, c.Unit, f.Fitted.Made.Format("2 Jan 2006")))
	}
	return all
}
