package trust

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
)

func TestGuidance(t *testing.T) {
	rows := golden(t, "guidance.csv")
	guides := map[string][]Guide{"softball": Softball(), "baseball": Baseball()}
	if n := len(guides["softball"]) + len(guides["baseball"]); n != len(rows) {
		t.Errorf("%d lines of guidance, want %d", n, len(rows))
	}
	optional := func(s string) int {
		n, _ := strconv.Atoi(s)
		return n
	}
	for _, row := range rows {
		var g Guide
		for _, have := range guides[row["sport"]] {
			if have.Ages == row["ages"] {
				g = have
			}
		}
		name := row["sport"] + " " + row["ages"]
		if g.Day != optional(row["day"]) || g.Game != optional(row["game"]) || g.Source == "" {
			t.Errorf("%s: %+v", name, g)
		}
		if third := row["thirdDay"]; (g.ThirdDay == nil) != (third == "") || (third != "" && *g.ThirdDay != optional(third)) {
			t.Errorf("%s: third day %v, want %q", name, g.ThirdDay, third)
		}
		for days := 1; days <= 4; days++ {
			from := optional(row[fmt.Sprint("rest", days)])
			if from == 0 {
				continue
			}
			at, ok := g.RestAfter(from)
			less, _ := g.RestAfter(from - 1)
			if !ok || at != days || less != days-1 {
				t.Errorf("%s: %d days of rest after %d pitches and %d after one less, want %d", name, at, from, less, days)
			}
		}
	}
}

func TestGuidesFor(t *testing.T) {
	want := map[string]string{
		"8U": "8-10", "10U": "8-10", "12U": "10-12", "14U": "13-14", "16U": "15 and up", "18U": "15 and up", "HS": "15 and up",
		"BB46": "9-10, 11-12", "BB50": "11-12, 13-14", "BB54": "13-14", "BB60": "15-16, 17-18",
	}
	for _, l := range bullpen.Levels {
		var ages []string
		for _, g := range GuidesFor(l.Key) {
			ages = append(ages, g.Ages)
		}
		if got := strings.Join(ages, ", "); got != want[l.Key] {
			t.Errorf("%s goes by %q, want %q", l.Key, got, want[l.Key])
		}
	}
}

func TestLoad(t *testing.T) {
	days := LoadOf([]Thrown{
		{"2026-05-08", 100, 10}, {"2026-05-01", 60, 5}, {"2026-05-02", 116, 0}, {"2026-05-03", 50, 0}, {"2026-05-03", 31, 9},
		{"2026-05-04", 0, 0}, {"someday", 40, 0}, {"2026-03-31", 20, 0}, {"2026-04-01", 20, 0},
	}, "14U")
	want := []struct {
		day                    string
		reps, warm, seven, row int
		note                   string
	}{
		{"2026-03-31", 20, 0, 20, 1, ""},
		{"2026-04-01", 20, 0, 40, 2, ""},
		{"2026-05-01", 60, 5, 60, 1, ""},
		{"2026-05-02", 116, 0, 176, 2, "116 reps; published guidance for ages 13-14 is at most 115 a day."},
		{"2026-05-03", 81, 9, 257, 3, "81 reps; published guidance for ages 13-14 is at most 80 on the third day in a row."},
		{"2026-05-08", 100, 10, 297, 1, ""},
	}
	if len(days) != len(want) {
		t.Fatalf("%d days, want %d: %+v", len(days), len(want), days)
	}
	for i, w := range want {
		d := days[i]
		if d.Day != w.day || d.Reps != w.reps || d.WarmUp != w.warm || d.SevenDays != w.seven || d.DaysInARow != w.row {
			t.Errorf("got %+v, want %+v", d, w)
		}
		note := ""
		if len(d.Notes) > 0 {
			note = d.Notes[0].Text
			if d.Notes[0].Source == "" {
				t.Errorf("%s: a note without its source", d.Day)
			}
		}
		if note != w.note {
			t.Errorf("%s: note %q, want %q", d.Day, note, w.note)
		}
	}
}

// Under 13, published guidance has no third day at all.
func TestThirdDayOfTheYoungest(t *testing.T) {
	days := LoadOf([]Thrown{{"2026-05-01", 10, 0}, {"2026-05-02", 10, 0}, {"2026-05-03", 10, 0}}, "10U")
	if n := days[2].Notes; len(n) != 1 || n[0].Text != "10 reps; published guidance for ages 8-10 is at most 0 on the third day in a row." {
		t.Errorf("notes %+v", n)
	}
}

func TestRest(t *testing.T) {
	thrown := []Thrown{{"2026-05-01", 55, 0}, {"2026-05-04", 20, 0}, {"2026-05-06", 20, 0}}
	days := LoadOf(thrown, "BB54")
	if n := days[1].Notes; len(n) != 1 || n[0].Text != "2 days of rest since 55 reps on 1 May 2026; published guidance for ages 13-14 is 3." {
		t.Errorf("notes %+v", n)
	}
	if n := days[2].Notes; len(n) != 0 {
		t.Errorf("notes %+v", n)
	}
	// Rest that is still due is due whatever was thrown in between, and the day that
	// is due longest is the one named.
	days = LoadOf([]Thrown{{"2026-03-01", 70, 0}, {"2026-03-03", 10, 0}, {"2026-03-04", 25, 0}, {"2026-03-05", 5, 0}, {"2026-03-06", 5, 0}}, "BB54")
	for i, want := range []string{
		"",
		"1 day of rest since 70 reps on 1 March 2026; published guidance for ages 13-14 is 4.",
		"1 day of rest since 70 reps on 1 March 2026; published guidance for ages 13-14 is 4.",
		"1 day of rest since 70 reps on 1 March 2026; published guidance for ages 13-14 is 4.",
		"",
	} {
		got := ""
		if n := days[i].Notes; len(n) > 0 {
			got = n[0].Text
		}
		if got != want {
			t.Errorf("%s: note %q, want %q", days[i].Day, got, want)
		}
	}
	for _, d := range LoadOf(thrown, "college") {
		if len(d.Notes) != 0 || d.Notes == nil {
			t.Errorf("a grown-up is noted: %+v", d.Notes)
		}
	}
}

// The load informs: it never tells anybody what to do about it, least of all more.
func TestNothingIsAdvised(t *testing.T) {
	for _, l := range bullpen.Levels {
		for _, d := range LoadOf([]Thrown{{"2026-05-01", 500, 0}, {"2026-05-02", 500, 0}, {"2026-05-03", 500, 0}}, l.Key) {
			for _, n := range d.Notes {
				for _, word := range []string{"should", "must", "injur", "doctor", "more pitches", "throw "} {
					if strings.Contains(n.Text, word) {
						t.Errorf("%q advises", n.Text)
					}
				}
			}
		}
	}
	if !strings.Contains(Caution, "medical") || !strings.Contains(Caution, "pain") {
		t.Error("the caution lacks its words")
	}
}
