package ledger

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"tenoff/internal/bullpen"
	"tenoff/internal/judged"
	"tenoff/internal/store"
)

// session is a bullpen with a bit of everything.
func session(t testing.TB, note string) Session {
	t.Helper()
	film := bullpen.Film{ID: "f1", Name: "pen, 1.mp4", Clock: bullpen.Clock{Num: 1, Den: 600, Ticks: []int64{20, 40, 60, 85, 100}, Slow: 1}}
	read := func(v float64) *bullpen.Reading { return &bullpen.Reading{Value: v} }
	pen := bullpen.Bullpen{ID: "b1", Day: "2026-05-02", Title: "May", Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}
	level, _ := bullpen.LevelOf("HS")
	p := bullpen.NewPitcher("Kim", level)
	reps := []bullpen.Rep{
		{ID: "1", Order: 1, FilmID: "f1", Release: 2, Pitch: bullpen.Fastball, Reading: read(60), Set: 1, Number: 1, Call: bullpen.Strike},
		{ID: "2", Order: 2, Release: bullpen.Unmarked, Pitch: bullpen.ChangeUp, Reading: read(49.5), Note: note, Drill: ""},
		{ID: "3", Order: 3, FilmID: "f1", Release: 4, Pitch: bullpen.ChangeUp, Drill: "=SUM(A1)", WarmUp: true},
		{ID: "4", Order: 4, FilmID: "f1", Release: 3, Pitch: bullpen.ChangeUp, Reading: read(44)},
	}
	b := judged.Bullpen{Facts: judged.Facts{Pitcher: p, Pen: pen, Films: []store.Film{{Film: film}}, Reps: reps}}
	b.Sheet = bullpen.Judge(p, pen, []bullpen.Film{film}, reps)
	return Session{Bullpen: b, Clips: map[string]string{"1": "01.mp4"}}
}

// columns reads a CSV strictly into a map per line.
func columns(t testing.TB, data []byte) []map[string]string {
	t.Helper()
	records, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var lines []map[string]string
	for _, record := range records[1:] {
		line := map[string]string{}
		for i, name := range records[0] {
			line[name] = record[i]
		}
		lines = append(lines, line)
	}
	return lines
}

