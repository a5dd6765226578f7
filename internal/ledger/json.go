package ledger

import (
	"bytes"
	"encoding/json"
	"io"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Export is the JSON of one or more bullpens.
type Export struct {
	Bullpens []Pen `json:"bullpens"`
}

// Pen is one bullpen of an Export, with the settings its numbers hang on.
type Pen struct {
	Day       string            `json:"day"`
	Title     string            `json:"title"`
	Note      string            `json:"note"`
	Pitcher   Settings          `json:"pitcher"`
	Reps      []Row             `json:"reps"`
	Summaries []bullpen.Summary `json:"summaries"`
	Body      []tempo.Check     `json:"body"` // did the body slow down, per pitch and drill
}

// Settings are a pitcher's.
type Settings struct {
	Label         string                         `json:"label,omitempty"`
	Hand          string                         `json:"hand"`
	Level         string                         `json:"level"`
	DistanceFeet  float64                        `json:"distanceFeet"`
	ExtensionFeet float64                        `json:"extensionFeet"`
	BallKind      string                         `json:"ballKind"`
	BaselinePitch bullpen.Pitch                  `json:"baselinePitch"`
	Policy        bullpen.Policy                 `json:"policy"`
	TypedBaseline bullpen.Speed                  `json:"typedBaselineMph,omitempty"`
	TypedGun      bullpen.GunPlace               `json:"typedGun,omitempty"`
	TypedWithin   *bullpen.Speed                 `json:"typedWithinMph,omitempty"`
	GunTolerance  bullpen.Speed                  `json:"gunToleranceMph"`
	Bands         map[bullpen.Pitch]bullpen.Band `json:"bands"`                // her own
	LevelBands    map[bullpen.Pitch]bullpen.Band `json:"levelBands,omitempty"` // her level's, where she has none; others have their type's default
}

func penOf(s Session) Pen {
	p := s.Pitcher
	pen := Pen{
		Day: s.Pen.Day, Title: s.Pen.Title, Note: s.Pen.Note,
		Pitcher: Settings{
			Label: p.Label, Hand: p.Hand, Level: p.Level,
			DistanceFeet: p.DistanceFeet, ExtensionFeet: p.Extension(), BallKind: p.BallKind,
			BaselinePitch: p.BaselinePitch, Policy: p.Policy, TypedBaseline: p.TypedBaseline, TypedGun: p.TypedGun, TypedWithin: p.TypedWithin,
			GunTolerance: p.GunTolerance, Bands: p.Bands, LevelBands: p.LevelBands,
		},
		Reps: s.Rows(), Summaries: s.Sheet.Summaries,
		Body: append([]tempo.Check{}, s.Body.Checks...),
	}
	if pen.Pitcher.Bands == nil {
		pen.Pitcher.Bands = map[bullpen.Pitch]bullpen.Band{}
	}
	if pen.Summaries == nil {
		pen.Summaries = []bullpen.Summary{}
	}
	return pen
}

// WriteJSON writes an Export of the sessions: one bullpen, or all of a pitcher's.
// Numbers have all their digits.
func WriteJSON(w io.Writer, sessions ...Session) error {
	out, err := NewJSON(w)
	if err != nil {
		return err
	}
	for _, s := range sessions {
		if err := out.Write(s); err != nil {
			return err
		}
	}
	return out.Close()
}

// JSON writes what WriteJSON does, a bullpen at a time.
type JSON struct {
	out   io.Writer
	some  bool
	piece bytes.Buffer
}

// NewJSON writes the beginning.
func NewJSON(w io.Writer) (*JSON, error) {
	_, err := io.WriteString(w, "{\n  \"bullpens\": [")
	return &JSON{out: w}, err
}

// Write writes a bullpen.
func (j *JSON) Write(s Session) error {
	j.piece.Reset()
	if j.some {
		j.piece.WriteByte(',')
	}
	j.some = true
	j.piece.WriteString("\n    ")
	enc := json.NewEncoder(&j.piece)
	enc.SetEscapeHTML(false)
	enc.SetIndent("    ", "  ")
	if err := enc.Encode(penOf(s)); err != nil {
		return err
	}
	_, err := j.out.Write(bytes.TrimRight(j.piece.Bytes(), "\n"))
	return err
}

// Close writes the end; without it the text is no JSON.
func (j *JSON) Close() error {
	end := "]\n}\n"
	if j.some {
		end = "\n  " + end
	}
	_, err := io.WriteString(j.out, end)
	return err
}
