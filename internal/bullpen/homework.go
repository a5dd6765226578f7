package bullpen

import (
	"cmp"
	"slices"
	"strings"
)

// Homework is a workout handed out to one pitcher: a copy, with a bullpen of its own
// for the films that come back.
type Homework struct {
	ID        string
	PitcherID string
	BullpenID string
	Workout   Workout // as it was when it was handed out
	Drills    []Drill // those of the workout, as they were then
	Due       string  // YYYY-MM-DD, "" for none
	Student   Student
	Draft     Reply // being written
	Sent      Reply // what the slip's page shows; SentAt 0 for none
	Created   int64 // microseconds UTC, like all times here
	FilmAt    int64 // when the last film came, 0 for none
	ReviewAt  int64 // when the review began, 0 for not yet
	Version   int64
}

// Student is what the student wrote on her page.
type Student struct {
	Note     string
	NotedAt  int64  // when her note became what it is, 0 without one
	Pain     string // her notes with words about pain since the last answer, one below the other: they stay when she writes another, "" for none
	PainAt   int64  // when she wrote the last of them
	Gun      GunPlace
	Readings map[int]TypedReading // by place in the workout, from 0
}

// TypedReading is a reading as somebody typed it.
type TypedReading struct {
	Value float64 `json:"value"`
	Unit  Unit    `json:"unit"`
}

// Reply is an answer to a homework.
type Reply struct {
	Words    string      `json:"words"`
	ClipIDs  []string    `json:"clipIds"`
	Drawings []DrawingOf `json:"drawings"`
	Next     *Workout    `json:"next"` // what to throw next, a copy
	SentAt   int64       `json:"sentAt"`
	// Seen is until when whoever answered had seen what came, 0 for until SentAt. What
	// comes later makes the homework new again.
	Seen int64 `json:"seen,omitempty"`
	// Shown is, of a reply that was sent, the numbers and drawings that it was sent
	// with; nil for a reply from before they were kept.
	Shown *Shown `json:"shown,omitempty"`
	// Copies are, of a reply that was sent, its clips as they were then: the ID of the
	// copy by that of the clip; nil for a reply from before they were kept.
	Copies map[string]string `json:"copies,omitempty"`
}

// DrawingOf names a drawing by the frame it is on.
type DrawingOf struct {
	RepID string `json:"repId"`
	Frame int    `json:"frame"`
}

// HomeworkState is where a homework stands.
type HomeworkState string

// The states of a homework.
const (
	HomeworkOut      HomeworkState = "handed out" // nothing came yet
	HomeworkOverdue  HomeworkState = "overdue"    // nothing came, and the day is past
	HomeworkNew      HomeworkState = "new"        // a film or a note came that nobody looked at
	HomeworkInReview HomeworkState = "in review"
	HomeworkAnswered HomeworkState = "answered"
)

// Writes is what she has written once a note takes the place of the one before: when, and
// what she wrote about pain, which stays to be answered though she writes something else or
// rubs it out.
func (h Homework) Writes(note string, now int64) Student {
	s := h.Student
	same := strings.TrimSpace(note) == strings.TrimSpace(s.Note)
	if s.Pain == "" && SpeaksOfPain(s.Note) { // written before this was kept
		s.Pain, s.PainAt = s.Note, s.NotedAt
	}
	s.Note = note
	switch {
	case strings.TrimSpace(note) == "":
		s.NotedAt = 0
	case !same:
		s.NotedAt = now
		if SpeaksOfPain(note) {
			s.Pain, s.PainAt = h.painWith(s, note), now
		}
	}
	return s
}

// mostPain is how many bytes are kept of what she wrote about pain: four whole notes.
const mostPain = 8000

// painWith is what she wrote about pain and nobody answered yet, with one more note. A note
// that she wrote on at takes the place of what it was.
func (h Homework) painWith(s Student, note string) string {
	if s.PainAt <= h.seenTo() {
		return note
	}
	before := s.Pain
	if strings.Contains(note, h.Student.Note) {
		before = above(s.Pain, h.Student.Note)
	}
	switch {
	case before == "" || strings.Contains(note, before):
		return note
	case strings.Contains(before, note):
		return before
	}
	if more := len(before) + len(note) - mostPain; more > 0 {
		if _, before, _ = strings.Cut(before[min(more, len(before)):], "\n"); before == "" {
			return note
		}
	}
	return before + "\n" + note
}

