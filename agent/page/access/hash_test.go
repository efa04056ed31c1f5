package access

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Hashes by the reference implementation (github.com/P-H-C/phc-winner-argon2, release
// 20171227, its command line as Debian 12 packs it):
//
//	printf %s PASSWORD | argon2 SALT -id -t T -k M -p P -l LENGTH -e
var reference = []struct{ password, hash string }{
	{"password", "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc"},
	{"Alder Hollow, tank 1", "$argon2id$v=19$m=19456,t=2,p=1$Z3JlZW5ob3VzZS1zYWx0IQ$if9ZyOTBpU3FDOPpQG2zyTeOdl4fKj70qBpaeOf1Ef4"},
	{"grün & kalt", "$argon2id$v=19$m=19456,t=2,p=1$Z3JlZW5ob3VzZS1zYWx0IQ$U6vJVR3jw1MJlDsDwbXT4Fn+qoROsYxML6JeFrotYpE"},
	{"grün & kalt", "$argon2id$v=19$m=256,t=3,p=2$c2FsdHNhbHQ$oRaIzdTkhvDxNWycTJCagkD7Q65g8eNw"},
}

// TestReferenceHashes reads, writes and checks hashes that another program made.
func TestReferenceHashes(t *testing.T) {
	t.Parallel()
	for _, row := range reference {
		h, err := parseHash(row.hash)
		require.NoError(t, err)
		assert.Equal(t, row.hash, h.phc())
		assert.True(t, h.is(row.password))
		assert.False(t, h.is(row.password+" "))
	}
}

// TestNewHash holds what is written to RFC 9106's and the format's sizes.
func TestNewHash(t *testing.T) {
	t.Parallel()
	a, b := newHash(right), newHash(right)
	assert.Regexp(t, `^\$argon2id\$v=19\$m=19456,t=2,p=1\$[A-Za-z0-9+/]{22}\$[A-Za-z0-9+/]{43}$`, a.phc())
	assert.NotEqual(t, a.phc(), b.phc(), "another salt")
	back, err := parseHash(a.phc())
	require.NoError(t, err)
	assert.True(t, back.is(right))
	assert.False(t, back.is(wrong))
}

// TestHashingMemory hashes many times, one after the other as Enter does: the heap keeps
// room for one and for what the collector has not yet given back. It runs by itself.
func TestHashingMemory(t *testing.T) {
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	for range 20 {
		newHash(right)
	}
	runtime.ReadMemStats(&after)
	grown := int64(after.HeapSys) - int64(before.HeapSys)
	assert.Less(t, grown, int64(3*memoryKiB<<10))
	t.Logf("the heap grew by %d MiB over 20 hashings of %d MiB", grown>>20, memoryKiB>>10)
}

// damagedHashes are none, or ask for more than is believed.
func damagedHashes() map[string]string {
	const salt, sum = "$c29tZXNhbHQ", "$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc"
	head := func(v, p string) string { return "$argon2id$v=" + v + "$" + p + salt + sum }
	good := head("19", "m=19456,t=2,p=1")
	return map[string]string{
		"empty": "", "a line end": "\n", "cut short": good[:60], "cut at the hash": strings.TrimSuffix(good, sum), "no hash": strings.TrimSuffix(good, sum[1:]),
		"more after it": good + "$", "two": good + "\n" + good, "a space before": " " + good, "line ends": good + "\r", "in the hash": strings.Replace(good, "CTFh", "CT\nFh", 1),
		"argon2i": strings.Replace(good, "argon2id", "argon2i", 1), "argon2d": strings.Replace(good, "argon2id", "argon2d", 1), "the password itself": right,
		"another version": head("16", "m=19456,t=2,p=1"), "no version": strings.Replace(good, "v=19$", "", 1),
		"no memory": head("19", "m=0,t=2,p=1"), "4 GiB": head("19", "m=4194304,t=2,p=1"), "beyond numbers": head("19", "m=18446744073709551620,t=2,p=1"),
		"beyond 32 bits": head("19", "m=4294986752,t=2,p=1"), "no passes": head("19", "m=19456,t=0,p=1"), "for ever": head("19", "m=19456,t=4294967295,p=1"),
		"no lanes": head("19", "m=19456,t=2,p=0"), "lanes that wrap": head("19", "m=19456,t=2,p=257"), "less than its lanes": head("19", "m=8,t=2,p=2"),
		"a sign": head("19", "m=+19456,t=2,p=1"), "leading zero": head("19", "m=019456,t=2,p=1"), "another order": head("19", "t=2,m=19456,p=1"),
		"a fourth": head("19", "m=19456,t=2,p=1,keyid=AA"), "without names": head("19", "19456,2,1"), "twice": head("19", "m=19456,m=19456,p=1"),
		"short salt": strings.Replace(good, salt, "$c29t", 1), "long salt": strings.Replace(good, salt, salt+strings.Repeat("AAAA", 14), 1),
		"short hash": strings.Replace(good, sum, "$CTFhFdXPJO1aFaMa", 1), "long hash": strings.Replace(good, sum, "$"+strings.Repeat("AAAA", 22), 1),
		"padded": good + "=", "trailing bits": good[:len(good)-1] + "d", "URL's letters": strings.Replace(good, "CTFh", "CT-_", 1), "zero bytes": strings.Repeat("\x00", 97),
	}
}

// TestDamagedFile refuses every one of them, says where it is and what to do, tells nothing
// of it, and never takes it for no password.
func TestDamagedFile(t *testing.T) {
	t.Parallel()
	for name, text := range damagedHashes() {
		folder := t.TempDir()
		path := filepath.Join(folder, fileName)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
		k, err := Open(Options{Folder: folder})
		require.ErrorIs(t, err, ErrDamaged, name)
		assert.Nil(t, k)
		assert.ErrorContains(t, err, path)
		assert.ErrorContains(t, err, "start again for a link")
		assert.NotContains(t, err.Error(), "CTFh")
		assert.NotContains(t, err.Error(), right)
	}
	t.Logf("%d damaged hashes, all refused", len(damagedHashes()))
}

// TestFileThatIsNone refuses what cannot be read or others could read.
func TestFileThatIsNone(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path := filepath.Join(folder, fileName)
	opened := func() error { _, err := Open(Options{Folder: folder}); return err }
	require.NoError(t, os.Mkdir(path, 0o700))
	require.ErrorIs(t, opened(), ErrDamaged)
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.Symlink("/dev/zero", path))
	require.ErrorIs(t, opened(), ErrDamaged)
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.Symlink("nowhere", path))
	require.ErrorIs(t, opened(), ErrDamaged)
	require.NoError(t, os.Remove(path))
	require.NoError(t, os.WriteFile(path, []byte(reference[0].hash+"\n"), 0o644))
	require.ErrorContains(t, opened(), "chmod 600")
	require.NoError(t, os.Chmod(path, 0o600))
	require.NoError(t, opened())
	require.NoError(t, os.WriteFile(path, []byte(reference[0].hash+strings.Repeat("A", 10<<20)), 0o600))
	require.ErrorIs(t, opened(), ErrDamaged)
}

// TestKept writes over a file and over what a power cut left, with nobody else's bits.
func TestKept(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), fileName)
	h, err := parseHash(reference[0].hash)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path+".new", []byte("half"), 0o666))
	for range 2 {
		require.NoError(t, h.keep(path))
		back, err := readHash(path)
		require.NoError(t, err)
		assert.Equal(t, reference[0].hash, back.phc())
		info, err := os.Stat(path)
		require.NoError(t, err)
		assert.Equal(t, os.FileMode(0o600), info.Mode())
		assert.NoFileExists(t, path+".new")
	}
}

func TestFits(t *testing.T) {
	t.Parallel()
	for password, is := range map[string]bool{
		"": false, "1234567": false, "12345678": true, "ÄÖÜäöüß": false, "ÄÖÜäöüßẞ": true, strings.Repeat("ж", 128): true, strings.Repeat("x", 129): false,
		"\x00\x00\x00\x00\x00\x00\x00\x00": true, "        ": true, "\xff\xfe\xfd\xfc\xfb\xfa\xf9\xf8": true,
	} {
		assert.Equal(t, is, fits(password), "%q", password)
	}
}
