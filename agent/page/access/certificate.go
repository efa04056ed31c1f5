package access

import (
	"crypto/tls"
	"errors"
	"fmt"
	"os"
)

// Certificate reads the grower's own certificate (with those that signed it, if any) and its
// key, both in PEM form. Both paths empty is nil: no TLS. A key that everybody can read is
// refused.
func Certificate(certificate, key string) (*tls.Config, error) {
	if certificate == "" && key == "" {
		return nil, nil
	}
	if certificate == "" || key == "" {
		return nil, errors.New("a certificate and its key go together: one of the two files is not named")
	}
	info, err := os.Stat(key)
	if err != nil {
		return nil, fmt.Errorf("the page's certificate: %w", err)
	}
	if info.Mode().Perm()&0o007 != 0 {
		return nil, fmt.Errorf("the key %s can be read by everybody; chmod o= it", key)
	}
	pair, err := tls.LoadX509KeyPair(certificate, key)
	if err != nil {
		return nil, fmt.Errorf("the page's certificate: %w", err)
	}
	return &tls.Config{MinVersion: tls.VersionTLS12, Certificates: []tls.Certificate{pair}}, nil
}
