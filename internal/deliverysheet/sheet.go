package deliverysheet

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/posture"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// edition rises when sheets of the same facts come out looking otherwise.
const edition = 1

// Sheet is what a delivery sheet shows. Two of equal digests are the same picture.
type Sheet struct {
	Rows  [2]Row    // the fastball, and the off-speed rep below it
	Names [4]string // of the instants
	// Sentence says how their times differ, as everywhere; "" where nothing is judged.
	Sentence string
	language texts.Language
}

// Row is one delivery.
type Row struct {
	Delivery judged.Delivery
	Title    string    // "Fastball, 55 mph (rep 3)"
	Under    [4]string // "312 ms before release"
}

// Of lays two deliveries of a bullpen over each other, in words of a language.
func Of(l texts.Language, off, fast judged.Delivery) Sheet {
	s := Sheet{Rows: [2]Row{rowOf(l, fast), rowOf(l, off)}, language: l}
	for i, e := range judged.Instants {
		s.Names[i] = judged.InstantName(l, e)
	}
	if fast.Rep.Pitch != off.Rep.Pitch {
		s.Sentence = judged.PhaseWords(l, tempo.Phases(off.Pace, fast.Pace))
	}
	return s
}

func rowOf(l texts.Language, d judged.Delivery) Row {
	r := Row{Delivery: d, Title: titleOf(l, d.Rep)}
	for i := range judged.Instants {
		if r.Under[i] = l.Say("delivery.before", texts.V{"ms": Millis(d, i)}); i == 3 {
			r.Under[i] = l.Say("delivery.leaves")
		}
	}
	return r
}

// Millis returns how long before the release instant i is, whole milliseconds as they are
// shown.
func Millis(d judged.Delivery, i int) int { return int(math.Round(1000 * d.Before[i])) }

func titleOf(l texts.Language, r bullpen.Rep) string {
	name := texts.Capital(l.Pitch(string(r.Pitch)))
	if r.Reading != nil {
		name += fmt.Sprintf(", %s %s", strconv.FormatFloat(r.Reading.Value, 'f', -1, 64), r.Reading.Unit)
	}
	if r.Drill != "" {
		name += ", " + l.Given(r.Drill)
	}
	return l.Say("delivery.title", texts.V{"pitch": name, "order": r.Order})
}

// Words says what the sheet shows to whoever can't see it.
func (s Sheet) Words() string {
	var out []string
	for i, r := range s.Rows {
		key := texts.Key("delivery.above")
		if i == 1 {
			key = "delivery.below"
		}
		d := r.Delivery
		out = append(out, s.language.Say(key, texts.V{"title": r.Title, "drive": Millis(d, 0), "plant": Millis(d, 1), "top": Millis(d, 2)}))
	}
	for _, r := range s.Rows {
		if leans := s.leans(r.Delivery); len(leans) > 0 {
			out = append(out, r.Title+": "+s.language.Say("delivery.lines", texts.V{"said": s.language.List(leans)}))
		}
	}
	if s.Sentence != "" {
		out = append(out, s.Sentence+".")
	}
	return strings.Join(out, " ")
}

// leans says how far her trunk leans at those instants of a delivery at which it is seen.
func (s Sheet) leans(d judged.Delivery) (out []string) {
	for i, l := range d.Lines {
		if l != nil {
			out = append(out, s.language.Say("lines.at", texts.V{"instant": s.Names[i], "degrees": l.LeanSaid()}))
		}
	}
	return out
}

// Digest names everything the sheet shows.
func (s Sheet) Digest() string {
	type row struct {
		Film   string
		Frames [4]int
		Box    bullpen.Box
		Title  string
		Under  [4]string
		Lines  [4]*posture.Lines `json:",omitzero"`
	}
	facts := struct {
		Edition  int
		Rows     [2]row
		Names    [4]string
		Sentence string
	}{Edition: edition, Names: s.Names, Sentence: s.Sentence}
	for i, r := range s.Rows {
		// The key of a working copy never holds anything else.
		facts.Rows[i] = row{r.Delivery.Film.Made.Working, r.Delivery.Frames, r.Delivery.Film.Pitcher(), r.Title, r.Under, r.Delivery.Lines}
	}
	b, err := json.Marshal(facts)
	if err != nil { // a box that is no number
		b = fmt.Append(nil, facts)
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:16])
}
