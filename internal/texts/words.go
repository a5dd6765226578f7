package texts

import (
	"unicode"
	"unicode/utf8"
)

// Pitch is what the pitch of that code is called; one that is not known is called by its
// code.
func (l Language) Pitch(code string) string {
	key := Key("pitch." + code)
	if name := l.Say(key); name != string(key) {
		return name
	}
	return code
}

// Pitches is what several pitches of that code are called, as Pitch.
func (l Language) Pitches(code string) string {
	key := Key("pitches." + code)
	if names := l.Say(key); names != string(key) {
		return names
	}
	return code
}

// Capital raises the first letter.
func Capital(s string) string {
	if s == "" {
		return s
	}
	r, n := utf8.DecodeRuneInString(s)
	return string(unicode.ToUpper(r)) + s[n:]
}