// above is what stands above her last note in what she wrote about pain.
func above(pain, note string) string {
	return strings.TrimPrefix(strings.TrimSuffix("\n"+pain, "\n"+note), "\n")
}

// CameAt is when the last of her films or her note came, 0 while there is neither.
func (h Homework) CameAt() int64 { return max(h.FilmAt, h.Student.NotedAt, h.Student.PainAt) }

// seenTo is until when whoever answered had seen what came, 0 without an answer.
func (h Homework) seenTo() int64 { return cmp.Or(h.Sent.Seen, h.Sent.SentAt) }

// Earlier is what she wrote about pain before her note became what it is, until it is
// answered; "" for nothing.
func (h Homework) Earlier() string {
	if h.Student.PainAt <= h.seenTo() {
		return ""
	}
	return above(h.Student.Pain, h.Student.Note)
}

// Sore reports whether there are words about pain to be read first.
func (h Homework) Sore() bool { return SpeaksOfPain(h.Student.Note) || h.Earlier() != "" }

// State returns where the homework stands on the given day (YYYY-MM-DD). A film or a note
// that comes after the answer, or after the review began, makes it new again: a child may
// have written that it hurts.
func (h Homework) State(today string) HomeworkState {
	answered, seen := h.Sent.SentAt, h.seenTo()
	switch {
	case h.CameAt() == 0 && answered == 0:
		if h.Due != "" && h.Due < today {
			return HomeworkOverdue
		}
		return HomeworkOut
	case h.CameAt() > max(seen, h.ReviewAt):
		return HomeworkNew
	case answered != 0 && max(answered, seen) >= h.ReviewAt:
		return HomeworkAnswered
	}
	return HomeworkInReview
}

// Purpose is what a guardian is asked to say yes to. Each is asked for by itself: a yes to
// one is none to another.
type Purpose string

// The purposes.
const (
	ForHomework Purpose = "homework" // films of her homework come in by a private link, and clips go back to her
	ForResults  Purpose = "results"  // results and clips of her bullpens are shown to her and her parents by private links
	ForExamples Purpose = "examples" // a clip of hers shows other students how a drill is done
)

// Purposes lists them.
var Purposes = []Purpose{ForHomework, ForResults, ForExamples}

// Asks is in which words a guardian is asked for it today. A consent keeps the words that
// it was given to, so that changing these widens none.
func (p Purpose) Asks() string {
	switch p {
	case ForHomework:
		return "Homework: her films come in by a private link, seen by her instructor alone; clips go back to her."
	case ForResults:
		return "Results: her bullpens, how she moves and what comes next, and their clips, by private links to her and her parents."
	case ForExamples:
		return "Examples: a clip of hers shows other students a drill."
	}
	return ""
}

// Consent is a guardian's word on what a pitcher's film may be used for.
type Consent struct {
	ID        string
	PitcherID string
	Guardian  string // who said yes
	Given     string // YYYY-MM-DD
	For       []Purpose
	Covers    string // what else was said, in their words; may be ""
	// Asked is in which words each of For was asked for then, in their order; empty where
	// that was not kept.
	Asked     []string
	Created   int64
	Withdrawn int64 // 0 while it stands
	// GivenTo is the instructor that it was given to and whose pitcher she is no more: it
	// counts for nobody else, whom the guardian was not asked about. "" while she is hers.
	GivenTo string
}

// Standing is what a pitcher's guardians say yes to now.
func Standing(consents []Consent) []Purpose {
	standing := []Purpose{}
	for _, p := range Purposes {
		if slices.ContainsFunc(consents, func(c Consent) bool { return c.Withdrawn == 0 && c.GivenTo == "" && slices.Contains(c.For, p) }) {
			standing = append(standing, p)
		}
	}
	return standing
}
