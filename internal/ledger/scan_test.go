package ledger

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
)

var defaults = Defaults{Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindCatcher}

// short writes entries the way the tests compare them: value[unit][pitch], or - for
// a held place.
func short(entries []Entry) string {
	var out []string
	for _, e := range entries {
		s := "-"
		if e.Reading != nil {
			s = number(&e.Reading.Value, -1)
			if e.Reading.Unit == bullpen.KMH {
				s += "km/h"
			}
			if e.Reading.Step == 0.1 {
				s += "~"
			}
		}
		out = append(out, strings.TrimSpace(s+" "+string(e.Pitch)))
	}
	return strings.Join(out, ", ")
}

func TestParseReadings(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"a run", "55 fb 47 ch 46 ch", "55 fb, 47 ch, 46 ch"},
		{"keys and names", "55 f 47 Change-up 46 changeup 52 curve", "55 fb, 47 ch, 46 ch, 52 cu"},
		{"glued", "55fb 47c", "55 fb, 47 ch"},
		{"no spaces", "55f47c46c", "55 fb, 47 ch, 46 ch"},
		{"no spaces, pitches in part", "5547c5446c", "55, 47 ch, 54, 46 ch"},
		{"no spaces, a unit", "8875km/h", "88, 75km/h"},
		{"three digits", "101 km/h 98 km/h", "101km/h, 98km/h"},
		{"pitch first", "fb 55 ch 47 46", "55 fb, 47 ch, 46"},
		{"no pitches", "55 47 46", "55, 47, 46"},
		{"commas", "55,47,46", "55, 47, 46"},
		{"hyphens", "55-47-46", "55, 47, 46"},
		{"decimal commas", "55,3 fb; 46,5 ch", "55.3~ fb, 46.5~ ch"},
		{"decimal commas between commas", "55,3,46,5", "55.3~, 46.5~"},
		{"decimal points", "55.0 46.5", "55~, 46.5~"},
		{"a unit", "88 km/h fb 75 kmh ch 47 mph ch", "88km/h fb, 75km/h ch, 47 ch"},
		{"a held place", "55 fb - ch 46 ch ? x", "55 fb, - ch, 46 ch, -, -"},
		{"a column", "55\n47\n46\n", "55, 47, 46"},
		{"a column with a gap", "\n55\r\n\r\n46\r\n\r\n", "55, -, 46"},
		{"lines of a run", "55 fb 47 ch\n\n46 ch 55 fb", "55 fb, 47 ch, 46 ch, 55 fb"},
		{"a column with pitches", "55 fb\n47 ch\n\n46 ch", "55 fb, 47 ch, -, 46 ch"},
		{"a column with a header", "Reading (mph)\n55\n\n46", "55, -, 46"},
		{"a column of km/h", "km/h\n88\n75", "88km/h, 75km/h"},
		{"only a header", "reading", ""},
		{"CSV", "pitch,reading\nfb,55\nch,47\n", "55 fb, 47 ch"},
		{"CSV with semicolons and decimal commas", "\ufeffReading;Pitch\r\n55,3;fastball\r\n;ch\r\n46,5;CH\r\n;\r\n", "55.3~ fb, - ch, 46.5~ ch"},
		{"CSV with tabs", "Pitch\tMPH\nfb\t55\n", "55 fb"},
		{"CSV with a unit", "reading,unit,step,gun\n88,km/h,0.1,behind the pitcher\n", "88km/h~"},
		{"nothing", " \n ", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			entries, err := ParseReadings(c.text, defaults)
			if err != nil {
				t.Fatal(err)
			}
			if got := short(entries); got != c.want {
				t.Errorf("%q is read as %q, want %q", c.text, got, c.want)
			}
		})
	}
}

