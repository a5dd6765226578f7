package ledger

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/store"
)

func TestReadReps(t *testing.T) {
	at := func(x float64) *float64 { return &x }
	reading := func(v float64, step float64) *bullpen.Reading {
		return &bullpen.Reading{Value: v, Unit: bullpen.MPH, Step: step, Gun: bullpen.BehindCatcher}
	}
	for _, c := range []struct {
		name, text string
		want       []Line
	}{
		{"frames", "frame,pitch,reading\n120,fb,55\n480,ch,47\n", []Line{
			{Line: 2, Frame: 120, Pitch: bullpen.Fastball, Reading: reading(55, 1)},
			{Line: 3, Frame: 480, Pitch: bullpen.ChangeUp, Reading: reading(47, 1)},
		}},
		{"times, semicolons, decimal commas, mark, line ends, upper case", "\ufeffTIME;PITCH;READING;Drill;Set;Rep\r\n12,48;Fastball;55,3;;1;1\r\n1:02,5;c;; wall ;1;2\r\n\r\n0:01:10;ch;46,0;wall;;\r\n", []Line{
			{Line: 2, Frame: -1, Seconds: at(12.48), Pitch: bullpen.Fastball, Reading: reading(55.3, 0.1), Set: 1, Number: 1},
			{Line: 3, Frame: -1, Seconds: at(62.5), Pitch: bullpen.ChangeUp, Drill: "wall", Set: 1, Number: 2},
			{Line: 5, Frame: -1, Seconds: at(70), Pitch: bullpen.ChangeUp, Reading: reading(46, 0.1), Drill: "wall"},
		}},
		{"other columns, quoted cells", "mood,Time,Pitch,MPH,Warm-up,Call,note\n\"good, very\",3,fb,55,yes,s,\"two\nlines\"\n,4.5,ch,47,,ball,\n", []Line{
			{Line: 2, Frame: -1, Seconds: at(3), Pitch: bullpen.Fastball, Reading: reading(55, 1), WarmUp: true, Call: bullpen.Strike, Note: "two\nlines"},
			{Line: 4, Frame: -1, Seconds: at(4.5), Pitch: bullpen.ChangeUp, Reading: reading(47, 1), Call: bullpen.Ball},
		}},
		{"not filmed", "frame,pitch,reading\n,fb,55\n", []Line{{Line: 2, Frame: -1, Pitch: bullpen.Fastball, Reading: reading(55, 1)}}},
		{"only a header", "frame,pitch,reading\n", []Line{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, err := ReadReps(strings.NewReader(c.text), defaults)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Error(diff)
			}
		})
	}
}

