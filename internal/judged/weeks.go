package judged

import (
	"cmp"

	"tenoff/internal/bullpen"
	"tenoff/internal/trust"
)

// Trends follows every pitch that was read over her bullpens.
func (s Season) Trends() []trust.Trend {
	var out []trust.Trend
	for _, t := range bullpen.PitchTypes {
		if trend := trust.TrendOf(t.Code, cmp.Or(s.Pitcher.BaselinePitch, bullpen.Fastball), s.Weeks); len(trend.Points) > 0 {
			out = append(out, trend)
		}
	}
	trust.Together(out)
	return out
}

// Load adds up what was thrown, by day.
func (s Season) Load() []trust.Day {
	thrown := make([]trust.Thrown, len(s.Weeks))
	for i, w := range s.Weeks {
		thrown[i] = trust.Thrown{Day: w.Day, Reps: w.Reps, WarmUp: w.WarmUp}
	}
	return trust.LoadOf(thrown, s.Pitcher.Level)
}

// Trust answers whether a pitch can be trusted in a game, by the instructor's rule.
func (s Season) Trust(rule trust.Rule) trust.Answer { return trust.Evaluate(rule, s.Weeks) }

// Baseline returns the baseline of the full pitch in the latest of her last few bullpens
// that has one; ok is false if none has.
func (s Season) Baseline() (speed bullpen.Speed, ok bool) {
	const few = 10
	for _, w := range s.Weeks[:min(few, len(s.Weeks))] {
		if w.Baseline != nil {
			return *w.Baseline, true
		}
	}
	return 0, false
}
