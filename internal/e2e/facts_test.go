package e2e

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo"
	"tenoff/internal/ledger"
	"tenoff/internal/server/wire"
	"tenoff/internal/tempo"
)

// reading is one screen or file as somebody reads it: no-break spaces are spaces, lines are
// joined.
type reading struct {
	t    *testing.T
	name string
	text string
}

func (s reading) says(fact, what string) {
	s.t.Helper()
	if what == "" || !strings.Contains(s.text, what) {
		s.t.Errorf("%s: the %s is not said as %q; it says: %.3000s", s.name, fact, what, s.text)
	}
}

func plainText(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(text, "\u00a0", " ")), " ")
}

// The same fact has one value, one rounding and one sentence wherever it is said: on the
// bullpen's page, in the film room, side by side, on the report, on the student's page, on
// the page of a shared result, in a clip's captions and in its pixels, in the list of all
// reps, in the CSV and in the JSON, and what is typed at the fence wherever it is read; what she
// and her parents read in English and in Spanish. What they are held against is reckoned here
// from the JSON's numbers, which have all their digits.
func TestOneFactIsSaidAlikeEverywhere(t *testing.T) {
	p := serve(t, t.TempDir())
	her := p.athlete(t)
	pen, film, truth := filmOfOneSlowed(t, p, her.homework.BullpenID)
	for _, r := range truth.Reps {
		at := func(i demo.Instant) *int { return &i.Frame }
		p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/reps", wire.NewRep{
			FilmID: film.ID, Release: at(r.Release), Drive: at(r.Drive), Plant: at(r.Plant), Pitch: r.Pitch, Set: 1, Number: r.Number,
		}, nil)
	}
	var pairs wire.ReadingPairs
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/readings", wire.Readings{Text: "56 fb 47 ch 54 fb 44 ch 55 fb 45 ch 56 fb 46 ch 54 fb 44 ch 55 fb 45 ch"}, &pairs)
	if !pairs.Saved {
		t.Fatalf("readings: %+v", pairs)
	}
	var sheet wire.Sheet
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID, nil, &sheet)
	var export ledger.Export
	get(t, p, "/api/bullpens/"+pen.ID+"/reps.json", func(b []byte) error { return json.Unmarshal(b, &export) })
	said := export.Bullpens[0]
	var off bullpen.Summary
	for _, s := range said.Summaries {
		if s.Pitch == bullpen.ChangeUp {
			off = s
		}
	}
	check := said.Body[0]
	slowed := said.Reps[9]
	if off.MeanGap == nil || check.Verdict != tempo.SlowedBody || len(check.Slowed) != 1 || check.Slowed[0] != 10 || slowed.BodyVerdict != tempo.SlowedBody {
		t.Fatalf("rep 10 is not the one that slowed: %+v, %+v", check, slowed)
	}

	mph := func(v bullpen.Speed) string { return bullpen.Tenths(float64(v)) + " mph" }
	gap, base := mph(off.MeanGap.MPH)+" under", mph(off.Baseline.Speed)
	share := fmt.Sprintf("%d of %d in the band: %s of those thrown", off.InBand, off.Judged, bullpen.Percent(100*float64(off.InBand)/float64(off.Judged)))
	legs := bullpen.Percent(*slowed.BodySpeed)
	ten := sheet.Reps[9].Judged
	gapOf := func(j wire.Judged) string { return j.EdgeOf.Shown(float64(j.Gap.MPH)) }
	onTarget := func(s reading, words func(string) string) {
		for _, r := range sheet.Reps {
			if r.Judged.Gap != nil {
				s.says(fmt.Sprintf("rep %d, as the target's table has it,", r.Order), strconv.Itoa(r.Order)+gapOf(r.Judged)+words(r.Judged.Said))
			}
		}
	}
	onPage := func(s reading) {
		s.says("gap", gap)
		s.says("baseline", base)
		s.says("headline", sheet.Headline)
		s.says("verdict", string(off.Verdict))
		s.says("aim", "Aim for "+off.AimSaid)
		s.says("body", check.Sentence)
		s.says("verdict on the body", "slowed body "+check.On)
	}
	b := open(t, 1440, 900)
	read := func(name, path, there string) reading {
		b.do(chromedp.Navigate(p.url + path))
		b.until(there)
		return reading{t, name, plainText(eval[string](b, `document.querySelector("main").textContent + " " + document.querySelector("main").innerText`))}
	}
	page := read("the bullpen's page", "/bullpens/"+pen.ID, `document.querySelector(".headline")`)
	onPage(page)
	page.says("share", share)
	page.says("body of rep 10", "legs "+legs+": slowed")
	page.says("gap of rep 10", gapOf(ten)+" mph")
	onTarget(page, func(s string) string { return s })
	page.says("place of rep 10", "set 1, no. 10")
	var told wire.Told
	p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID+"/told", nil, &told)
	all := read("the list of all reps", "/reps", `document.querySelectorAll(".ledger-table tbody tr").length === 12`)
	for _, r := range sheet.Reps {
		if r.Judged.Gap != nil {
			all.says(fmt.Sprintf("rep %d's gap and body", r.Order), gapOf(r.Judged)+" mph "+r.Judged.Said+" "+r.Body.Short)
		}
	}
	room := read("the film room", "/bullpens/"+pen.ID+"/film", `document.querySelector(".ledger tbody tr:nth-child(10)") && document.querySelector(".body-bar .check-line")`)
	room.says("body", check.Sentence)
	room.says("body of rep 10", "legs "+legs+": slowed")
	room.says("gap of rep 10", gapOf(ten))
	room.says("place of rep 10", "set 1, no. 10")
	pair := read("side by side", "/side-by-side/"+sheet.Reps[9].ID, `document.querySelector(".two-times table")`)
	pair.says("gap of rep 10", gapOf(ten)+" mph under")

	inCSV(t, p, pen.ID, said.Reps)
	clip := captions(t, p, english, sheet, slowed, off, legs)
	var made wire.MadeShare
	p.must(t, http.MethodPost, "/api/bullpens/"+pen.ID+"/shares", wire.NewShare{ClipIDs: []string{clip}}, &made)
	her.answered(t)
	const numbers = `document.querySelector(".answer .numbers td")`
	for _, in := range []tongue{spanish, english} { // the last one is left on her page
		speaks := func(s reading, there string) reading {
			b.push(in.name)
			// The page speaks at once; what the server says of her comes after it.
			b.until(`document.querySelector("main")?.textContent.replace(/\s+/g, " ").includes(` + quoted(in.slowedOn(10)) + `)`)
			b.until(there + ` && document.querySelector("[lang=` + in.tag + `] h1, article[lang=` + in.tag + `] h1")`)
			s.name += " in " + in.name
			s.text = plainText(eval[string](b, `document.querySelector("main").textContent + " " + document.querySelector("main").innerText`))
			return s
		}
		var told wire.Told
		p.must(t, http.MethodGet, "/api/bullpens/"+pen.ID+"/told?language="+in.tag, nil, &told)
		headline := in.counts(off.InBand, off.Judged) + " " + in.slowedOn(10)
		if told.Headline != headline {
			t.Errorf("the headline in %s is %q, want %q", in.name, told.Headline, headline)
		}
		aim := in.range_(off.AimSaid)
		paper := speaks(read("the report", "/bullpens/"+pen.ID+"/report", `document.querySelector(".paper .target table")`), `document.querySelector(".paper .target table")`)
		paper.says("headline", headline)
		paper.says("next", told.Next)
		paper.says("aim", aim)
		paper.says("rep 10", "10"+gapOf(ten)+in.verdict(ten.Said)+in.legs+" "+legs)
		onTarget(paper, in.verdict)

		shared := speaks(read("the shared result", strings.TrimPrefix(made.Link, p.url), `document.querySelector(".share .target table")`), `document.querySelector(".share .target table")`)
		shared.says("headline", headline)
		shared.says("next", told.Next)
		shared.says("aim", aim)
		shared.says("body of rep 10", in.legs+" "+legs)
		onTarget(shared, in.verdict)

		slip := speaks(read("the student's page", "/s#"+her.token, numbers), numbers)
		slip.says("gap", mph(off.MeanGap.MPH)+" "+in.under)
		slip.says("verdict, and the body's under it", in.verdict(off.Said)+" "+in.slowedOn(10))
		slip.says("aim", aim)
		for i, row := range eval[[]string](b, `[...document.querySelectorAll(".answer .numbers tbody tr")].map((r) => [...r.cells].map((c) => c.textContent).join(" "))`) {
			r, of := said.Reps[i], reading{t, fmt.Sprintf("row %d of the student's page in %s", i+1, in.name), plainText(row)}
			of.says("reading", fmt.Sprint(*r.Reading))
			if r.BodySpeed != nil {
				of.says("body", in.legs+" "+bullpen.Percent(*r.BodySpeed))
			}
			if r.Gap != nil {
				of.says("gap", gapOf(sheet.Reps[i].Judged))
				of.says("verdict", in.verdict(sheet.Reps[i].Judged.Said))
			}
			if i == 9 {
				of.says("body", in.legs+" "+legs+": "+in.slowed)
			}
		}
	}
	// So many stand behind a touch, but for paper.
	const folded = `[...document.querySelectorAll(".answer details:has(.numbers), main > details:has(.slip-again)")].map((d) => d.open).join(" ")`
	for _, paper := range []struct{ event, want string }{{"beforeprint", "true true"}, {"afterprint", "false false"}, {"beforeprint", "true true"}} {
		eval[bool](b, `dispatchEvent(new Event("`+paper.event+`"))`)
		if got := eval[string](b, folded); got != paper.want {
			t.Errorf("after %s the folds of the student's page stand open: %s", paper.event, got)
		}
	}
	// The same clip for a pitcher who reads Spanish.
	p.must(t, http.MethodPatch, "/api/pitchers/"+sheet.Pitcher.ID, wire.PitcherEdit{Version: sheet.Pitcher.Version, Language: new("es")}, nil)
	captions(t, p, spanish, sheet, slowed, off, legs)
	atTheFieldToo(t, p, sheet.Pitcher.ID)
}

