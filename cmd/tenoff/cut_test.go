package main

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/film"
	"tenoff/internal/ledger"
)

// A film and a list of reps become captioned clips, a summary and a table.
func TestCut(t *testing.T) {
	path, truth := drawn.path, drawn.truth
	list := "time,frame,pitch,reading,drill,note\n"
	readings := []int{55, 45, 53} // as demo.Series turns them: fastball, change-up, fastball
	for i, r := range truth.Reps {
		if i == 1 { // a time will do as well as a frame
			list += fmt.Sprintf("%.3f,,%s,%d,,\n", truth.Clock.FileSeconds(r.Release.Frame)+0.001, r.Pitch, readings[i])
			continue
		}
		list += fmt.Sprintf(",%d,%s,%d,,\"{\\an8} a note, with commas\"\n", r.Release.Frame, r.Pitch, readings[i])
	}
	list += ",,ch,44,,read off the gun only\n"
	list += ",,dr,12,,a slip of the finger\n"
	reps := filepath.Join(t.TempDir(), "REPS.csv")
	if err := os.WriteFile(reps, []byte(list), 0o600); err != nil {
		t.Fatal(err)
	}
	out := filepath.Join(t.TempDir(), "new", "clips")
	code, said, errs := call(t.Context(), "cut", "--out", out, "--pair", "--slow", "--before", "0.6", "--after", "0.4", "--speed", "0.5", path, reps)
	if code != exitOK {
		t.Fatalf("exit code %d: %s", code, errs)
	}
	if !strings.Contains(errs, "Line 6: Sure about 12 mph? It lies outside 15 to 90 mph.") {
		t.Errorf("nothing is asked about 12 mph: %q", errs)
	}
	kinds := map[string]int{}
	entries, err := os.ReadDir(out)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		kinds[filepath.Ext(e.Name())]++
		if strings.HasPrefix(e.Name(), ".") {
			t.Errorf("%s is left over", e.Name())
		}
	}
	if kinds[".mp4"] != 4 || kinds[".srt"] != 4 || kinds[".csv"] != 1 || kinds[".json"] != 1 {
		t.Errorf("made %v", kinds)
	}
	for line := range strings.Lines(said) { // scripts read the names of what was made
		if _, err := os.Stat(strings.TrimSpace(line)); err != nil {
			t.Error(err)
		}
	}
	checkTable(t, out)
	checkSummary(t, out)
	for _, e := range entries {
		if filepath.Ext(e.Name()) != ".mp4" {
			continue
		}
		facts, err := film.Probe(t.Context(), filepath.Join(out, e.Name()), "")
		if err != nil {
			t.Errorf("%s: %v", e.Name(), err)
			continue
		}
		// A side by side lasts its second at half speed; a clip its second, then half a
		// second more at quarter speed, and a rest at the end.
		got := facts.Seconds()
		if pair := strings.Contains(e.Name(), "beside"); pair && (got < 1.95 || got > 2.05) || !pair && got < 3 {
			t.Errorf("%s lasts %.2f s", e.Name(), got)
		}
	}
	checkReadBack(t, out)
}

// checkReadBack reads the table that was written as a list of reps.
func checkReadBack(t *testing.T, out string) {
	t.Helper()
	c := cutting{pen: bullpen.Bullpen{Gun: bullpen.BehindCatcher, Unit: bullpen.MPH, Step: 1}}
	lines, err := c.readLines(filepath.Join(out, "reps.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range drawn.truth.Reps {
		if lines[i].Frame != r.Release.Frame || lines[i].Film != filepath.Base(drawn.path) {
			t.Errorf("rep %d is read back as frame %d of %q", i+1, lines[i].Frame, lines[i].Film)
		}
	}
	if len(lines) != 5 || lines[3].Note != "read off the gun only" {
		t.Errorf("%d lines are read back, the last as %+v", len(lines), lines[len(lines)-1])
	}
}

func checkTable(t *testing.T, out string) {
	t.Helper()
	f, err := os.Open(filepath.Join(out, "reps.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	column := map[string]int{}
	for i, name := range rows[0] {
		column[strings.TrimPrefix(name, "\ufeff")] = i
	}
	cell := func(row int, name string) string { return rows[row][column[name]] }
	if len(rows) != 6 || cell(2, "gapMph") != "9" || cell(2, "verdict") != "in the band" || cell(4, "gapMph") != "9.9961" || cell(4, "clip") != "" {
		t.Errorf("the table is %v", rows)
	}
	for row := 1; row <= 3; row++ {
		if _, err := os.Stat(filepath.Join(out, cell(row, "clip"))); err != nil {
			t.Error(err)
		}
	}
}

func checkSummary(t *testing.T, out string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(out, "summary.json"))
	if err != nil {
		t.Fatal(err)
	}
	var export ledger.Export
	if err := json.Unmarshal(text, &export); err != nil {
		t.Fatal(err)
	}
	for _, s := range export.Bullpens[0].Summaries {
		if s.Pitch == "ch" && (s.N != 2 || s.MeanGap == nil || math.Abs(float64(s.MeanGap.MPH)-9.5) > 0.01 || s.InBand != 2) {
			t.Errorf("the change-ups are %+v", s)
		}
	}
}

func TestCutRefusesAnImpossibleReading(t *testing.T) {
	reps := filepath.Join(t.TempDir(), "REPS.csv")
	if err := os.WriteFile(reps, []byte("frame,pitch,reading\n9,fb,470\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	code, _, errs := call(t.Context(), "cut", "--out", t.TempDir(), drawn.path, reps)
	if code != exitFailed || !strings.Contains(errs, `Line 2: "470" is no reading`) {
		t.Errorf("%d %q", code, errs)
	}
}

func TestCutRefusesFramesPastTheEnd(t *testing.T) {
	path := drawn.path
	for _, line := range []string{",99999,fb,55", "99:00,,fb,55"} {
		reps := filepath.Join(t.TempDir(), "REPS.csv")
		if err := os.WriteFile(reps, []byte("time,frame,pitch,reading\n"+line+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		out := t.TempDir()
		code, _, errs := call(t.Context(), "cut", "--out", out, path, reps)
		if code != exitFailed || !strings.Contains(errs, "Line 2") {
			t.Errorf("%s: %d %q", line, code, errs)
		}
		if left, err := os.ReadDir(out); err != nil || len(left) > 0 {
			t.Errorf("%s left %v, %v", line, left, err)
		}
	}
}