func TestWriteCSV(t *testing.T) {
	var out bytes.Buffer
	if err := WriteCSV(&out, session(t, "good \"one\"\nagain, please")); err != nil {
		t.Fatal(err)
	}
	if !utf8.Valid(out.Bytes()) || !bytes.Contains(out.Bytes(), []byte("\r\n")) {
		t.Error("not UTF-8 with the line ends of RFC 4180")
	}
	lines := columns(t, out.Bytes())
	want := map[string]string{
		"day": "2026-05-02", "bullpen": "May", "order": "2", "pitch": "change-up",
		"reading": "49.5", "unit": "mph", "step": "1", "gun": "behind catcher",
		"baselineMph": "59.9982", "gapMph": "10.4982", "gapKmh": "16.8952", "percent": "82.5025", "laterMs": "93.2975", "uncertaintyMph": "2.0747",
		"verdict": "in the band", "onEdge": "yes", "soFar": "yes", "note": "good \"one\"\nagain, please",
	}
	got := map[string]string{}
	for name, cell := range lines[1] {
		if cell != "" {
			got[name] = cell
		}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	if first := lines[0]; first["film"] != "pen, 1.mp4" || first["frame"] != "2" || first["time"] != "0.066667" || first["clip"] != "01.mp4" || first["call"] != "strike" {
		t.Errorf("first line %v", first)
	}
	if third := lines[2]; third["drill"] != "'=SUM(A1)" || third["warmUp"] != "yes" || third["pending"] == "" {
		t.Errorf("third line %v", third)
	}
	if fourth := lines[3]; fourth["verdict"] != "too soft" || fourth["onEdge"] != "yes" || fourth["soFar"] != "yes" {
		t.Errorf("fourth line %v", fourth)
	}
}

// What a bullpen's CSV says of its reps is read back from it, line by line.
func TestCSVIsReadBack(t *testing.T) {
	s := session(t, "@cmd '=1 \"x\"")
	var out bytes.Buffer
	if err := WriteCSV(&out, s, s); err != nil {
		t.Fatal(err)
	}
	lines, err := ReadReps(&out, Defaults{})
	if err != nil {
		t.Fatal(err)
	}
	if len(lines) != 2*len(s.Reps) {
		t.Fatalf("%d lines of %d reps twice", len(lines), len(s.Reps))
	}
	for i, r := range s.Reps {
		want := Line{Line: lines[i].Line, Frame: r.Release, Pitch: r.Pitch, Drill: r.Drill, Set: r.Set, Number: r.Number, Call: r.Call, WarmUp: r.WarmUp, Note: r.Note}
		if r.FilmID != "" {
			want.Film = "pen, 1.mp4"
			want.Seconds = lines[i].Seconds
			if want.Seconds == nil {
				t.Errorf("rep %s has lost its time", r.ID)
			}
		}
		if r.Reading != nil {
			filled := s.Pen.Fill(*r.Reading)
			if filled.Value == 49.5 {
				filled.Step = 0.1 // finer than the display was said to be
			}
			want.Reading = &filled
		}
		if diff := cmp.Diff(want, lines[i]); diff != "" {
			t.Error(diff)
		}
	}
}

// No cell is a formula, however a spreadsheet splits the table, and what was written is
// what is read.
func TestNoCellIsAFormula(t *testing.T) {
	for _, s := range []string{
		"=1+1", "+1", "-1", "@x", "\t=1", "\n=1", "'=1", "''@x", "=", "-", " =1", `"=1+1"`, "\uff1d1+1", "\uff20x",
		"1;=1+1", "1; =1+1", `1;"=1+1"`, "1;'=1+1", "1\t=1+1", "low\n-1", "low\n\n@x", ";=1", ";;=1", "=1|=2;'=3", "a;b;+c", "\t;\t-", "x\n=1\ny\n=2",
	} {
		cell := text(s)
		for _, part := range strings.FieldsFunc(cell, func(r rune) bool { return strings.ContainsRune(";\t\n", r) }) {
			if part = strings.TrimLeft(part, "\" "); part != "" && strings.ContainsAny(part[:1], "=+-@\uff1d") {
				t.Errorf("%q is written as %q, which has the formula %q", s, cell, part)
			}
		}
		if plain(cell) != s || cell == s {
			t.Errorf("%q is written as %q and read as %q", s, cell, plain(cell))
		}
	}
	for _, s := range []string{"", "fastball", "'tis", "it's -1", "''", "good, -1 mph", "a; b;", "one\n\ntwo", "she said \"ok\""} {
		if text(s) != s || plain(s) != s {
			t.Errorf("%q is changed to %q and read as %q", s, text(s), plain(s))
		}
	}
}

// splits are how spreadsheets may read a table of ours: with its commas, or with
// another separator, and then a quotation mark within a cell is nothing special.
func splits(table string) (cells []string) {
	for _, separator := range []string{";", "\t", "|"} {
		for line := range strings.Lines(table) {
			for _, cell := range strings.Split(strings.TrimRight(line, "\r\n"), separator) {
				cells = append(cells, strings.TrimLeft(cell, "\" "))
			}
		}
	}
	return cells
}

func FuzzCSVIsReadBack(f *testing.F) {
	for _, s := range []string{"1;=1+1", "a\r\n=x", "\r", "\r=1", "'\t'=1", "\"=1\"", "low\n- high", "\"\"=1;\"@", "x|=1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, note string) {
		if !utf8.ValidString(note) || utf8.RuneCountInString(note) > 2000 {
			t.Skip()
		}
		var out bytes.Buffer
		s := session(t, note)
		if err := WriteCSV(&out, s); err != nil {
			t.Fatal(err)
		}
		for _, cell := range splits(out.String()) {
			if cell != "" && strings.ContainsAny(cell[:1], "=+@") || len(cell) > 1 && cell[0] == '-' && (cell[1] < '0' || cell[1] > '9') {
				t.Errorf("%q makes the cell %q", note, cell)
			}
		}
		lines, err := ReadReps(&out, Defaults{})
		if err != nil {
			t.Fatal(err)
		}
		want := strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(note)
		if got := lines[1].Note; got != strings.TrimSpace(want) {
			t.Errorf("%q is read back as %q", note, got)
		}
	})
}

// A bullpen at a time gives what encoding/json gives of all of them.
func TestJSONComesPieceByPiece(t *testing.T) {
	s := session(t, "a < b & c")
	for n := range 3 {
		e := Export{Bullpens: []Pen{}}
		var sessions []Session
		for range n {
			e.Bullpens = append(e.Bullpens, penOf(s))
			sessions = append(sessions, s)
		}
		var want, got bytes.Buffer
		enc := json.NewEncoder(&want)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		if err := errors.Join(enc.Encode(e), WriteJSON(&got, sessions...)); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(want.String(), got.String()); diff != "" {
			t.Errorf("%d bullpens: %s", n, diff)
		}
	}
}

func TestWriteJSON(t *testing.T) {
	s := session(t, "x < y")
	var out bytes.Buffer
	if err := WriteJSON(&out, s); err != nil {
		t.Fatal(err)
	}
	if strings.Contains(out.String(), "null") {
		t.Error("a missing value is written as null")
	}
	var got Export
	if err := json.Unmarshal(out.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(Export{Bullpens: []Pen{penOf(s)}}, got, cmpopts.IgnoreUnexported(bullpen.Baseline{})); diff != "" {
		t.Error(diff)
	}
	// Every CSV column that holds something is a field of the same name.
	var loose struct {
		Bullpens []struct{ Reps []map[string]any }
	}
	if err := json.Unmarshal(out.Bytes(), &loose); err != nil {
		t.Fatal(err)
	}
	var lines bytes.Buffer
	if err := WriteCSV(&lines, s); err != nil {
		t.Fatal(err)
	}
	for i, line := range columns(t, lines.Bytes()) {
		for name, cell := range line {
			if _, ok := loose.Bullpens[0].Reps[i][name]; cell != "" && !ok {
				t.Errorf("rep %d has %s in CSV and not in JSON", i, name)
			}
		}
	}
}
