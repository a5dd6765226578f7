package shelf

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"

	"tenoff/internal/bullpen"
	"tenoff/internal/caption"
	"tenoff/internal/clip"
	"tenoff/internal/film"
	"tenoff/internal/judged"
	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// The editions rise when clips of the same facts come out looking otherwise.
const (
	edition     = 1
	pairEdition = 2
)

// scene is everything a clip shows: two clips of equal scenes are the same clip.
type scene struct {
	Edition int     `json:"edition"`
	Options Options `json:"options"`
	Sides   []side  `json:"sides"` // one, or the off-speed rep and the fast one
	// Of a pair, where they are asked for and known:
	Chart   *caption.Chart `json:"chart,omitempty"`
	Stretch float64        `json:"stretch,omitempty"`
	// Missing says in one sentence why what was asked for can't be shown.
	missing string
	shots   []shot
}

// side is what one rep brings to a scene.
type side struct {
	Film    string        `json:"film"` // SHA-256 of the original
	Slow    float64       `json:"slow"`
	Release int           `json:"release"`
	Facts   caption.Facts `json:"facts"`
	Curve   string        `json:"curve,omitempty"` // of HDR film: how it is made ordinary
	Drawn   []clip.Sketch `json:"drawn,omitempty"`
}

// curve names how HDR film is made ordinary: changed, its clips are made again.
const curve = "mobius"

// newScene is the scene of one shot, or of two.
func (s *Shelf) newScene(ctx context.Context, o Options, shots ...shot) (scene, error) {
	sc := sceneOf(o, shots...)
	if o.Lines {
		tracks := s.judged.Tracks(ctx)
		for i, x := range shots {
			track, err := tracks(x.film, x.rep.Release)
			if err != nil {
				return sc, err
			}
			sc.Sides[i].Drawn = x.lines(track)
		}
	}
	if !o.Drawings {
		return sc, nil
	}
	for i, x := range shots {
		drawings, err := s.store.Drawings(ctx, x.rep.ID)
		if err != nil {
			return sc, err
		}
		for _, d := range drawings {
			sc.Sides[i].Drawn = append(sc.Sides[i].Drawn, clip.Sketch{Frame: d.Frame, Shapes: d.Shapes})
		}
	}
	return sc, nil
}

func sceneOf(o Options, shots ...shot) scene {
	sc := scene{Edition: edition, Options: o.usual(), shots: shots}
	for _, x := range shots {
		s := side{
			Film: x.film.SHA256, Slow: x.film.Clock.Slow, Release: x.rep.Release,
			Facts: caption.FactsOf(x.of.Pitcher, x.of.Pen, x.rep, x.numbers, asked(o, x)),
		}
		if x.film.HDR {
			s.Curve = curve
		}
		sc.Sides = append(sc.Sides, s)
	}
	if len(shots) == 2 {
		sc.Edition = pairEdition
		sc.compare(shots[0], shots[1])
	}
	return sc
}

// asked is what the options ask the caption to say.
func asked(o Options, x shot) caption.Asked {
	a, l := caption.Asked{Label: o.Label}, caption.LanguageOf(x.of.Pitcher)
	if !o.Body {
		return a
	}
	if p, ok := x.of.Body.Rep(x.rep.ID); ok {
		a.Body = judged.PaceWords(l, p, x.of.Baseline())
	}
	if c, ok := x.of.Body.Check(tempo.SubjectOf(x.rep.Pitch, x.rep.Drill)); ok && c.Split != nil && !x.rep.WarmUp {
		a.Split = judged.SplitWords(l, c)
	}
	return a
}

// digest names the scene.
func (sc scene) digest() (string, error) {
	b, err := json.Marshal(sc)
	if err != nil {
		return "", &bullpen.Error{Code: bullpen.Invalid, Message: "This clip's numbers can't be shown; check the reading.", Err: err}
	}
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:16]), nil
}

// plan plans the clip; where says in which file, by its path, each film lies, and motion
// how much moved round a rep's release.
func (sc scene) plan(where func(store.Film) (string, film.Cut, error), motion func(shot) caption.Trace) (clip.Plan, error) {
	if sc.missing != "" {
		return clip.Plan{}, bullpen.Errorf(bullpen.Invalid, "%s", sc.missing)
	}
	var sides []clip.Side
	for i, x := range sc.shots {
		path, cut, err := where(x.film)
		if err != nil {
			return clip.Plan{}, err
		}
		sides = append(sides, clip.Side{
			Source: clip.Source{
				Path: path, Cut: cut, Clock: x.film.Clock,
				Width: x.film.Width, Height: x.film.Height, HDR: x.film.HDR,
			},
			Release: x.rep.Release, Facts: sc.Sides[i].Facts, Sketches: sc.Sides[i].Drawn,
		})
	}
	if len(sides) == 1 {
		return clip.PlanSingle(clip.Single{Side: sides[0], Window: sc.Options.Window, Repeat: sc.Options.Slow})
	}
	return clip.PlanPair(clip.Pair{
		Left: sides[0], Right: sides[1], Window: sc.Options.Window,
		Speed: sc.Options.Speed, Blend: sc.Options.Blend, Difference: sc.Options.Difference,
		Stretch: sc.Stretch, Chart: sc.chart(motion),
	})
}

// name is what a download of the scene is called: the day, the reps in order
// thrown, their pitch and reading. It is never the pitcher's name.
func (sc scene) name() string { return fileName(sc.Options, sc.shots) }

// kind is the store's word for it.
func (sc scene) kind() string {
	if len(sc.shots) == 2 {
		return pairKind
	}
	return singleKind
}

const (
	singleKind = "single"
	pairKind   = "pair"
)

// row returns the scene as a clip to be stored.
func (sc scene) row() store.Clip {
	c := store.Clip{
		BullpenID: sc.shots[0].rep.BullpenID, Kind: sc.kind(), RepID: sc.shots[0].rep.ID,
		Options: sc.Options.json(), FileName: sc.name(),
	}
	if len(sc.shots) == 2 {
		c.OtherID = sc.shots[1].rep.ID
	}
	return c
}
