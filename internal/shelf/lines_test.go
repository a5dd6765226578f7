package shelf

import (
	"bytes"
	"context"
	"encoding/csv"
	"math"
	"slices"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/clip"
	"tenoff/internal/judged"
	"tenoff/internal/posture"
	"tenoff/internal/posture/posturetest"
	"tenoff/internal/propose"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
)

// lined is a rep of a film of 100 frames a second, thrown at 1.28 s, with plant known.
func lined(language texts.Language) shot {
	x := shot{rep: bullpen.Rep{ID: "a", Release: 128}}
	x.film.Width, x.film.Height, x.film.Clock = 1280, 720, bullpen.Clock{Num: 1, Den: 100}
	for i := range 180 {
		x.film.Clock.Ticks = append(x.film.Clock.Ticks, int64(i))
	}
	x.of.Pitcher.Language = string(language)
	x.of.Body.Reps = []tempo.RepBody{{RepID: "a", Moments: tempo.Moments{Plant: &tempo.Moment{Seconds: 1.2}, Release: &tempo.Moment{Seconds: 1.28}}}}
	return x
}

// Her lines follow her joints frame by frame, with the numbers of the last instant that
// was, in her language.
func TestLinesOfADelivery(t *testing.T) {
	for l, want := range map[texts.Language][2]string{texts.English: {"plant 20°", "release 20°"}, texts.Spanish: {"apoyo 20°", "salida 20°"}} {
		x := lined(l)
		track := posturetest.Swing{Release: 1.28, Lean: 20}.Track(x.film.Clock, 0, 179)
		track = slices.Delete(track, 110, 111) // repeats the one before it
		lines := x.lines(track)
		if len(lines) < 80 || lines[0].Frame > 128-60 || lines[len(lines)-1].Frame < 128+19 {
			t.Fatalf("%d frames from %d on have lines", len(lines), lines[0].Frame)
		}
		for i, k := range lines {
			if i > 0 && k.Frame != lines[i-1].Frame+1 || !k.Moving {
				t.Errorf("after frame %d comes %d", lines[i-1].Frame, k.Frame)
			}
			texts := []string{}
			for _, s := range k.Shapes[2:] {
				texts = append(texts, s.Text)
			}
			switch {
			case k.Frame < 120 && len(texts) > 0, k.Frame >= 120 && k.Frame < 128 && (len(texts) != 2 || texts[0] != want[0]), k.Frame >= 128 && (len(texts) != 2 || texts[0] != want[1]):
				t.Errorf("frame %d says %q", k.Frame, texts)
			}
		}
		at := slices.IndexFunc(track, func(p posture.Pose) bool { return p.Frame == 128 })
		hip := track[at].Points[posture.LeftHip]
		got := lines[slices.IndexFunc(lines, func(k clip.Sketch) bool { return k.Frame == 128 })].Shapes[1].Points[0]
		if math.Abs(got[0]-hip.X*720/1280) > 0.003 || math.Abs(got[1]-hip.Y) > 0.003 {
			t.Errorf("her hips' line begins at %v, her hip is at %+v", got, hip)
		}
	}
	back := lined(texts.English)
	leant := back.lines(posturetest.Swing{Release: 1.28, Lean: -4}.Track(back.film.Clock, 0, 179))
	if got := leant[len(leant)-1].Shapes[2].Text; got != "release −4°" {
		t.Errorf("a trunk that leans back is said as %q", got)
	}
	if got := lined(texts.English).lines(nil); got != nil {
		t.Errorf("without joints: %v", got)
	}
}

// A clip with lines is made again when what shows them changes, and not otherwise; and the
// table beside the clips says how she moved.
func TestClipsWithLines(t *testing.T) {
	h := newHouse(t)
	ctx := context.Background()
	r := h.reps[3]
	f, err := h.store.Film(ctx, r.FilmID)
	if err != nil {
		t.Fatal(err)
	}
	s := propose.New(h.store, h.Shelf.files, nil, nil)
	s.Witness(propose.NewJoints(h.store, nil, 1, nil))
	h.Shelf.judged = judged.New(h.store, s)
	plain := h.digest(Options{}, r)
	if h.digest(Options{Lines: true}, r) == plain {
		t.Error("a clip with lines is the clip without")
	}
	before := h.digest(Options{Lines: true}, r)
	show := func(lean float64) {
		t.Helper()
		track := posturetest.Swing{Release: f.Clock.RealSeconds(0, r.Release), Lean: lean}.Track(f.Clock, 5, f.Clock.Frames()-1)
		if err := h.store.KeepJoints(ctx, store.Joints{FilmID: f.ID, First: 5, Last: f.Clock.Frames() - 1, Version: 1, Poses: track.Pack()}, f.Box); err != nil {
			t.Fatal(err)
		}
	}
	show(10)
	seen := h.digest(Options{Lines: true}, r)
	show(20)
	if again := h.digest(Options{Lines: true}, r); seen == before || again == seen || h.digest(Options{}, r) != plain {
		t.Errorf("joints that change leave a clip with lines as it is, or change one without: %v, %v, %v", before, seen, again)
	}
	rows, err := csv.NewReader(bytes.NewReader(h.zipped()["reps.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	lean := slices.Index(rows[0], "leanReleaseDeg")
	if got := rows[4][lean]; got != "20" {
		t.Errorf("the lean at release is %q in the table", got)
	}
}

func (h *house) digest(o Options, r bullpen.Rep) string {
	h.t.Helper()
	b, err := h.judged.Of(context.Background(), h.pen.ID)
	if err != nil {
		h.t.Fatal(err)
	}
	x, err := shotOf(b, r.ID)
	if err != nil {
		h.t.Fatal(err)
	}
	sc, err := h.newScene(context.Background(), o, x)
	if err != nil {
		h.t.Fatal(err)
	}
	d, err := sc.digest()
	if err != nil {
		h.t.Fatal(err)
	}
	return d
}
