package mqtt

import (
	"errors"
	"net"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/eclipse/paho.mqtt.golang/packets"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/internal/mosquittotest"
)

// accessList is the one we give to growers.
func accessList(t *testing.T) string {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("..", "..", "deploy", "mosquitto-acl"))
	require.NoError(t, err)
	return string(b)
}

// TestAccessTakenAway takes the daemon's right to write while it is connected. The
// broker hangs up on it (Mosquitto 2.0.11) or tells nobody; the daemon notices with the
// next alert, says what is wrong, and tells all of them once it may again.
func TestAccessTakenAway(t *testing.T) {
	t.Parallel()
	rules := accessList(t)
	broker := mosquittotest.Start(t, mosquittotest.WithUser("duskloop", "coltsfoot"), mosquittotest.WithUser("grower", "bindweed"), mosquittotest.WithAccess(rules))
	got := subscribe(t, broker.Addr, "duskloop/#", mosquittotest.Login{User: "grower", Password: "bindweed"})
	o := options(broker.Addr)
	o.User, o.Password, o.Ack = "duskloop", "coltsfoot", 300*time.Millisecond
	rec := newRecord(t)
	f := feed(t, rec, o)
	rec.Append(nil, alert(1))
	got.AwaitOn("duskloop/bench/alert", 1)
	drained(t, f)

	less := strings.Replace(rules, "topic readwrite duskloop/#", "topic read duskloop/#", 1)
	require.NotEqual(t, rules, less)
	broker.ChangeAccess(less)
	n := 1
	require.Eventually(t, func() bool { // the broker reads its list when it comes to it
		n++
		rec.Append(nil, alert(n))
		return errors.Is(f.Err(), errSilent) || errors.Is(f.Err(), errHangsUp)
	}, 20*time.Second, 20*time.Millisecond)
	assert.NotZero(t, f.cursors.left(rec), "what was not passed on waits")

	broker.ChangeAccess(rules)
	drained(t, f)
	var distinct []int64
	repeats := 0
	require.Eventually(t, func() bool { // one that was told twice arrives before the last
		numbers, _ := arrivals(t, got, "alert")
		distinct, repeats = firsts(numbers)
		return len(distinct) >= n
	}, 20*time.Second, 20*time.Millisecond, "every alert, each known by its number")
	assert.Len(t, distinct, n, "every alert, each known by its number")
	assert.True(t, slices.IsSorted(distinct), "in order of first arrival")
	t.Logf("%d alerts, %d repeats, the last is number %d", n, repeats, distinct[len(distinct)-1])
}

// TestSwallowed has a broker that acknowledges everything and passes nothing on, as
// MQTT 3.1.1 lets it do with what its access list forbids.
func TestSwallowed(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	require.NoError(t, err)
	t.Cleanup(func() { l.Close() })
	go func() {
		for serveFickle(l, 1<<30, false, func(*packets.PublishPacket) {}) {
		}
	}()
	o := options(l.Addr().String())
	o.Ack = 100 * time.Millisecond
	rec := newRecord(t)
	rec.Append(nil, alert(1))
	f := feed(t, rec, o)
	require.Eventually(t, func() bool { return errors.Is(f.Err(), errSilent) }, 20*time.Second, 5*time.Millisecond)
	assert.EqualValues(t, 1, f.cursors.left(rec), "the alert waits")
}

// TestOnlyTheGrowerGivesOrders holds the list against someone else with a password.
func TestOnlyTheGrowerGivesOrders(t *testing.T) {
	t.Parallel()
	broker := mosquittotest.Start(t, mosquittotest.WithUser("duskloop", "coltsfoot"), mosquittotest.WithUser("grower", "bindweed"),
		mosquittotest.WithUser("visitor", "dock"), mosquittotest.WithAccess(accessList(t)))
	login := func(user, password string) mosquittotest.Login {
		return mosquittotest.Login{User: user, Password: password}
	}
	daemon := subscribe(t, broker.Addr, "duskloop/#", login("duskloop", "coltsfoot"))
	visitor := subscribe(t, broker.Addr, "duskloop/#", login("visitor", "dock"))
	grower := subscribe(t, broker.Addr, "duskloop/#", login("grower", "bindweed"))
	mosquittotest.Attempt(t, broker.Addr, login("visitor", "dock"), "duskloop/bench/command", "the visitor's")
	mosquittotest.Attempt(t, broker.Addr, login("visitor", "dock"), "duskloop/bench/alert", "the visitor's")
	mosquittotest.Attempt(t, broker.Addr, login("grower", "bindweed"), "duskloop/bench/alert", "the grower's")
	mosquittotest.Attempt(t, broker.Addr, login("grower", "bindweed"), "duskloop/bench/command", "the grower's")
	for _, c := range []*mosquittotest.Collector{daemon, visitor, grower} {
		assert.Equal(t, "the grower's", c.AwaitOn("duskloop/bench/command", 1))
		assert.Empty(t, c.On("duskloop/bench/alert"))
	}
}
