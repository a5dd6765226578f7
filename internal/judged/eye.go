package judged

import (
	"context"
	"encoding/json"

	"tenoff/internal/store"
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

// SaveEye stores the instructor's own spread; the zero Eye forgets it.
func SaveEye(ctx context.Context, s *store.Store, e Eye) error {
	text, err := json.Marshal(e)
	if err != nil {
		return err
	}
	return s.SaveSetting(ctx, eyeSetting, string(text))
}
