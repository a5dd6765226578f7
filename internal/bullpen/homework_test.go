package bullpen

import (
	"fmt"
	"strings"
	"testing"
)

func TestHomeworkState(t *testing.T) {
	for _, c := range []struct {
		what string
		h    Homework
		want HomeworkState
	}{
		{"just handed out", Homework{}, HomeworkOut},
		{"due today", Homework{Due: "2026-05-02"}, HomeworkOut},
		{"due yesterday", Homework{Due: "2026-05-01"}, HomeworkOverdue},
		{"came late", Homework{Due: "2026-05-01", FilmAt: 5}, HomeworkNew},
		{"looked at", Homework{FilmAt: 5, ReviewAt: 6}, HomeworkInReview},
		{"another film", Homework{FilmAt: 7, ReviewAt: 6}, HomeworkNew},
		{"answered", Homework{FilmAt: 5, ReviewAt: 6, Sent: Reply{SentAt: 8}}, HomeworkAnswered},
		{"a film after the answer", Homework{FilmAt: 9, ReviewAt: 6, Sent: Reply{SentAt: 8}}, HomeworkNew},
		{"which is looked at", Homework{FilmAt: 9, ReviewAt: 10, Sent: Reply{SentAt: 8}}, HomeworkInReview},
		{"a note after the answer", Homework{FilmAt: 5, ReviewAt: 6, Student: Student{NotedAt: 9}, Sent: Reply{SentAt: 8}}, HomeworkNew},
		{"a note that came while the answer was written", Homework{FilmAt: 5, ReviewAt: 6, Student: Student{NotedAt: 7}, Sent: Reply{SentAt: 8, Seen: 5}}, HomeworkNew},
		{"which whoever answered had seen", Homework{FilmAt: 5, ReviewAt: 6, Student: Student{NotedAt: 7}, Sent: Reply{SentAt: 8, Seen: 7}}, HomeworkAnswered},
		{"a note after the answer, and no answer to it is needed", Homework{FilmAt: 5, ReviewAt: 10, Student: Student{NotedAt: 9}, Sent: Reply{SentAt: 8, Seen: 11}}, HomeworkAnswered},
		{"a note and no film", Homework{Due: "2026-05-01", Student: Student{NotedAt: 3}}, HomeworkNew},
		{"a note that was looked at", Homework{ReviewAt: 4, Student: Student{NotedAt: 3}}, HomeworkInReview},
		{"answered without a film", Homework{Due: "2026-05-01", Sent: Reply{SentAt: 8}}, HomeworkAnswered},
	} {
		if got := c.h.State("2026-05-02"); got != c.want {
			t.Errorf("%s: %s, want %s", c.what, got, c.want)
		}
	}
}

func TestSlipOpen(t *testing.T) {
	for _, c := range []struct {
		what string
		s    Slip
		want bool
	}{
		{"open", Slip{Link: Link{Expires: 11}}, true}, {"expired", Slip{Link: Link{Expires: 10}}, false}, {"closed", Slip{Link: Link{Expires: 11, Closed: 1}}, false},
	} {
		if c.s.Open(10) != c.want {
			t.Error(c.what)
		}
	}
}

func TestDegrees(t *testing.T) {
	for _, c := range []struct {
		what   string
		points []Point
		want   float64
	}{
		{"right", []Point{{0.5, 0}, {0.5, 0.5}, {1, 0.5}}, 90},
		{"straight", []Point{{0, 0.5}, {0.5, 0.5}, {1, 0.5}}, 180},
		{"half of a right one, in pixels", []Point{{0.1, 0.5}, {0, 0.5}, {0.1, 0.5 + 0.2}}, 45}, // 20 across and 20 down of 200x100
		{"the other way round", []Point{{1, 0.5}, {0.5, 0.5}, {0.5, 0}}, 90},
	} {
		got, ok := Shape{Kind: AngleShape, Points: c.points}.Degrees(200, 100)
		if !ok {
			t.Errorf("%s: none", c.what)
		}
		near(t, c.what, got, c.want, 1e-9)
	}
	if _, ok := (Shape{Kind: AngleShape, Points: []Point{{0, 0}, {0, 0}, {1, 1}}}).Degrees(1, 1); ok {
		t.Error("an angle without a leg")
	}
}

