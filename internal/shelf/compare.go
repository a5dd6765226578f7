package shelf

import (
	"cmp"
	"context"
	"strings"

	"tenoff/internal/caption"
	"tenoff/internal/judged"
	"tenoff/internal/tempo"
	"tenoff/internal/texts"
	"tenoff/internal/trace"
)

// compare lays the instants of two reps beside each other, as far as the options ask
// for it.
func (sc *scene) compare(off, fast shot) {
	a, _ := off.of.Body.Rep(off.rep.ID)
	b, _ := fast.of.Body.Rep(fast.rep.ID)
	phases := tempo.Phases(a, b)
	if sc.Options.Stretch {
		times, ok := tempo.Stretch(phases)
		if !ok {
			sc.missing = "To give both the same tempo, both reps need drive, plant or top beside their release; mark them, or have them found."
			return
		}
		sc.Stretch = times
	}
	if sc.Options.Phases && len(phases) > 0 {
		played := cmp.Or(sc.Stretch, 1)
		l := caption.LanguageOf(off.of.Pitcher)
		lanes := []caption.ChartRow{laneOf(off, a.Moments, played), laneOf(fast, b.Moments, 1)}
		who := lanes[0].Name
		if sc.Stretch > 0 {
			who = l.Say("caption.asThrown", texts.V{"pitch": who})
		}
		sc.Chart = &caption.Chart{Language: l, Words: who + ": " + small(judged.PhaseWords(l, phases)), Rows: lanes}
	}
}

// small begins a sentence with a small letter.
func small(s string) string { return strings.ToLower(s[:min(1, len(s))]) + s[min(1, len(s)):] }

// laneOf puts a rep's instants on the clip's clock: the rep is played so many times
// as fast.
func laneOf(x shot, m tempo.Moments, times float64) caption.ChartRow {
	name := texts.Capital(caption.LanguageOf(x.of.Pitcher).Pitch(string(x.rep.Pitch)))
	at := func(e *tempo.Moment) *float64 {
		if e == nil || m.Release == nil {
			return nil
		}
		return new((e.Seconds - m.Release.Seconds) / times)
	}
	return caption.ChartRow{Name: name, Drive: at(m.Drive), Plant: at(m.Plant), Top: at(m.Top), Release: at(m.Release)}
}

// chart is the scene's chart with both reps' motion.
func (sc scene) chart(motion func(shot) caption.Trace) *caption.Chart {
	if sc.Chart == nil {
		return nil
	}
	c := *sc.Chart
	c.Rows = append([]caption.ChartRow(nil), c.Rows...)
	for i, x := range sc.shots {
		t := motion(x)
		if i == 0 && sc.Stretch > 0 {
			t.From, t.Step = t.From/sc.Stretch, t.Step/sc.Stretch
		}
		c.Rows[i].Motion = t
	}
	return &c
}

// motion returns how much moved on the film round a rep's release; nothing when it
// can't be read, which is no reason not to show the rest.
func (s *Shelf) motion(ctx context.Context) func(shot) caption.Trace {
	return func(x shot) caption.Trace { return s.moved(ctx, x) }
}

func (s *Shelf) moved(ctx context.Context, x shot) caption.Trace {
	m := new(trace.Motion)
	if err := s.files.Load(ctx, x.film.Made.Motion, m); err != nil {
		return caption.Trace{}
	}
	m.Slow = x.film.Clock.SlowFactor()
	return caption.Trace{
		From: tempo.RoundFrom, Step: tempo.RoundStep,
		Values: tempo.MotionAround(m, x.film.Clock.RealSeconds(0, x.rep.Release)),
	}
}
