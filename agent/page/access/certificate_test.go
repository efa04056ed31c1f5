package access

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"io"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pair is a certificate for loopback and its key, in files.
type pair struct{ certificate, key string }

func newPair(t testing.TB) pair {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	form := &x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test page"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, DNSNames: []string{"localhost"},
	}
	cert, err := x509.CreateCertificate(rand.Reader, form, form, key.Public(), key)
	require.NoError(t, err)
	secret, err := x509.MarshalPKCS8PrivateKey(key)
	require.NoError(t, err)
	folder := t.TempDir()
	p := pair{filepath.Join(folder, "page.crt"), filepath.Join(folder, "page.key")}
	require.NoError(t, os.WriteFile(p.certificate, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: cert}), 0o644))
	require.NoError(t, os.WriteFile(p.key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: secret}), 0o600))
	return p
}

func (p pair) config(t testing.TB) *tls.Config {
	t.Helper()
	c, err := Certificate(p.certificate, p.key)
	require.NoError(t, err)
	return c
}

// TestCertificate says which file is wrong, and nothing that stands in it.
func TestCertificate(t *testing.T) {
	t.Parallel()
	c, err := Certificate("", "")
	require.NoError(t, err)
	assert.Nil(t, c)
	one, two := newPair(t), newPair(t)
	open := newPair(t)
	require.NoError(t, os.Chmod(open.key, 0o644))
	for _, row := range []struct{ certificate, key, problem string }{
		{one.certificate, "", "go together"}, {"", one.key, "go together"},
		{one.certificate, two.key, "does not match"}, {one.key, one.key, "the page's certificate"}, {one.certificate, one.certificate, "can be read by everybody"},
		{one.certificate, open.key, "can be read by everybody"}, {"/nowhere", one.key, "/nowhere"}, {one.certificate, "/nowhere", "/nowhere"},
	} {
		_, err := Certificate(row.certificate, row.key)
		require.ErrorContains(t, err, row.problem)
		assert.NotContains(t, err.Error(), "BEGIN")
	}
}

// TestTLS is served with the grower's certificate: 1.2 and 1.3, never older, never plain, and
// the cookie is one that browsers keep to TLS.
func TestTLS(t *testing.T) {
	t.Parallel()
	b, p := newBench(t, Options{}).cheap(), newPair(t)
	s := newServed(t, b.Guard(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		c, err := b.Enter(r, right)
		assert.NoError(t, err)
		http.SetCookie(w, c)
	})), p.config(t), standard)
	text, err := os.ReadFile(p.certificate)
	require.NoError(t, err)
	pool := x509.NewCertPool()
	require.True(t, pool.AppendCertsFromPEM(text))
	for version, works := range map[uint16]bool{tls.VersionTLS10: false, tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
		client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool, MinVersion: version, MaxVersion: version}}}
		answer, err := client.Get("https://" + s.address)
		if !works {
			require.ErrorContains(t, err, "protocol version")
			continue
		}
		require.NoError(t, err)
		_, _ = io.Copy(io.Discard, answer.Body)
		require.NoError(t, answer.Body.Close())
		assert.Equal(t, version, answer.TLS.Version)
		assert.Equal(t, cookieSecure, answer.Cookies()[0].Name)
		assert.True(t, answer.Cookies()[0].Secure)
		client.CloseIdleConnections()
	}
	assert.Contains(t, s.said("GET / HTTP/1.1\r\nHost: x\r\n\r\n"), "400 Bad Request")
}
