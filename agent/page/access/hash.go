package access

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"
)

// A password's length in letters. Eight at least as in NIST SP 800-63B, 5.1.1.2 (revision 3,
// for secrets that people choose; revision 4 asks 15 where it is the only secret); a bound
// above, because each try costs memory and time. No kinds of letters are asked for: the same
// section advises against that.
const (
	shortest = 8
	longest  = 128
)

// Parameters of argon2id. RFC 9106, section 4, gives as its second option, for where memory is
// scarce, 64 MiB, 3 passes, 4 lanes: beside the daemon on a board of 512 MB, with Go's heap
// free to grow to twice what lives, that is too much. 19 MiB, 2 passes, 1 lane is one of the
// settings of equal defence in the OWASP Password Storage Cheat Sheet ("Argon2id"). On one
// core of a server (x86-64, Go 1.26) the first took 258 ms, this 42 ms, with Go's portable
// code, which is what ARM runs; a slow board may need tens of times that (our estimate).
const (
	memoryKiB = 19 << 10
	passes    = 2
	lanes     = 1
	saltBytes = 16 // RFC 9106, section 3.1, recommends 16 for passwords
	hashBytes = 32 // the PHC string format's default for argon2
)

// Bounds of what is believed of a file. One that asked for 4 GiB would end the daemon at the
// first try. Between the PHC string format's own (salt 8 to 48 bytes, hash 12 to 64) and
// RFC 9106's second option; passes and the least memory are ours.
const (
	leastKiB   = 8 // a lane, RFC 9106, section 3.1
	mostKiB    = 64 << 10
	mostPasses = 16
	mostLanes  = 4
	leastSalt  = 8
	mostSalt   = 48
	leastHash  = 16 // of the format's 12, ours
	mostHash   = 64
)

// hashed is a password's hash with what made it.
type hashed struct {
	kib, passes uint32
	lanes       uint8
	salt, sum   []byte
}

// newHash hashes a password under a new salt. It takes long, and memoryKiB of memory.
func newHash(password string) *hashed {
	h := &hashed{kib: memoryKiB, passes: passes, lanes: lanes, salt: make([]byte, saltBytes)}
	_, _ = rand.Read(h.salt) // never fails: crypto/rand ends the program instead
	h.sum = h.of(password, hashBytes)
	return h
}

func (h *hashed) of(password string, n int) []byte {
	return argon2.IDKey([]byte(password), h.salt, h.passes, h.kib, h.lanes, uint32(n))
}

// is says whether it is the password's hash. It takes as long as newHash.
func (h *hashed) is(password string) bool {
	return subtle.ConstantTimeCompare(h.of(password, len(h.sum)), h.sum) == 1
}

// Format prints nothing of a hash.
func (h hashed) Format(s fmt.State, _ rune) { _, _ = s.Write([]byte("hash")) }

// b64 is the PHC string format's B64: RFC 4648 base 64 without padding, rests of bits zero.
var b64 = base64.RawStdEncoding.Strict()

// phc is the hash in the PHC string format
// (github.com/P-H-C/phc-string-format, phc-sf-spec.md, "Argon2 encoding").
func (h *hashed) phc() string {
	return fmt.Sprintf("$argon2id$v=%d$m=%d,t=%d,p=%d$%s$%s", argon2.Version, h.kib, h.passes, h.lanes, b64.EncodeToString(h.salt), b64.EncodeToString(h.sum))
}

// parseHash reads what phc writes, and nothing else. Its errors quote nothing.
func parseHash(text string) (*hashed, error) {
	part := strings.Split(text, "$")
	if len(part) != 6 || part[0] != "" || part[1] != "argon2id" {
		return nil, fmt.Errorf("%w: it is no argon2id hash", ErrDamaged)
	}
	if part[2] != "v="+strconv.Itoa(argon2.Version) {
		return nil, fmt.Errorf("%w: another version of argon2id", ErrDamaged)
	}
	h := &hashed{}
	if err := h.parameters(part[3]); err != nil {
		return nil, err
	}
	var err error
	if h.salt, err = bytesIn(part[4], leastSalt, mostSalt); err != nil {
		return nil, fmt.Errorf("%w: its salt", err)
	}
	if h.sum, err = bytesIn(part[5], leastHash, mostHash); err != nil {
		return nil, fmt.Errorf("%w: its hash", err)
	}
	return h, nil
}

func (h *hashed) parameters(text string) error {
	part := strings.Split(text, ",")
	if len(part) != 3 {
		return fmt.Errorf("%w: it has not three parameters", ErrDamaged)
	}
	m, okM := number(part[0], "m=", leastKiB, mostKiB)
	t, okT := number(part[1], "t=", 1, mostPasses)
	p, okP := number(part[2], "p=", 1, mostLanes)
	if !okM || !okT || !okP || m < leastKiB*p {
		return fmt.Errorf("%w: parameters out of bounds", ErrDamaged)
	}
	h.kib, h.passes, h.lanes = m, t, uint8(p)
	return nil
}

// number is a decimal after its name, without sign or leading zeros, within bounds.
func number(text, name string, least, most uint32) (uint32, bool) {
	digits, named := strings.CutPrefix(text, name)
	n, err := strconv.ParseUint(digits, 10, 32)
	return uint32(n), named && err == nil && strconv.FormatUint(n, 10) == digits && uint32(n) >= least && uint32(n) <= most
}

// bytesIn decodes B64 of bounded length. The decoder passes over line ends, so they are
// refused before.
func bytesIn(text string, least, most int) ([]byte, error) {
	b, err := b64.DecodeString(text)
	if err != nil || strings.ContainsAny(text, "\r\n") || len(b) < least || len(b) > most {
		return nil, ErrDamaged
	}
	return b, nil
}

// fits says whether a password may be set.
func fits(password string) bool {
	n := utf8.RuneCountInString(password)
	return n >= shortest && n <= longest
}
