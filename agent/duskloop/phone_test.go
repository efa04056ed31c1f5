package main

import (
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"duskloop/agent/config"
)

func TestPhoneSendsATestMessage(t *testing.T) {
	t.Parallel()
	var got string
	service := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, _ := io.ReadAll(r.Body)
		got = string(body)
		if r.URL.Path == "/gone" {
			w.WriteHeader(http.StatusGone)
		}
	}))
	defer service.Close()
	dir := t.TempDir()
	ask := func(address string) (int, string, error) {
		secret, file := filepath.Join(dir, "phone"), filepath.Join(dir, "greenhouse.toml")
		require.NoError(t, os.WriteFile(secret, []byte(address), 0o600))
		text := strings.Replace(config.Example(), "[phone]\n", "[phone]\nsecret_file = \""+secret+"\"\n", 1)
		require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
		return run(t, "phone", "--greenhouse", file)
	}
	code, out, err := ask(service.URL + "/mine")
	require.NoError(t, err)
	assert.Zero(t, code)
	assert.Contains(t, out, "took the message")
	assert.Contains(t, got, "Alder Hollow")

	code, _, err = ask(service.URL + "/gone")
	assert.Equal(t, exitFault, code)
	require.ErrorContains(t, err, "410")
	assert.NotContains(t, err.Error(), service.URL, "the address is a secret")

	code, _, err = ask("http://example.org/x")
	assert.Equal(t, exitConfig, code)
	require.ErrorContains(t, err, "https")
	code, _, _ = run(t, "phone")
	assert.Equal(t, exitConfig, code, "the demo tells nobody")
}