// tongue is how a pitcher and her parents read a fact in a language, written down apart from
// the catalogue of texts.
type tongue struct {
	name, tag           string
	verdict             func(string) string // of the instructor's words for it
	legs, slowed, under string
	rep, fastball       string // in a clip's captions
	body, mean          string
	range_              func(string) string // of a range of speeds, the middle one first
	counts              func(hits, all int) string
	slowedOn            func(order int) string
}

var english = tongue{
	name: "English", tag: "en",
	verdict: strings.NewReplacer("too firm", "too fast", "too soft", "too slow", "soft", "a bit slow").Replace,
	legs:    "legs", slowed: "slowed", under: "under",
	rep: "pitch %d (set 1, no. %[1]d)", fastball: "her fastball", body: "legs at %s of her fastball's speed: slowed", mean: "all change-ups: mean gap %s",
	range_:   func(s string) string { return s },
	counts:   func(hits, all int) string { return fmt.Sprintf("%d of %d about ten off.", hits, all) },
	slowedOn: func(order int) string { return fmt.Sprintf("Legs slowed: pitch %d.", order) },
}

var spanish = tongue{
	name: "Español", tag: "es",
	verdict: strings.NewReplacer("on the edge of the band", "al borde del rango", "on the edge of", "al borde de", "in the band", "en el rango",
		"too firm", "muy rápido", "too soft", "muy lento", "soft", "algo lento", "so far", "por ahora").Replace,
	legs: "piernas", slowed: "más lentas", under: "menos",
	rep: "lanzamiento %d (serie 1, n.º %[1]d)", fastball: "su recta", body: "piernas al %s de su recta: más lentas", mean: "cambios, en promedio: %s menos",
	range_:   strings.NewReplacer("(", "(de ", " to ", " a ").Replace,
	counts:   func(hits, all int) string { return fmt.Sprintf("%d de %d, unas diez menos.", hits, all) },
	slowedOn: func(order int) string { return fmt.Sprintf("Piernas lentas: lanzamiento %d.", order) },
}

