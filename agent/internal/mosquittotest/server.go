// Package mosquittotest runs a real Mosquitto for tests, on a free port of the
// loopback interface, with its store in the test's own folder. Without
// Mosquitto installed a test fails: what it would have shown is not shown.
package mosquittotest

import (
	"bytes"
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

const (
	startIn = 10 * time.Second
	stopIn  = 10 * time.Second
)

// Server is one Mosquitto. Its methods fail the test when they cannot do what
// they say.
type Server struct {
	Addr string // host:port, the same over restarts

	t       testing.TB
	program string
	config  string
	process *exec.Cmd
	exited  chan struct{}
	output  *bytes.Buffer
}

// Option changes the configuration of a Server.
type Option func(t testing.TB, folder string, config *strings.Builder)

// WithUser lets in only clients that give this name and password, or those of another
// WithUser.
func WithUser(name, password string) Option {
	return func(t testing.TB, folder string, config *strings.Builder) {
		t.Helper()
		file := filepath.Join(folder, "passwords")
		arguments := []string{"-b", file, name, password}
		if _, err := os.Stat(file); err != nil {
			arguments = append([]string{"-c"}, arguments...)
			fmt.Fprintf(config, "allow_anonymous false\npassword_file %s\n", file)
		}
		if out, err := exec.Command("mosquitto_passwd", arguments...).CombinedOutput(); err != nil {
			t.Fatalf("making the password file with mosquitto_passwd: %v: %s", err, out)
		}
	}
}

const accessFile = "access"

// WithAccess gives an access list, which ChangeAccess can change.
func WithAccess(rules string) Option {
	return func(t testing.TB, folder string, config *strings.Builder) {
		t.Helper()
		file := filepath.Join(folder, accessFile)
		if err := os.WriteFile(file, []byte(rules), 0o600); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(config, "acl_file %s\n", file)
	}
}

// ChangeAccess puts another access list in force, with every client connected.
func (s *Server) ChangeAccess(rules string) {
	s.t.Helper()
	if err := os.WriteFile(filepath.Join(filepath.Dir(s.config), accessFile), []byte(rules), 0o600); err != nil {
		s.t.Fatal(err)
	}
	if err := s.process.Process.Signal(syscall.SIGHUP); err != nil {
		s.t.Fatalf("telling Mosquitto to read its access list: %v", err)
	}
}

// WithTLS encrypts: with a server's certificate and key, and an authority that must have
// signed the certificate of every client.
func WithTLS(authority, certificate, key string) Option {
	return func(_ testing.TB, _ string, config *strings.Builder) {
		fmt.Fprintf(config, "allow_anonymous true\ncafile %s\ncertfile %s\nkeyfile %s\nrequire_certificate true\n", authority, certificate, key)
	}
}

// Start starts a Mosquitto and stops it at the end of the test.
func Start(t testing.TB, options ...Option) *Server {
	t.Helper()
	s := &Server{t: t, program: find(t), Addr: freeAddress(t)}
	folder := t.TempDir()
	s.config = filepath.Join(folder, "mosquitto.conf")
	if err := os.WriteFile(s.config, []byte(s.configuration(folder, options)), 0o600); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.end(syscall.SIGTERM) })
	s.Restart()
	return s
}

// find looks where Debian puts it too, which is not in everybody's path.
func find(t testing.TB) string {
	t.Helper()
	for _, name := range []string{"mosquitto", "/usr/sbin/mosquitto", "/usr/local/sbin/mosquitto"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Fatal("Mosquitto is not installed; these tests need a real broker (Debian: apt-get install mosquitto)")
	return ""
}

func freeAddress(t testing.TB) string {
	t.Helper()
	l, err := net.Listen("tcp4", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// configuration keeps what is retained and queued over a restart, and lifts the
// bound on messages queued for a subscriber, so that none is lost after it was
// acknowledged: the tests are about the sender.
func (s *Server) configuration(folder string, options []Option) string {
	_, port, _ := net.SplitHostPort(s.Addr)
	var c strings.Builder
	fmt.Fprintf(&c, "listener %s 127.0.0.1\npersistence true\npersistence_location %s/\nmax_queued_messages 0\n", port, folder)
	if u, err := user.Current(); err == nil {
		fmt.Fprintf(&c, "user %s\n", u.Username) // started as root it would leave root, and the folder
	}
	if len(options) == 0 {
		c.WriteString("allow_anonymous true\n")
	}
	for _, o := range options {
		o(s.t, folder, &c)
	}
	return c.String()
}

// Restart starts it again on the same port with the same store, and returns
// when it answers.
func (s *Server) Restart() {
	s.t.Helper()
	s.output = new(bytes.Buffer)
	s.process = exec.Command(s.program, "-c", s.config)
	s.process.Stdout, s.process.Stderr = s.output, s.output
	if err := s.process.Start(); err != nil {
		s.t.Fatalf("starting Mosquitto: %v", err)
	}
	process, exited := s.process, make(chan struct{})
	s.exited = exited
	go func() {
		defer close(exited)
		_ = process.Wait() // how it ended shows in its output
	}()
	s.awaitPort()
}

func (s *Server) awaitPort() {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), startIn)
	defer cancel()
	again := time.NewTicker(5 * time.Millisecond)
	defer again.Stop()
	for {
		if c, err := net.Dial("tcp", s.Addr); err == nil {
			c.Close()
			return
		}
		select {
		case <-again.C:
		case <-s.exited:
			s.t.Fatalf("Mosquitto ended at once: %s", s.output)
		case <-ctx.Done():
			s.t.Fatalf("Mosquitto does not listen on %s", s.Addr)
		}
	}
}

// Stop ends it in good order; what is retained stays in its store.
func (s *Server) Stop() {
	s.t.Helper()
	s.end(syscall.SIGTERM)
}

// Kill ends it at once; what it had not stored is lost.
func (s *Server) Kill() {
	s.t.Helper()
	s.end(syscall.SIGKILL)
}

func (s *Server) end(signal os.Signal) {
	s.t.Helper()
	if s.process == nil || s.process.Process == nil {
		return
	}
	_ = s.process.Process.Signal(signal) // it may have ended already
	select {
	case <-s.exited:
	case <-time.After(stopIn):
		_ = s.process.Process.Kill()
		s.t.Errorf("Mosquitto did not end within %v", stopIn)
	}
	s.process = nil
}
