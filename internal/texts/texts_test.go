package texts

import (
	"encoding/json"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

// texts are a language's texts by key, each by plural form; a text without forms has
// "other" alone.
func texts(t *testing.T, l Language) map[string]map[string]string {
	t.Helper()
	raw := map[string]any{}
	for _, of := range []string{"", "given."} {
		data, err := files.ReadFile(of + string(l) + ".json")
		if err == nil {
			err = json.Unmarshal(data, &raw)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	out := map[string]map[string]string{}
	for key, v := range raw {
		out[key] = map[string]string{}
		switch v := v.(type) {
		case string:
			out[key]["other"] = v
		case map[string]any:
			for form, text := range v {
				out[key][form] = text.(string)
			}
		}
	}
	return out
}

var placeholder = regexp.MustCompile(`{{\.(\w+)}}`)

// names are the placeholders of a text, each once; a form may leave some out ("one rep").
func names(forms map[string]string) []string {
	var out []string
	for _, text := range forms {
		for _, m := range placeholder.FindAllStringSubmatch(text, -1) {
			if !slices.Contains(out, m[1]) {
				out = append(out, m[1])
			}
		}
	}
	slices.Sort(out)
	return out
}

func TestEveryTextIsInEveryLanguage(t *testing.T) {
	english := texts(t, English)
	for _, l := range Languages[1:] {
		other := texts(t, l)
		for key, forms := range english {
			if other[key] == nil && strings.HasSuffix(key, ".plain") {
				continue // the ordinary one is plain
			}
			if other[key] == nil {
				t.Errorf("%s lacks %q", l, key)
				continue
			}
			if a, b := names(forms), names(other[key]); !slices.Equal(a, b) {
				t.Errorf("%q has %v in English and %v in %s", key, a, b, l)
			}
			if (len(forms) > 1) != (len(other[key]) > 1) {
				t.Errorf("%q has plural forms in one language only", key)
			}
		}
		for key := range other {
			if english[key] == nil {
				t.Errorf("%q is in %s only", key, l)
			}
		}
	}
	for _, l := range Languages {
		for key, forms := range texts(t, l) {
			for form, text := range forms {
				if text == "" {
					t.Errorf("%s %q %s is empty", l, key, form)
				}
			}
			if len(forms) > 1 && (forms["one"] == "" || forms["other"] == "" || len(forms) != 2) {
				t.Errorf("%s %q wants the forms one and other", l, key)
			}
		}
	}
}

// English and Spanish have one for 1 alone and other for the other whole numbers that a
// bullpen knows (Unicode CLDR, Language Plural Rules, cardinal: en "i = 1 and v = 0",
// es "n = 1"; es "many" begins at a million).
func TestPluralForms(t *testing.T) {
	for _, c := range []struct {
		l    Language
		n    int
		want string
	}{
		{English, 0, "0 reps"}, {English, 1, "1 rep"}, {English, 2, "2 reps"}, {English, 21, "21 reps"},
		{Spanish, 0, "0 lanzamientos"}, {Spanish, 1, "1 lanzamiento"}, {Spanish, 2, "2 lanzamientos"}, {Spanish, 21, "21 lanzamientos"},
	} {
		if got := c.l.Say("reps", V{"n": c.n}); got != c.want {
			t.Errorf("%s %d: %q, want %q", c.l, c.n, got, c.want)
		}
	}
}

// Two words that a fresh reader did not understand at once are said otherwise to her and
// her parents; what has no plain text of its own is said as ever.
func TestPlainWords(t *testing.T) {
	for _, c := range []struct {
		l    Language
		key  Key
		want string
	}{
		{English, "verdict.soft", "soft"}, {English.Plain(), "verdict.soft", "a bit slow"}, {English.Plain(), "verdict.inTheBand", "in the band"},
		{Spanish.Plain(), "verdict.soft", "algo lento"}, {English.Plain().Plain(), "verdict.tooFirm", "too fast"},
	} {
		if got := c.l.Say(c.key); got != c.want {
			t.Errorf("%s says %q as %q, want %q", c.l, c.key, got, c.want)
		}
	}
	if got := English.Plain().Say("reps", V{"n": 1}); got != "1 pitch" {
		t.Errorf("one rep is %q", got)
	}
	if got := English.Plain().List([]string{"3", "6"}); got != "3 and 6" {
		t.Errorf("a list is %q", got)
	}
}

// A language is marked as plain only where that changes a word.
func TestPlainIn(t *testing.T) {
	for _, c := range []struct{ got, want Language }{
		{English.PlainIn("pitch", "caption"), English.Plain()}, {English.PlainIn("pitch"), English}, {English.PlainIn(), English},
		{Spanish.PlainIn("caption", "verdict", "phase"), Spanish}, {Spanish.PlainIn("target"), Spanish.Plain()}, {English.Plain().PlainIn("pitch"), English},
	} {
		if c.got != c.want {
			t.Errorf("%s, want %s", c.got, c.want)
		}
	}
}

func TestEveryPitchHasAName(t *testing.T) {
	for _, p := range bullpen.PitchTypes {
		if got := English.Say(Key("pitch." + string(p.Code))); got != p.Name {
			t.Errorf("%s is called %q here and %q elsewhere", p.Code, got, p.Name)
		}
	}
}

func TestListAndLanguageOf(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{English.List(nil), ""}, {English.List([]string{"6"}), "6"},
		{English.List([]string{"6", "9"}), "6 and 9"}, {Spanish.List([]string{"3", "6", "9"}), "3, 6 y 9"},
		{fmt.Sprintln(LanguageOf("es-MX"), LanguageOf("ES"), LanguageOf("fr"), LanguageOf("")), "es es en en\n"},
		{Spanish.Say("no.such.key"), "no.such.key"},
		{English.Say("headline.but", V{"said": "{{.other}} <b>"}), "But {{.other}} <b>"}, // values are text, never a template
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}
