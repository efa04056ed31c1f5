package agent

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
	"duskloop/agent/internal/mosquittotest"
	"duskloop/agent/mqtt"
	"duskloop/agent/record"
)

// authority signs certificates for a test.
type authority struct {
	t    *testing.T
	dir  string
	cert *x509.Certificate
	key  *ecdsa.PrivateKey
	File string
}

func newAuthority(t *testing.T) *authority {
	t.Helper()
	a := &authority{t: t, dir: t.TempDir()}
	a.cert, a.key = a.make(&x509.Certificate{
		SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "test authority"}, NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour),
		IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign,
	})
	a.File = a.write("ca.pem", "CERTIFICATE", a.cert.Raw)
	return a
}

// make signs a certificate; the first one signs itself.
func (a *authority) make(c *x509.Certificate) (*x509.Certificate, *ecdsa.PrivateKey) {
	a.t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(a.t, err)
	parent, signer := a.cert, a.key
	if parent == nil {
		parent, signer = c, key
	}
	raw, err := x509.CreateCertificate(rand.Reader, c, parent, &key.PublicKey, signer)
	require.NoError(a.t, err)
	made, err := x509.ParseCertificate(raw)
	require.NoError(a.t, err)
	return made, key
}

func (a *authority) write(name, kind string, raw []byte) string {
	a.t.Helper()
	path := filepath.Join(a.dir, name)
	require.NoError(a.t, os.WriteFile(path, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: raw}), 0o600))
	return path
}

// issue gives certificate and key for 127.0.0.1 until a time.
func (a *authority) issue(name string, until time.Time) (certFile, keyFile string) {
	a.t.Helper()
	cert, key := a.make(&x509.Certificate{
		SerialNumber: big.NewInt(2), Subject: pkix.Name{CommonName: name}, NotBefore: time.Now().Add(-2 * time.Hour), NotAfter: until,
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, KeyUsage: x509.KeyUsageDigitalSignature,
		ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth},
	})
	raw, err := x509.MarshalECPrivateKey(key)
	require.NoError(a.t, err)
	return a.write(name+".pem", "CERTIFICATE", cert.Raw), a.write(name+".key", "EC PRIVATE KEY", raw)
}

// delivered says whether a feed gets its messages to the broker within a time, or why not.
func delivered(t *testing.T, addr string, b config.Broker) error {
	t.Helper()
	c, err := encryption(b)
	require.NoError(t, err)
	r, err := record.Open(filepath.Join(t.TempDir(), "record.db"), record.DefaultOptions())
	require.NoError(t, err)
	t.Cleanup(func() { _ = r.Close() })
	f, err := mqtt.New(r, mqtt.Options{Address: addr, TLS: c, Retry: 20 * time.Millisecond})
	require.NoError(t, err)
	require.NoError(t, f.Start())
	t.Cleanup(func() { _ = f.Stop(t.Context()) })
	for end := time.Now().Add(3 * time.Second); time.Now().Before(end); <-time.After(10 * time.Millisecond) {
		if f.Err() == nil && f.Delivered() > 0 {
			return nil
		}
	}
	return f.Err()
}

// TestEncryptedBroker speaks with a real Mosquitto that wants certificates on both sides,
// and with ones that must not be trusted.
func TestEncryptedBroker(t *testing.T) {
	t.Parallel()
	a, stranger := newAuthority(t), newAuthority(t)
	later := time.Now().Add(time.Hour)
	cert, key := a.issue("broker", later)
	mine, mineKey := a.issue("daemon", later)
	broker := mosquittotest.Start(t, mosquittotest.WithTLS(a.File, cert, key))
	good := config.Broker{TLS: true, CAFile: config.Text(a.File), CertFile: config.Text(mine), KeyFile: config.Text(mineKey)}
	require.NoError(t, delivered(t, broker.Addr, good))

	noCert := good
	noCert.CertFile, noCert.KeyFile = "", ""
	require.Error(t, delivered(t, broker.Addr, noCert), "the broker wants a certificate")

	other := good
	other.CAFile = config.Text(stranger.File)
	require.ErrorContains(t, delivered(t, broker.Addr, other), "unknown authority")

	oldCert, oldKey := a.issue("expired", time.Now().Add(-time.Hour))
	expired := mosquittotest.Start(t, mosquittotest.WithTLS(a.File, oldCert, oldKey))
	require.ErrorContains(t, delivered(t, expired.Addr, good), "expired")

	require.Error(t, delivered(t, broker.Addr, config.Broker{}), "plain speech is not understood")
}

func TestEncryptionFiles(t *testing.T) {
	t.Parallel()
	a := newAuthority(t)
	cert, key := a.issue("daemon", time.Now().Add(time.Hour))
	none, err := encryption(config.Broker{CAFile: "/nowhere"})
	require.NoError(t, err)
	assert.Nil(t, none, "not asked for")
	open := filepath.Join(a.dir, "open.key")
	text, err := os.ReadFile(key)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(open, text, 0o600))
	require.NoError(t, os.Chmod(open, 0o644))
	for name, b := range map[string]config.Broker{
		"no such authority": {TLS: true, CAFile: "/nowhere"},
		"no certificate":    {TLS: true, CAFile: config.Text(key)},
		"key without":       {TLS: true, KeyFile: config.Text(key)},
		"key open to all":   {TLS: true, CertFile: config.Text(cert), KeyFile: config.Text(open)},
		"key of another":    {TLS: true, CertFile: config.Text(a.File), KeyFile: config.Text(key)},
	} {
		_, err := encryption(b)
		require.ErrorIs(t, err, ErrConfig, name)
	}
}
