package agent

import "errors"

// ErrConfig marks a fault of configuration: starting again cannot mend it, so
// the service must not try. Everything else is a fault of running.
var ErrConfig = errors.New("configuration fault")