// athlete hands a workout of fastballs and change-ups in turn out to a new pitcher.
func (p *program) athlete(t *testing.T) *student {
	t.Helper()
	var her wire.Pitcher
	p.must(t, http.MethodPost, "/api/pitchers", wire.NewPitcher{Label: "Wren"}, &her)
	p.must(t, http.MethodPost, "/api/pitchers/"+her.ID+"/consents", wire.NewConsent{Guardian: "her mother", Given: "2026-05-01", Covers: "homework", For: bullpen.Purposes}, nil)
	lines := []wire.WorkoutLine{{Pitch: bullpen.Fastball, Reps: 1}, {Pitch: bullpen.ChangeUp, Reps: 1}}
	var w wire.Workout
	p.must(t, http.MethodPost, "/api/workouts", wire.WorkoutText{Title: "In turn", Sets: []wire.WorkoutSet{{Times: 6, Lines: lines}}}, &w)
	s := &student{p: p}
	p.must(t, http.MethodPost, "/api/homework", wire.NewHomework{PitcherID: her.ID, WorkoutID: w.ID}, &s.homework)
	s.slip(t)
	return s
}

// answered sends her some words, with which her numbers are shown.
func (s *student) answered(t *testing.T) {
	t.Helper()
	at := "/api/homework/" + s.homework.ID
	var now wire.Homework
	s.p.must(t, http.MethodGet, at, nil, &now)
	s.p.must(t, http.MethodPut, at+"/reply", wire.ReplyEdit{Version: now.Version, Words: "Keep your legs."}, &now)
	s.p.must(t, http.MethodPost, at+"/send", wire.SendReply{Version: now.Version}, nil)
}

