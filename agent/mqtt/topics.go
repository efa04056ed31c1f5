package mqtt

import (
	"fmt"
	"strings"
)

// DefaultPrefix begins every topic.
const DefaultPrefix = "duskloop"

// Topics of the daemon, below the prefix.
const (
	topicPresence  = "presence"  // retained, and the last will
	topicHeartbeat = "heartbeat" // after a full successful cycle
	topicDaemon    = "daemon"    // started, stopped, rows dropped
)

// Topics of a loop, below the prefix and its name.
const (
	topicReadings = "readings" // retained SenML pack
	topicDecision = "decision" // retained
	topicTonight  = "tonight"  // retained
	topicAlert    = "alert"    // one raised, repeated or cleared
	topicAlerts   = "alerts"   // retained: those in force
	topicChange   = "change"   // a setting changed, an order by hand
	topicSettings = "settings" // retained: settings that may be changed
	topicAnswer   = "answer"   // to a command
	topicCommand  = "command"  // subscribed
	topicForecast = "forecast" // subscribed, where it is of use
)

// topics makes full topics of the parts.
type topics struct{ prefix string }

func (t topics) daemon(part string) string     { return t.prefix + "/" + part }
func (t topics) loop(name, part string) string { return t.prefix + "/" + name + "/" + part }

// checkSegment refuses what cannot stand in a topic, or would change its
// meaning: wildcards, the null character, nothing at all.
func checkSegment(what, s string, allowed string) error {
	if s == "" || strings.ContainsAny(s, "+#\x00") || strings.ContainsAny(s, "/") && allowed != "/" {
		return fmt.Errorf("%s %q cannot be part of a topic", what, s)
	}
	return nil
}
