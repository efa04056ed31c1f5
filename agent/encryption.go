package agent

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"os"

	"duskloop/agent/config"
)

// encryption is how the connection to the grower's own broker is encrypted; nil where it
// is not. A file that cannot be used is a fault of configuration.
func encryption(b config.Broker) (*tls.Config, error) {
	if !b.TLS {
		return nil, nil
	}
	c := &tls.Config{MinVersion: tls.VersionTLS12}
	if b.CAFile != "" {
		text, err := os.ReadFile(string(b.CAFile))
		if err != nil {
			return nil, fmt.Errorf("%w: broker.ca_file: %w", ErrConfig, err)
		}
		c.RootCAs = x509.NewCertPool()
		if !c.RootCAs.AppendCertsFromPEM(text) {
			return nil, fmt.Errorf("%w: broker.ca_file %s holds no certificate in PEM form", ErrConfig, b.CAFile)
		}
	}
	if b.CertFile == "" && b.KeyFile == "" {
		return c, nil
	}
	key, err := secret(string(b.KeyFile))
	cert, certErr := os.ReadFile(string(b.CertFile))
	if err := errors.Join(err, certErr); err != nil {
		return nil, fmt.Errorf("%w: broker.certificate_file and key_file: %w", ErrConfig, err)
	}
	pair, err := tls.X509KeyPair(cert, []byte(key))
	if err != nil {
		return nil, fmt.Errorf("%w: broker.certificate_file and key_file: %w", ErrConfig, err)
	}
	c.Certificates = []tls.Certificate{pair}
	return c, nil
}
