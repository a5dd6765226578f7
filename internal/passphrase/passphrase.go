// Package passphrase keeps passphrases as argon2id hashes (RFC 9106).
package passphrase

import (
	"crypto/rand"
	"crypto/subtle"
	"encoding/base64"
	"fmt"
	"unicode/utf8"

	"golang.org/x/crypto/argon2"

	"tenoff/internal/bullpen"
)

// Shortest is how many letters a passphrase has at least.
const Shortest = 12

// What a hash costs: RFC 9106, 4, the second recommended option (64 MiB, three
// passes), with two lanes.
const (
	passes = 3
	kibs   = 64 << 10
	lanes  = 2
	length = 32
)

// turn lets only a few hashes be computed at once: each takes 64 MiB.
var turn = make(chan struct{}, 2)

func key(phrase string, salt []byte, passes, kibs uint32, lanes uint8) []byte {
	turn <- struct{}{}
	defer func() { <-turn }()
	return argon2.IDKey([]byte(phrase), salt, passes, kibs, lanes, length)
}

// Hash returns what is stored of a passphrase. One that is too short is Invalid.
func Hash(phrase string) (string, error) {
	if utf8.RuneCountInString(phrase) < Shortest {
		return "", bullpen.Errorf(bullpen.Invalid, "A passphrase has at least %d letters; four or five words will do.", Shortest)
	}
	salt := make([]byte, 16)
	rand.Read(salt) // never fails
	return fmt.Sprintf("argon2id$%d$%d$%d$%s$%s", passes, kibs, lanes,
		base64.RawStdEncoding.EncodeToString(salt), base64.RawStdEncoding.EncodeToString(key(phrase, salt, passes, kibs, lanes))), nil
}

// nobody's is compared with when there is no hash, so that it takes as long.
var nobody = make([]byte, length)

// Matches reports whether phrase is the one that the hash is of. No hash ("") is of
// none, and takes as long to say.
func Matches(hash, phrase string) bool {
	var p, k uint32
	var l uint8
	var salt64, key64 string
	salt, want, known := nobody[:16], nobody, false
	if n, err := fmt.Sscanf(replaced(hash), "argon2id %d %d %d %s %s", &p, &k, &l, &salt64, &key64); err == nil && n == 5 {
		s, errSalt := base64.RawStdEncoding.DecodeString(salt64)
		w, errKey := base64.RawStdEncoding.DecodeString(key64)
		if errSalt == nil && errKey == nil && len(w) == length && p > 0 && l > 0 {
			salt, want, known = s, w, true
		}
	}
	if !known {
		p, k, l = passes, kibs, lanes
	}
	return subtle.ConstantTimeCompare(key(phrase, salt, p, k, l), want) == 1 && known
}

func replaced(hash string) string {
	out := []byte(hash)
	for i, b := range out {
		if b == '$' {
			out[i] = ' '
		}
	}
	return string(out)
}