// filmOfOneSlowed draws six fastballs and six change-ups in turn, of which the tenth rep
// is the one whose body slows down, and has the program read it into the bullpen.
func filmOfOneSlowed(t *testing.T, p *program, penID string) (wire.Bullpen, wire.Film, demo.Truth) {
	t.Helper()
	reps := demo.Series(6, 6, demo.Same, 1)
	reps[9].Tempo, reps[9].Stretch = demo.Body, 1.45
	for i := range reps {
		reps[i].Number = i + 1
	}
	path := filepath.Join(t.TempDir(), "drawn.mp4")
	truth, err := demo.Write(t.Context(), demo.Options{
		Seed: 5, Width: 320, Height: 180, Pace: demo.FPS(60, 1), Rest: 4.6, Steady: true, Lead: 1.5, Tail: 1.2, Reps: reps, PlainStage: true,
	}, path)
	if err != nil {
		t.Fatal(err)
	}
	film := p.send(t, penID, path)
	pen := wire.Bullpen{ID: penID}
	side := bullpen.ViewSide
	p.must(t, http.MethodPatch, "/api/films/"+film.ID, wire.FilmEdit{Version: film.Version, View: &side}, nil)
	return pen, film, truth
}

func get(t *testing.T, p *program, path string, read func([]byte) error) {
	t.Helper()
	status, body, err := p.try(t.Context(), http.MethodGet, path, nil)
	if err == nil && status == http.StatusOK {
		err = read(body)
	}
	if err != nil || status != http.StatusOK {
		t.Fatalf("%s: %d, %v", path, status, err)
	}
}

// inCSV holds the CSV against the JSON, rep by rep.
func inCSV(t *testing.T, p *program, penID string, reps []ledger.Row) {
	t.Helper()
	var lines [][]string
	get(t, p, "/api/bullpens/"+penID+"/reps.csv", func(b []byte) (err error) {
		lines, err = csv.NewReader(strings.NewReader(strings.TrimPrefix(string(b), "\ufeff"))).ReadAll()
		return err
	})
	at := map[string]int{}
	for i, name := range lines[0] {
		at[name] = i
	}
	for i, r := range reps {
		cell := func(name string) string { return lines[i+1][at[name]] }
		number := func(name string, want *float64, decimals float64) {
			got, err := strconv.ParseFloat(cell(name), 64)
			if want == nil && cell(name) != "" || want != nil && (err != nil || math.Abs(got-*want) > 0.51*math.Pow(10, -decimals)) {
				t.Errorf("the CSV: %s of rep %d is %q", name, r.Order, cell(name))
			}
		}
		number("gapMph", (*float64)(r.Gap), 4)
		number("baselineMph", (*float64)(r.Baseline), 4)
		number("bodyPercent", r.BodySpeed, 1)
		if cell("verdict") != string(r.Verdict) || cell("bodyVerdict") != string(r.BodyVerdict) || cell("order") != strconv.Itoa(r.Order) {
			t.Errorf("the CSV: rep %d is %q", r.Order, lines[i+1])
		}
	}
}