func TestParseReadingsNamesTheLine(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"no pitch", "55 fb\n47 xx", `Line 2: "xx" is neither a reading nor a pitch`},
		{"two pitches", "55 fb ch", `Line 1: "ch" has no reading before it`},
		{"readings run together", "55 55475", `Line 1: "55475" runs together; put a space between readings`},
		{"a year", "2026", `Line 1: "2026" runs together`},
		{"a pitch too many", "fb 55 ch", `Line 1: "ch" has no reading after it`},
		{"two pitches first", "fb ch 55", `Line 1: "fb" and "ch" stand without a reading between them`},
		{"a unit alone", "mph 55", `Line 1: "mph" stands after no reading`},
		{"negative", "55\n-5", "Line 2: a reading can't be negative"},
		{"zero", "0", `Line 1: "0" is no reading`},
		{"a slip of the finger", "50 fb\n540 ch", `Line 2: "540" is no reading: no ball is that fast`},
		{"CSV, a slip of the finger", "reading,pitch\n540,fb\n", `Line 2: "540" is no reading: no ball is that fast`},
		{"another mark", "55\n\n(47)", `Line 3: "(" belongs to no reading`},
		{"CSV, no number", "reading,pitch\n55,fb\n4b,ch\n", `Line 3: "4b" is no reading`},
		{"CSV, no pitch", "reading,pitch\n55,zz\n", `Line 2: "zz" is no pitch`},
		{"CSV, quotation mark", "reading,pitch\n5\"5,fb\n", "Line 2: a quotation mark is out of place"},
		{"CSV, column twice", "reading,reading\n55,47\n", "Line 1: the header names the column reading twice"},
		{"CSV, gun", "reading,gun\n55,roof\n", `Line 2: the gun's place is "roof"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseReadings(c.text, defaults)
			if bullpen.CodeOf(err) != bullpen.Invalid {
				t.Fatalf("got %v, want an invalid error", err)
			}
			if got := bullpen.MessageOf(err); !strings.HasPrefix(got, c.want) {
				t.Errorf("got %q, want %q ...", got, c.want)
			}
		})
	}
}

func TestEntriesKeepWhatWasTyped(t *testing.T) {
	got, err := ParseReadings("55,3 km/h fb\nch 46", Defaults{Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindPitcher})
	if err != nil {
		t.Fatal(err)
	}
	want := []Entry{
		{Line: 1, Text: "55,3 km/h fb", Pitch: bullpen.Fastball,
			Reading: &bullpen.Reading{Value: 55.3, Unit: bullpen.KMH, Step: 0.1, Gun: bullpen.BehindPitcher}},
		{Line: 2, Text: "ch 46", Pitch: bullpen.ChangeUp,
			Reading: &bullpen.Reading{Value: 46, Unit: bullpen.MPH, Step: 1, Gun: bullpen.BehindPitcher}},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

func FuzzParseReadings(f *testing.F) {
	for _, s := range []string{"55 fb 47 ch 46 ch", "fb 55", "55,3;46,5", "reading;pitch\n55,3;fb\n;ch\n", "\ufeffmph\r\n55\r\n\r\n47", "55 km/h - x ?", "1:02", "5547c5446c"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		entries, err := ParseReadings(text, defaults)
		if err != nil {
			if bullpen.CodeOf(err) == bullpen.Internal {
				t.Fatalf("%q: an error for the user is %v", text, err)
			}
			return
		}
		lines := strings.Count(clean(text), "\n") + 1
		last := 0
		for _, e := range entries {
			if e.Line < max(1, last) || e.Line > lines {
				t.Fatalf("%q: line %d after line %d of %d", text, e.Line, last, lines)
			}
			last = e.Line
			if r := e.Reading; r != nil && (!(r.Value > 0) || !(r.Step > 0) || r.Unit == "") {
				t.Fatalf("%q: reading %+v", text, *r)
			}
		}
		p := Match(entries, make([]bullpen.Rep, 3), 1)
		if p.Matched+p.Over != len(entries) || p.Matched+p.Missing != 3 {
			t.Fatalf("%q: %d entries on 3 reps: %+v", text, len(entries), p)
		}
	})
}
