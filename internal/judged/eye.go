package judged

import (
	"context"
	"encoding/json"

	"tenoff/internal/store"
	"tenoff/internal/tempo"
)

// eyeSetting is the academy's setting that holds an Eye.
const eyeSetting = "eye"

// Eye is the instructor's own spread when marking, from the mark-again exercise.
type Eye struct {
	Seconds float64 `json:"seconds"` // of one mark; 0: never measured
	Marks   int     `json:"marks"`   // marks that it rests on
	Day     string  `json:"day"`     // when it was measured
}

// EyeOf returns the instructor's own spread.
func EyeOf(ctx context.Context, s *store.Store) (e Eye, err error) {
	text, err := s.Setting(ctx, eyeSetting)
	if err != nil || text == "" {
		return e, err
	}
	return e, json.Unmarshal([]byte(text), &e)
}

// Spread is what a mark is reckoned with, seconds: e's own, or the assumption where it was
// never measured.
func (e Eye) Spread() float64 {
	if e.Seconds > 0 {
		return e.Seconds
	}
	return tempo.EyeSpread
}

// eyeOn returns by which eye a bullpen is judged: the instructor's own, unless it came from
// another one, whose marks in it are no surer for it. Then the wider of both counts.
func eyeOn(ctx context.Context, s *store.Store, bullpenID string) (Eye, error) {
	e, err := EyeOf(ctx, s)
	if err != nil {
		return e, err
	}
	before, err := s.MovedEye(ctx, bullpenID)
	switch {
	case err != nil || before <= e.Spread():
		return e, err
	case before == tempo.EyeSpread:
		return Eye{}, nil // it was never measured
	}
	return Eye{Seconds: before}, nil
}

// SaveEye stores the instructor's own spread; the zero Eye forgets it.
func SaveEye(ctx context.Context, s *store.Store, e Eye) error {
	text, err := json.Marshal(e)
	if err != nil {
		return err
	}
	return s.SaveSetting(ctx, eyeSetting, string(text))
}
