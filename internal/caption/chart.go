package caption

import (
	"math"
	"time"

	"tenoff/internal/texts"
)

// Chart lays two deliveries' instants and motion over each other on one clock, under
// the captions of a pair: burned in only. All its seconds are real seconds of the
// clip's clock from the release.
type Chart struct {
	Language texts.Language `json:"language,omitempty"` // as in Facts
	// Words says the differences in one row, "" for none.
	Words string     `json:"words,omitempty"`
	Rows  []ChartRow `json:"lanes"` // the left picture's, then the right's
	// When the release is on show, when the clip ends, and the played rate.
	Release time.Duration `json:"-"`
	End     time.Duration `json:"-"`
	Speed   float64       `json:"-"`
}

// ChartRow is one delivery of a chart.
type ChartRow struct {
	Name    string   `json:"name"`
	Drive   *float64 `json:"drive,omitempty"`
	Plant   *float64 `json:"plant,omitempty"`
	Top     *float64 `json:"top,omitempty"`
	Release *float64 `json:"release,omitempty"`
	Motion  Trace    `json:"-"`
}

// Trace is how much moved, 0 to 1, at even steps.
type Trace struct {
	From, Step float64 // seconds from the release, and between values
	Values     []float32
}

// Heights of a chart's parts in rows of the bar, and of the small letters in ems.
const (
	laneRows  = 0.9
	keyRows   = 0.85
	traceRows = 1.3
	airRows   = 0.5 // above, between and below the parts
	small     = 0.8
	tiny      = 0.68 // of the key
)

// before and after are how far the clock of a chart reaches beyond the instants.
const (
	chartBefore = 0.12
	chartAfter  = 0.20
	emptyChart  = 0.60 // before release, when no instant is earlier
)

// With returns the bar with room for a chart below its rows; nil is none.
func (b Bar) With(c *Chart) Bar {
	if c == nil {
		return b
	}
	b.chart = c
	b.chartTop = b.Top + b.Height
	rows := keyRows + laneRows*float64(len(c.Rows)) + airRows
	if c.traced() {
		rows += traceRows
	}
	if c.Words != "" {
		rows++
	}
	b.Height += 2 * int(math.Ceil(rows*float64(b.line())/2))
	return b
}

func (c *Chart) traced() bool {
	for _, l := range c.Rows {
		if len(l.Motion.Values) > 1 {
			return true
		}
	}
	return false
}

// from is where the chart's clock begins.
func (c *Chart) from() float64 {
	first := -emptyChart
	for _, l := range c.Rows {
		for _, t := range []*float64{l.Drive, l.Plant, l.Top} {
			if t != nil {
				first = min(first, *t)
			}
		}
	}
	return first - chartBefore
}
