package agent

import (
	"context"
	"encoding/json"

	"duskloop/agent/wire"
)

// asked is what comes by the local socket: commands for the loop, and what only who sits
// at the machine may ask for.
type asked struct {
	PageLink bool `json:"page_link"`
}

// fromSocket answers a line of the local socket. The link that sets the page's password is
// given here alone: it never goes out by MQTT, into the log or the record.
func (d *parts) fromSocket(ctx context.Context, line []byte, who string) (wire.Answer, error) {
	var a asked
	if json.Unmarshal(line, &a) != nil || !a.PageLink {
		return d.loop.Submit(ctx, line, who)
	}
	if d.page == nil {
		return wire.Answer{Reason: "no page is served: see page.listen in the greenhouse file, and the log"}, nil
	}
	return wire.Answer{Accepted: true, Reason: d.page.address() + "/first?link=" + d.page.doors.Reset()}, nil
}

// PageLink asks the daemon that serves the state folder for a link by which the page's
// password is set anew. The link is in the answer's reason; it works once.
func PageLink(ctx context.Context, dir string) (wire.Answer, error) {
	return askFor(ctx, dir, asked{PageLink: true}, 2*askDeadline)
}