func TestDrawingCheck(t *testing.T) {
	good := Drawing{Shapes: []Shape{
		{Kind: LineShape, Points: []Point{{0, 0}, {1, 1}}}, {Kind: NoteShape, Points: []Point{{0.5, 0.5}}, Text: "hip"},
	}}
	if err := good.Check(); err != nil {
		t.Error(err)
	}
	for what, s := range map[string]Shape{
		"no kind":        {Points: []Point{{0, 0}}},
		"a point short":  {Kind: LineShape, Points: []Point{{0, 0}}},
		"outside":        {Kind: LineShape, Points: []Point{{0, 0}, {1.1, 0}}},
		"an empty note":  {Kind: NoteShape, Points: []Point{{0, 0}}},
		"a line's words": {Kind: LineShape, Points: []Point{{0, 0}, {1, 1}}, Text: "x"},
		"no such colour": {Kind: LineShape, Points: []Point{{0, 0}, {1, 1}}, Colour: 8},
		"endless":        {Kind: FreehandShape, Points: make([]Point, MostPoints+1)},
	} {
		if CodeOf(Drawing{Shapes: []Shape{s}}.Check()) != Invalid {
			t.Errorf("%s is accepted", what)
		}
	}
}

// What a child wrote about pain is read until it is answered, whatever she writes after it
// or rubs out.
func TestWordsAboutPainStayUntilTheyAreAnswered(t *testing.T) {
	var h Homework
	write := func(note string, at int64) { h.Student = h.Writes(note, at) }
	want := func(what string, sore bool, earlier string, cameAt int64) {
		t.Helper()
		if h.Sore() != sore || h.Earlier() != earlier || h.CameAt() != cameAt {
			t.Errorf("%s: sore %t, earlier %q, came at %d", what, h.Sore(), h.Earlier(), h.CameAt())
		}
	}
	write("all good", 1)
	want("nothing hurts", false, "", 1)
	write("it hurts", 2)
	write("it hurts when I land", 3)
	want("it hurts", true, "", 3)
	write("it hurts when I land", 4)
	want("the same again", true, "", 3)
	write("here is my second film", 5)
	want("another note", true, "it hurts when I land", 5)
	write("", 6)
	want("rubbed out", true, "it hurts when I land", 3)
	if h.State("2026-05-01") != HomeworkNew {
		t.Errorf("rubbed out: %s", h.State("2026-05-01"))
	}
	h.Sent.SentAt = 7
	want("answered", false, "", 3)
	write("my knee hurts now", 8)
	write("see you", 9)
	want("again, after the answer", true, "my knee hurts now", 9)
	h.Sent.Seen = 10
	want("seen", false, "", 9)

	h = Homework{}
	write("my elbow popped and it hurts", 1)
	write("my knee hurts too", 2)
	want("a second pain", true, "my elbow popped and it hurts", 2)
	write("my knee hurts too, on the stairs", 3)
	want("written on", true, "my elbow popped and it hurts", 3)
	write("see you", 4)
	want("both", true, "my elbow popped and it hurts\nmy knee hurts too, on the stairs", 4)
	h.Sent.SentAt = 5
	write("it hurts again", 6)
	want("those are answered", true, "", 6)
	write(strings.Repeat("it hurts here ", 142), 7)
	for at := range int64(9) {
		write(strings.Repeat(fmt.Sprint("it hurts ", at, " "), 190), 8+at)
	}
	if n := len(h.Student.Pain); n > mostPain || !strings.HasSuffix(h.Student.Pain, h.Student.Note) || h.Earlier() == "" {
		t.Errorf("without end: %d bytes", n)
	}

	h = Homework{Student: Student{Note: "my arm is sore", NotedAt: 1}} // as older programs kept it
	write("ok", 2)
	want("written before it was kept", true, "my arm is sore", 2)
}
