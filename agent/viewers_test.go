//go:build !race

package agent

import (
	"bufio"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// viewedFor is for how long the page is looked at, and left alone, in TestFiftyViewers.
var viewedFor = flag.Duration("viewed", 5*time.Second, "how long fifty look at the page")

// viewers look at the page at once.
const viewers = 50

// viewVar names, for a process that looks, what it looks at.
const viewVar = "DUSKLOOP_TEST_VIEW"

// TestMain looks at a page instead of testing, where it is told to: who looks must not
// share the memory that is measured.
func TestMain(m *testing.M) {
	if base := os.Getenv(viewVar); base != "" {
		os.Exit(view(base))
	}
	os.Exit(m.Run())
}

// seenByViewers is what they came to.
type seenByViewers struct {
	Events, Bytes, Fewest int // Fewest events of any
	Faults                []string
}

// view opens the page and follows its stream, for each of the viewers, until standard input
// ends, and says what came.
func view(base string) int {
	ctx, stop := context.WithCancel(context.Background())
	go func() {
		_, _ = io.Copy(io.Discard, os.Stdin)
		stop()
	}()
	var all sync.WaitGroup
	var mu sync.Mutex
	sum := seenByViewers{Fewest: -1}
	for range viewers {
		all.Go(func() {
			events, bytes, err := follow(ctx, base)
			mu.Lock()
			defer mu.Unlock()
			sum.Events, sum.Bytes = sum.Events+events, sum.Bytes+bytes
			if sum.Fewest < 0 || events < sum.Fewest {
				sum.Fewest = events
			}
			if err != nil && ctx.Err() == nil {
				sum.Faults = append(sum.Faults, err.Error())
			}
		})
	}
	all.Wait()
	_ = json.NewEncoder(os.Stdout).Encode(sum)
	return 0
}

// follow is one viewer: the page, then its stream.
func follow(ctx context.Context, base string) (events, bytes int, err error) {
	c := &http.Client{Transport: &http.Transport{}}
	page, err := ask(ctx, c, base+"/")
	if err != nil {
		return 0, 0, err
	}
	n, err := io.Copy(io.Discard, page)
	_ = page.Close()
	if err != nil {
		return 0, int(n), err
	}
	stream, err := ask(ctx, c, base+"/live")
	if err != nil {
		return 0, int(n), err
	}
	defer stream.Close()
	lines := bufio.NewScanner(stream)
	lines.Buffer(nil, 1<<20)
	for bytes = int(n); lines.Scan(); bytes += len(lines.Bytes()) {
		if strings.HasPrefix(lines.Text(), "event: moment") {
			events++
		}
	}
	return events, bytes, lines.Err()
}

func ask(ctx context.Context, c *http.Client, url string) (io.ReadCloser, error) {
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, url, nil)
	if err != nil {
		return nil, err
	}
	answer, err := c.Do(r)
	if err != nil {
		return nil, err
	}
	if answer.StatusCode != http.StatusOK {
		_ = answer.Body.Close()
		return nil, fmt.Errorf("%s: %s", url, answer.Status)
	}
	return answer.Body, nil
}

// crowd is the viewers while they look, in a process of their own.
type crowd struct {
	cmd *exec.Cmd
	in  io.Closer
	out *bufio.Reader
}

func gather(t *testing.T, base string) *crowd {
	t.Helper()
	c := &crowd{cmd: exec.Command(os.Args[0])}
	c.cmd.Env, c.cmd.Stderr = append(os.Environ(), viewVar+"="+base), os.Stderr
	in, err := c.cmd.StdinPipe()
	require.NoError(t, err)
	out, err := c.cmd.StdoutPipe()
	require.NoError(t, err)
	c.in, c.out = in, bufio.NewReader(out)
	require.NoError(t, c.cmd.Start())
	t.Cleanup(func() { _ = c.cmd.Process.Kill() })
	return c
}

// leave ends the looking.
func (c *crowd) leave(t *testing.T) (sum seenByViewers) {
	t.Helper()
	require.NoError(t, c.in.Close())
	require.NoError(t, json.NewDecoder(c.out).Decode(&sum))
	require.NoError(t, c.cmd.Wait())
	return sum
}
