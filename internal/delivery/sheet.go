package delivery

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
	"tenoff/internal/tempo"
)

// edition rises when sheets of the same facts come out looking otherwise.
const edition = 1

// Sheet is what a delivery sheet shows. Two of equal digests are the same picture.
type Sheet struct {
	Rows [2]Row // the fastball, and the off-speed rep below it
	// Sentence says how their times differ, as everywhere; "" where nothing is judged.
	Sentence string
}

// Row is one delivery.
type Row struct {
	Delivery judged.Delivery
	Title    string    // "Fastball, 55 mph (rep 3)"
	Under    [4]string // "312 ms before release"
}

// Of lays two deliveries of a bullpen over each other.
func Of(off, fast judged.Delivery) Sheet {
	s := Sheet{Rows: [2]Row{rowOf(fast), rowOf(off)}}
	if fast.Rep.Pitch != off.Rep.Pitch {
		s.Sentence = tempo.PhaseWords(tempo.Phases(off.Pace, fast.Pace))
	}
	return s
}

func rowOf(d judged.Delivery) Row {
	r := Row{Delivery: d, Title: titleOf(d.Rep)}
	for i := range judged.Instants {
		if r.Under[i] = fmt.Sprintf("%d ms before release", Millis(d, i)); i == 3 {
			r.Under[i] = "the ball leaves"
		}
	}
	return r
}

// Millis returns how long before the release instant i is, whole milliseconds as they are
// shown.
func Millis(d judged.Delivery, i int) int { return int(math.Round(1000 * d.Before[i])) }

func titleOf(r bullpen.Rep) string {
	name := string(r.Pitch)
	if t, ok := bullpen.TypeOf(r.Pitch); ok {
		name = strings.ToUpper(t.Name[:1]) + t.Name[1:]
	}
	if r.Reading != nil {
		name += fmt.Sprintf(", %s %s", strconv.FormatFloat(r.Reading.Value, 'f', -1, 64), r.Reading.Unit)
	}
	if r.Drill != "" {
		name += ", " + r.Drill
	}
	return fmt.Sprintf("%s (rep %d)", name, r.Order)
}

// Words says what the sheet shows to whoever can't see it.
func (s Sheet) Words() string {
	var out []string
	for i, r := range s.Rows {
		where := "Above"
		if i == 1 {
			where = "Below"
		}
		d := r.Delivery
		out = append(out, fmt.Sprintf("%s: %s, at drive %d, plant %d and top %d ms before release, and at release.",
			where, r.Title, Millis(d, 0), Millis(d, 1), Millis(d, 2)))
	}
	if s.Sentence != "" {
		out = append(out, s.Sentence+".")
	}
	return strings.Join(out, " ")
}

// Digest names everything the sheet shows.
func (s Sheet) Digest() string {
	type row struct {
		Film   string
		Frames [4]int
		Box    bullpen.Box
		Title  string
		Under  [4]string
	}
	facts := struct {
		Edition  int
		Rows     [2]row
		Sentence string
	}{Edition: edition, Sentence: s.Sentence}
	for i, r := range s.Rows {
		// The key of a working copy never holds anything else.
		facts.Rows[i] = row{r.Delivery.Film.Made.Working, r.Delivery.Frames, boxOf(r.Delivery), r.Title, r.Under}
	}
	b, err := json.Marshal(facts)
	if err != nil { // a box that is no number
		b = fmt.Append(nil, facts)
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:16])
}

// boxOf is where she stands on the film: as somebody set it, or as it was found.
func boxOf(d judged.Delivery) bullpen.Box {
	if !d.Film.Box.None() {
		return d.Film.Box
	}
	return d.Film.FoundBox
}
