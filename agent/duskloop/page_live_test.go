//go:build !race

package main

import (
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"

	"duskloop/agent/internal/browsertest"
)

// reloaded marks a page, so that another in its place is noticed.
const markPage, stillThere = `window.marked = "yes"`, `window.marked === "yes"`

// The page of real drivers follows what they read without being loaded anew: a value, an
// alert that comes and goes; when the daemon is away it says so, and when it is back at the
// same port the page goes on by itself.
func TestPageFollowsTheDaemon(t *testing.T) {
	s, p := pageBench(t)
	b := browsertest.Open(t, p.base)
	b.Size(360, 740)
	b.Go("/")
	b.AwaitText("#now", "51.7 °C")
	b.Await("no alert", `/No alert is in force|Nothing needs doing/.test(document.querySelector("#alerts").textContent)`)
	b.Tell(markPage)

	s.probe("real-0")
	b.AwaitText("#now", "0.0 °C")
	s.write("rig/level", "low")
	b.AwaitText("#alerts", "To be seen to")
	looks(t, b, "alert", &verdict{unsure: map[string]int{}})
	s.write("rig/level", "high")
	b.Await("the alert gone", `!document.querySelector("#alerts").textContent.includes("level")`)
	assert.Equal(t, "true", b.Tell(`String(document.querySelector("#away").hidden)`))
	other := browsertest.Open(t, p.base)
	other.Go("/record")
	other.Expect(`net::ERR_(CONNECTION_REFUSED|INCOMPLETE_CHUNKED_ENCODING|EMPTY_RESPONSE|CONNECTION_RESET|NETWORK_CHANGED).*`)

	b.Expect(`net::ERR_(CONNECTION_REFUSED|INCOMPLETE_CHUNKED_ENCODING|EMPTY_RESPONSE|CONNECTION_RESET|NETWORK_CHANGED).*`)
	code, _ := p.end(syscall.SIGTERM)
	assert.Zero(t, code)
	b.Await("word that the daemon is away", `!document.querySelector("#away").hidden`)
	other.Await("so on every view", `!document.querySelector("#away").hidden`)
	looks(t, b, "away", &verdict{unsure: map[string]int{}})
	s.probe("good")
	again := s.daemon().paged()
	assert.Equal(t, p.base, again.base)
	b.Await("the daemon back", `document.querySelector("#away").hidden`)
	b.AwaitText("#now", "51.7 °C")
	assert.Equal(t, "yes", b.Tell(`window.marked ?? "loaded anew"`))
}

// Who comes with the link that the daemon printed sets the password, once; a wrong one is
// refused beside its field, the right one lets in, and leaving asks again.
func TestPagePassword(t *testing.T) {
	_, p := demo(t, "60")
	b := browsertest.Open(t, p.base)
	b.Size(360, 740)
	b.Expect(`status of 4(01|22)`)
	b.Go("/hand")
	assert.Equal(t, "true", b.Tell(`String(document.querySelector("main form button").disabled)`))
	b.Go(p.link)
	b.Write("#password", "short")
	b.Click("main form button")
	b.AwaitText("#fault", "8")
	p.enter(b)

	b.Click("footer form[action='/leave'] button")
	b.AwaitText("footer", "Enter the password to change things")
	b.Go(p.link)
	b.Write("#password", "another password")
	b.Click("main form button")
	b.AwaitText("#fault", "link")

	b.Go("/enter")
	b.Write("#password", "wrong password")
	b.Click("main form button")
	b.AwaitText("#fault", "That is not the password.")
	assert.Equal(t, "fault", b.Tell(`document.querySelector("#password").getAttribute("aria-describedby")`))
	assert.Equal(t, "", b.Tell(`document.querySelector("#password").value`))
	looks(t, b, "wrong-password", &verdict{unsure: map[string]int{}})
	b.Write("#password", pagePassword)
	b.Press("\r")
	b.AwaitText("footer", "Leave: ask for the password again")
	assert.False(t, strings.Contains(p.said(), pagePassword))
}

// An order by hand is in force at once, is told on the first page, and ends.
func TestPageByHand(t *testing.T) {
	_, p := demo(t, "60")
	b := browsertest.Open(t, p.base)
	p.enter(b)
	b.Go("/")
	b.Tell(markPage)
	c := p.client()
	_, code := p.post(c, "/hand", "order=hold&for=4 h")
	assert.Equal(t, 200, code)
	b.AwaitText("#now", "By hand: held off")
	b.Await("the same page", stillThere)
	b.Go("/hand")
	b.AwaitText("main", "In force: held off")
	b.Click("form:has(input[value=end]) button")
	b.AwaitText("main", "Nothing is ordered by hand")
}
