// Package texts is the catalogue of every text that a student or a parent reads, in each
// of their languages. en.json and es.json hold the texts by key, with the plural forms
// that the language needs (CLDR, through go-i18n); the page bundles the same two files.
// given.en.json and given.es.json hold those that only the server says, see Given.
// It knows words only: what is said of whom is decided elsewhere.
package texts

import (
	"embed"
	"encoding/json"
	"strings"
	"sync"
	"time"

	"github.com/nicksnyder/go-i18n/v2/i18n"
	"golang.org/x/text/language"
)

// Language is one that students and parents read, as its BCP 47 tag.
type Language string

// The languages.
const (
	English Language = "en"
	Spanish Language = "es"
)

// plain marks a language that is spoken to a pitcher or a parent (a private part of a tag,
// BCP 47 2.2.7).
const plain = "-x-plain"

// Plain is the language as it is spoken to those who don't know the trade's words: where a
// text has one of its own for them, under its key and ".plain", that is said ("too slow"
// for "too soft"). A language whose ordinary text is plain needs no second one.
func (l Language) Plain() Language { return LanguageOf(string(l)) + plain }

// PlainIn is Plain where one of the texts of these groups has a plain one beside it, else the
// language as it is: for where the name of a language is kept and compared. A text's group is
// the first part of its key, "caption" of "caption.rep".
func (l Language) PlainIn(groups ...string) Language {
	for _, group := range groups {
		if plainGroups()[LanguageOf(string(l))][group] {
			return l.Plain()
		}
	}
	return LanguageOf(string(l))
}

// plainGroups are the groups of each language in which some text has a plain one, made once.
var plainGroups = sync.OnceValue(func() map[Language]map[string]bool {
	out := map[Language]map[string]bool{}
	for _, l := range Languages {
		data, err := files.ReadFile(string(l) + ".json")
		all := map[string]any{}
		if err == nil {
			err = json.Unmarshal(data, &all)
		}
		if err != nil {
			panic(err) // our own file, which a test reads
		}
		out[l] = map[string]bool{}
		for key := range all {
			ordinary, isPlain := strings.CutSuffix(key, ".plain")
			if _, has := all[ordinary]; isPlain && has {
				group, _, _ := strings.Cut(key, ".")
				out[l][group] = true
			}
		}
	}
	return out
})

// Languages lists them; the first stands for one that is not known.
var Languages = []Language{English, Spanish}

// LanguageOf returns the language of a tag such as "es" or "es-MX", English for one that
// there are no texts in.
func LanguageOf(tag string) Language {
	base, _, _ := strings.Cut(strings.ToLower(tag), "-")
	for _, l := range Languages {
		if string(l) == base {
			return l
		}
	}
	return English
}

// Key names a text of the catalogue: "report.nothing".
type Key string

// V are the values of a text's placeholders by name. A text with plural forms is chosen
// by the value "n", a whole number.
type V map[string]any

// Say returns a text with its values. A key that the catalogue lacks is returned as it
// is; a test holds that nothing asks for one.
func (l Language) Say(key Key, values ...V) string {
	asked := &i18n.LocalizeConfig{MessageID: string(key)}
	if len(values) > 0 {
		asked.TemplateData = map[string]any(values[0])
		if n, ok := values[0]["n"]; ok {
			asked.PluralCount = n
		}
	}
	in := localizers()[LanguageOf(string(l))]
	if strings.HasSuffix(string(l), plain) {
		easy := *asked
		easy.MessageID += ".plain"
		if text, err := in.Localize(&easy); err == nil {
			return text
		}
	}
	text, err := in.Localize(asked)
	if err != nil {
		return string(key)
	}
	return text
}

// Day writes the day of a moment: "12 April 2026", "12 de abril de 2026".
func (l Language) Day(at time.Time) string {
	months := strings.Split(l.Say("months"), " ")
	return l.Say("day", V{"day": at.Day(), "month": months[at.Month()-1], "year": at.Year()})
}

// List joins words: "6", "6 and 9", "3, 6 and 9".
func (l Language) List(words []string) string {
	last := len(words) - 1
	if last < 1 {
		return strings.Join(words, "")
	}
	return l.Say("list", V{"before": strings.Join(words[:last], ", "), "last": words[last]})
}

//go:embed *.json
var files embed.FS

// localizers are those of each language, made once.
var localizers = sync.OnceValue(func() map[Language]*i18n.Localizer {
	bundle := i18n.NewBundle(language.English)
	bundle.RegisterUnmarshalFunc("json", json.Unmarshal)
	out := make(map[Language]*i18n.Localizer, len(Languages))
	for _, l := range Languages {
		for _, of := range []string{"", "given."} {
			if _, err := bundle.LoadMessageFileFS(files, of+string(l)+".json"); err != nil {
				panic(err) // our own file, which a test reads
			}
		}
		out[l] = i18n.NewLocalizer(bundle, string(l))
	}
	return out
})
