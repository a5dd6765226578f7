package texts

import (
	"encoding/json"
	"regexp"
	"strings"
	"sync"
)

// Given says a finished English sentence again in the language: one that came from a place
// that knows no languages (why a film was refused, which is stored; why an upload can't
// begin; a starter drill that nobody changed). Those are the texts of given.en.json and
// given.es.json. A sentence that is none of them, as whatever somebody typed, stays as it is.
func (l Language) Given(sentence string) string {
	if LanguageOf(string(l)) == English || sentence == "" {
		return sentence
	}
	known, found := knownAgain(sentence)
	if found == nil {
		return sentence
	}
	values := V{}
	for i, name := range known.form.SubexpNames()[1:] {
		values[name] = found[i+1]
	}
	return l.Say(known.key, values)
}

// Knows reports whether a student or a parent may be told a finished English sentence: Given
// can say it again, and nothing in it is for whoever runs tenoff to mend. What is has a key
// that begins with "given.run."; instead of it she is told something simpler.
func Knows(sentence string) bool {
	known, found := knownAgain(sentence)
	return found != nil && !strings.HasPrefix(string(known.key), "given.run.")
}

// knownAgain is the text that a sentence was made of, and its values; nil for none.
func knownAgain(sentence string) (form, []string) {
	for _, g := range given() {
		if found := g.form.FindStringSubmatch(sentence); found != nil {
			return g, found
		}
	}
	return form{}, nil
}

// form is how a text of the catalogue is known again.
type form struct {
	key  Key
	form *regexp.Regexp
}

var place = regexp.MustCompile(`\\{\\{\\\.(\w+)\\}\\}`) // a placeholder, quoted

// given are the forms of the English texts, made once.
var given = sync.OnceValue(func() []form {
	data, err := files.ReadFile("given." + string(English) + ".json")
	if err != nil {
		panic(err)
	}
	texts := map[Key]string{}
	if err := json.Unmarshal(data, &texts); err != nil {
		panic(err) // our own file, which a test reads
	}
	out := make([]form, 0, len(texts))
	for key, text := range texts {
		out = append(out, form{key, regexp.MustCompile(`^(?s)` + place.ReplaceAllString(regexp.QuoteMeta(text), `(?P<$1>.+)`) + `$`)})
	}
	return out
})