// captions holds the captions of the slowed rep's clip in her language, and what is read off
// its pixels, against the same numbers, and returns the clip's ID.
func captions(t *testing.T, p *program, in tongue, sheet wire.Sheet, slowed ledger.Row, off bullpen.Summary, legs string) string {
	t.Helper()
	p.must(t, http.MethodPost, "/api/bullpens/"+sheet.Bullpen.ID+"/clips", wire.NewClips{RepIDs: []string{sheet.Reps[9].ID}, Options: wire.ClipOptions{Before: 0.8, After: 0.5, Body: true}}, nil)
	p.until(t, "/api/bullpens/"+sheet.Bullpen.ID, &sheet, func() bool { return len(sheet.Clips) == 1 && finished(t, sheet.Clips) })
	get(t, p, "/api/clips/"+sheet.Clips[0].ID+"/captions.vtt", func(b []byte) error {
		clip := reading{t, "the clip's captions in " + in.name, plainText(string(b))}
		clip.says("rep", fmt.Sprintf(in.rep, 10))
		clip.says("baseline where rep 10 stands", in.fastball+" "+bullpen.Tenths(float64(*slowed.Baseline))+" mph")
		clip.says("gap of rep 10", bullpen.Tenths(float64(*slowed.Gap))+" "+in.under)
		clip.says("verdict", in.verdict(sheet.Reps[9].Judged.Said))
		clip.says("body of rep 10", fmt.Sprintf(in.body, legs))
		clip.says("mean gap", fmt.Sprintf(in.mean, bullpen.Tenths(float64(off.MeanGap.MPH))))
		return nil
	})
	var home wire.Home
	p.must(t, http.MethodGet, "/api/home", nil, &home)
	if len(home.Bullpens) != 1 || home.Bullpens[0].Clips != len(sheet.Clips) {
		t.Errorf("the first page counts other clips than the shelf: %+v", home.Bullpens)
	}
	if in.tag != "en" {
		return sheet.Clips[0].ID // the reader of pixels knows English letters only
	}
	pixels := reading{t, "the clip's pixels", inPixels(t, p, sheet.Clips[0])}
	pixels.says("reading", fmt.Sprintf("Change-up %v mph", *slowed.Reading))
	pixels.says("gap of rep 10", sheet.Reps[9].Judged.EdgeOf.Shown(float64(*slowed.Gap))+" under")
	pixels.says("verdict", in.verdict(sheet.Reps[9].Judged.Said))
	pixels.says("body of rep 10", fmt.Sprintf(in.body, legs))
	return sheet.Clips[0].ID
}

// inPixels is what a reader of printed text reads off the bar under the clip's picture, just
// after release.
func inPixels(t *testing.T, p *program, c wire.Clip) string {
	t.Helper()
	film, page := filepath.Join(t.TempDir(), "clip.mp4"), filepath.Join(t.TempDir(), "page.png")
	get(t, p, "/api/clips/"+c.ID+"/file.mp4", func(b []byte) error { return os.WriteFile(film, b, 0o600) })
	// The film's picture is 16 by 9; the bar is what lies below, of which letters are made large.
	see := exec.CommandContext(t.Context(), "ffmpeg", "-v", "error", "-ss", fmt.Sprint(c.ReleaseSeconds+0.1), "-i", film, "-frames:v", "1",
		"-vf", "crop=iw:ih-iw*9/16:0:iw*9/16,format=gray,negate,scale=4*iw:-1:flags=lanczos,pad=iw+80:ih+80:40:40:white", page)
	if out, err := see.CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	out, err := exec.CommandContext(t.Context(), "tesseract", page, "-", "--psm", "6").Output()
	if err != nil {
		t.Fatal(err)
	}
	return plainText(string(out))
}
