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
		if trend := trust.TrendOf(t.Code, cmp.Or(s.Pitcher.BaselinePitch, bullpen.Fastball), s.Sessions); len(trend.Points) > 0 {
			out = append(out, trend)
		}
	}
	trust.Together(out)
	return out
}

// Load adds up what was thrown, by day.
func (s Season) Load() []trust.Day {
	thrown := make([]trust.Thrown, len(s.Sessions))
	for i, x := range s.Sessions {
		thrown[i] = trust.Thrown{Day: x.Bullpen.Day, Reps: len(x.Reps)}
		for _, r := range x.Reps {
			if r.WarmUp {
				thrown[i].WarmUp++
			}
		}
	}
	return trust.LoadOf(thrown, s.Pitcher.Level)
}

// Trust answers whether a pitch can be trusted in a game, by the instructor's rule.
func (s Season) Trust(rule trust.Rule) trust.Answer { return trust.Evaluate(rule, s.Sessions) }

// Baseline returns the baseline of the full pitch in the latest of her last few bullpens
// that has one; ok is false if none has.
func (s Season) Baseline() (speed bullpen.Speed, ok bool) {
	const few = 10
	for _, x := range s.Sessions[:min(few, len(s.Sessions))] {
		for _, sum := range x.Sheet.Summaries {
			if bullpen.DrillKey(sum.Drill) == "" && sum.Baseline != nil {
				return sum.Baseline.Speed, true
			}
		}
	}
	return 0, false
}