// Every column that is documented is read, and every one of an export is documented.
func TestTheColumnsThatAreRead(t *testing.T) {
	cells := map[string]string{
		"time": "3.5", "frame": "105", "film": "a.mov", "pitch": "ch", "reading": "47", "mph": "47", "kmh": "75.6", "unit": "mph", "step": "1",
		"gun": "behind pitcher", "drill": "wall", "set": "2", "rep": "3", "call": "strike", "warmUp": "yes", "note": "low",
	}
	if len(cells) != len(Read) {
		t.Errorf("%d columns documented, %d known here", len(Read), len(cells))
	}
	for _, c := range Read {
		head, row := "time,pitch,reading", "1,fb,55"
		switch c.Name {
		case "time", "pitch":
			head, row = "frame,reading", "1,55"
			if c.Name == "time" {
				head, row = head+",pitch", row+",fb"
			} else {
				head, row = head+",time", row+",1"
			}
		case "reading", "mph", "kmh":
			head, row = "time,pitch", "1,fb"
		}
		lines, err := ReadReps(strings.NewReader(head+","+c.Name+"\n"+row+","+cells[c.Name]+"\n"), defaults)
		if err != nil || len(lines) != 1 {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		plain, _ := ReadReps(strings.NewReader("time,pitch,reading\n1,fb,55\n"), defaults)
		if c.Meaning == "" || c.Name != "unit" && c.Name != "step" && cmp.Equal(lines, plain) {
			t.Errorf("%s is passed over", c.Name)
		}
	}
	for _, c := range Columns {
		if c.Meaning == "" {
			t.Errorf("nothing says what %s means", c.Name)
		}
	}
}

func TestReadRepsNamesTheLine(t *testing.T) {
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "Line 1: the header lacks time or frame, pitch, reading; it needs"},
		{"no header", "12.4,fb,55\n", "Line 1: the header lacks"},
		{"a column short", "time,reading\n1,55\n", "Line 1: the header lacks pitch;"},
		{"time", "time,pitch,reading\n1,fb,55\n1:75,fb,55\n", `Line 3: "1:75" is no time`},
		{"minus", "time,pitch,reading\n-1,fb,55\n", `Line 2: "-1" is no time`},
		{"frame", "frame,pitch,reading\n1.5,fb,55\n", `Line 2: frame is "1.5"; write a whole number`},
		{"pitch", "frame,pitch,reading\n1,,55\n", `Line 2: "" is no pitch; use fb for fastball,`},
		{"reading", "frame,pitch,reading\n1,fb,fast\n", `Line 2: "fast" is no reading`},
		{"not a number", "frame,pitch,reading\n1,fb,NaN\n", `Line 2: "NaN" is no reading`},
		{"set", "frame,pitch,reading,set\n1,fb,55,one\n", `Line 2: set is "one"`},
		{"warm-up", "frame,pitch,reading,warm-up\n1,fb,55,maybe\n", `Line 2: warm-up is "maybe"`},
		{"call", "frame,pitch,reading,call\n1,fb,55,foul\n", `Line 2: the call is "foul"`},
		{"unit", "frame,pitch,reading,unit\n1,fb,55,knots\n", `Line 2: the unit is "knots"`},
		{"step", "frame,pitch,reading,step\n1,fb,55,0\n", `Line 2: the display's step is "0"`},
		{"drill", "frame,pitch,reading,drill\n1,fb,55," + strings.Repeat("é", bullpen.MostDrill) + "\n2,fb,55," + strings.Repeat("é", bullpen.MostDrill+1) + "\n", "Line 3: the drill has 81 letters; the most is 80."},
		{"note", "frame,pitch,reading,note\n1,fb,55," + strings.Repeat("é", bullpen.MostNote) + "\n2,fb,55," + strings.Repeat("é", bullpen.MostNote+1) + "\n", "Line 3: the note has 2001 letters; the most is 2000."},
		{"quotation mark", "frame,pitch,reading\n1,fb,55\n\"1,fb,55\n", "Line 3: a quotation mark is out of place"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadReps(strings.NewReader(c.text), defaults)
			if bullpen.CodeOf(err) != bullpen.Invalid {
				t.Fatalf("got %v, want an invalid error", err)
			}
			if got := bullpen.MessageOf(err); !strings.HasPrefix(got, c.want) {
				t.Errorf("got %q, want %q ...", got, c.want)
			}
		})
	}
}

func FuzzReadReps(f *testing.F) {
	for _, s := range []string{
		"frame,pitch,reading\n120,fb,55\n", "\ufefftime;pitch;reading;note\r\n1:02,5;ch;46,5;\"a;\"\"b\"\r\n",
		"time\tpitch\tkm/h\n1\tfb\t88\n", "frame,pitch,reading,note\n1,fb,55,'=1\n",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		lines, err := ReadReps(strings.NewReader(text), defaults)
		if err != nil {
			if bullpen.CodeOf(err) != bullpen.Invalid {
				t.Fatalf("%q: an error for the user is %v", text, err)
			}
			return
		}
		// What was read is written and read again the same.
		var s Session
		s.Films = []store.Film{{Film: bullpen.Film{ID: "f", Clock: bullpen.Clock{Num: 1, Den: 1}}}}
		for i, l := range lines {
			s.Reps = append(s.Reps, bullpen.Rep{Order: i + 1, Release: bullpen.Unmarked, Pitch: l.Pitch, Reading: l.Reading,
				Drill: l.Drill, Set: l.Set, Number: l.Number, Call: l.Call, WarmUp: l.WarmUp, Note: l.Note})
		}
		var out bytes.Buffer
		if err := WriteCSV(&out, s); err != nil {
			t.Fatal(err)
		}
		again, err := ReadReps(bytes.NewReader(out.Bytes()), Defaults{})
		if err != nil {
			t.Fatalf("%q written as %q: %v", text, out.String(), err)
		}
		if len(again) != len(lines) {
			t.Fatalf("%q: %d lines became %d", text, len(lines), len(again))
		}
		for i := range lines {
			a, b := lines[i], again[i]
			a.Line, a.Frame, a.Seconds, a.Film = b.Line, b.Frame, b.Seconds, b.Film
			if diff := cmp.Diff(a, b); diff != "" {
				t.Fatalf("%q: %s", text, diff)
			}
		}
	})
}
