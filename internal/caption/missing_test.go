package caption

import "testing"

func TestMissing(t *testing.T) {
	for text, want := range map[string]string{
		"":                                    "",
		"flip drill":                          "",
		"two\nlines":                          "",
		"é ł Жук ½ € שלום ♥":                  "",
		"a\u202eb\u2066c":                     "",
		"big \U0001F94E":                      "\U0001F94E can't be burned into a clip; the rest can.",
		"\U0001F94E":                          "\U0001F94E can't be burned into a clip.",
		"\U0001F94E a \U0001F94E":             "\U0001F94E can't be burned into a clip; the rest can.",
		"a \U0001F4AA\U0001F3FD b \U0001F525": "\U0001F4AA\U0001F3FD and \U0001F525 can't be burned into a clip; the rest can.",
		"中文 hand":                             "中文 can't be burned into a clip; the rest can.",
		"love \u2764\ufe0f it":                "", // the font has the heart
		"\U0001F600 a \U0001F601 a \U0001F602 a \U0001F603 a \U0001F604": "\U0001F600, \U0001F601, \U0001F602, \U0001F603 and others can't be burned into a clip; the rest can.",
	} {
		if got, err := Missing(text); err != nil || got != want {
			t.Errorf("%q: %q, %v, want %q", text, got, err, want)
		}
	}
}

// Something is said to be missing of just that text which is not burned in whole.
func TestMissingIsWhatIsNotBurned(t *testing.T) {
	face, err := loadTypeface()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range typed {
		missing, err := Missing(c.text)
		if all := face.drawn(plain(c.text)) == plain(c.text); err != nil || all != (missing == "") {
			t.Errorf("%q: drawn %q, said %q, %v", c.text, face.drawn(plain(c.text)), missing, err)
		}
	}
}
