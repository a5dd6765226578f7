package trust

import (
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Point is one pitch in one bullpen.
type Point struct {
	BullpenID string            `json:"bullpenId"`
	Day       string            `json:"day"`
	Gun       bullpen.GunPlace  `json:"gun"`               // where most of its reps were read
	N         int               `json:"n"`                 // reps with a reading
	Mean      bullpen.Speed     `json:"mean"`              // of the readings from Gun, mph
	MeanGap   *bullpen.Speed    `json:"meanGap,omitempty"` // mph; missing without a baseline
	SDGap     *bullpen.Speed    `json:"sdGap,omitempty"`   // mph, from two gaps on
	Judged    int               `json:"judged"`            // reps with a verdict
	InBand    int               `json:"inBand"`
	Share     *bullpen.Share    `json:"share,omitempty"`    // of those judged, in the band
	Baseline  *bullpen.Baseline `json:"baseline,omitempty"` // what gaps were counted from that day, from Gun
	// Band is the band as gaps under Baseline, mph, whatever unit it was set in.
	Band *bullpen.Range `json:"band,omitempty"`
	Body *tempo.Check   `json:"body,omitempty"` // did the body slow down; missing where nothing tells of it
}

// bodySpeed returns the legs' speed in per cent of her fastballs' that day.
func (p Point) bodySpeed() (percent float64, ok bool) {
	if p.Body == nil || p.Body.Legs == nil {
		return 0, false
	}
	return p.Body.Legs.Speed, true
}

// Slope is how fast something changes over the weeks, with its 95 % interval.
type Slope struct {
	PerWeek float64 `json:"perWeek"`
	Lo      float64 `json:"lo"`
	Hi      float64 `json:"hi"`
	N       int     `json:"n"` // bullpens it rests on
}

// Trend is one pitch over all bullpens, earliest first. A slope that can't be told,
// from fewer than three bullpens on different days, is missing.
type Trend struct {
	Pitch    bullpen.Pitch `json:"pitch"`
	Points   []Point       `json:"points"`
	Gap      *Slope        `json:"gap,omitempty"`      // mean gap, mph per week
	SD       *Slope        `json:"sd,omitempty"`       // spread of the gaps, mph per week
	Share    *Slope        `json:"share,omitempty"`    // share in the band, 1 = all, per week
	Baseline *Slope        `json:"baseline,omitempty"` // mean speed of the baseline pitch, mph per week
	// BaselineGun is the place that Baseline keeps to, "" while the baseline pitch was
	// not read; PlacesSaid says so in words where it was read from others too.
	BaselineGun bullpen.GunPlace `json:"baselineGun,omitempty"`
	PlacesSaid  string           `json:"placesSaid,omitempty"`
	Body        *Slope           `json:"body,omitempty"` // body speed, per cent of her fastballs' that day, points per week
}

// TrendOf follows the pitch through the sessions, and base, the pitch that gaps are
// counted from, by the mean of its own readings: what it is counted as (a typed
// number, the hardest) may stand still while she grows faster. Gaps compare readings
// of one place only, so bullpens read from different places stand side by side;
// speeds do not, so base's slope keeps to the place most bullpens were read from.
func TrendOf(p, base bullpen.Pitch, sessions []Session) Trend {
	t := Trend{Pitch: p, Points: []Point{}}
	var gap, sd, share, body series
	speeds := map[bullpen.GunPlace]*series{}
	for _, s := range byDay(sessions) {
		s.speeds(base, speeds)
		point, ok := s.point(p)
		if !ok {
			continue
		}
		t.Points = append(t.Points, point)
		number, ok := dayNumber(point.Day)
		if !ok {
			continue
		}
		day := float64(number)
		if point.MeanGap != nil {
			gap.add(day, float64(*point.MeanGap))
		}
		if point.SDGap != nil {
			sd.add(day, float64(*point.SDGap))
		}
		if point.Share != nil {
			share.add(day, point.Share.Value)
		}
		if percent, ok := point.bodySpeed(); ok {
			body.add(day, percent)
		}
	}
	t.Gap, t.SD, t.Share, t.Body = gap.slope(), sd.slope(), share.slope(), body.slope()
	t.keepTo(speeds)
	return t
}

// keepTo takes the baseline pitch's slope from the place most bullpens were read from.
func (t *Trend) keepTo(speeds map[bullpen.GunPlace]*series) {
	var most *series
	for _, place := range append(slices.Clone(bullpen.GunPlaces), "") {
		if s := speeds[place]; s != nil && (most == nil || len(s.x) > len(most.x)) {
			most, t.BaselineGun = s, place
		}
	}
	if most == nil {
		return
	}
	t.Baseline = most.slope()
	if len(speeds) > 1 {
		said := "no change can be told yet"
		if t.Baseline != nil {
			said = fmt.Sprintf("the change a week is of the %d bullpens read from %s", len(most.x), t.BaselineGun.From())
		}
		t.PlacesSaid = "The gun did not always stand in the same place: speeds from different places are not joined, and " + said + "."
	}
}

// speeds adds the pitch's mean speed, of the full pitch, to its place's series.
func (s Session) speeds(p bullpen.Pitch, by map[bullpen.GunPlace]*series) {
	day, ok := dayNumber(s.Bullpen.Day)
	for _, sum := range s.Sheet.Summaries {
		if !ok || sum.Pitch != p || bullpen.DrillKey(sum.Drill) != "" {
			continue
		}
		if by[sum.Gun] == nil {
			by[sum.Gun] = &series{}
		}
		by[sum.Gun].add(float64(day), float64(sum.Mean))
	}
}

// point describes the pitch in the session; ok is false if it was not read there.
func (s Session) point(p bullpen.Pitch) (Point, bool) {
	point := Point{BullpenID: s.Bullpen.ID, Day: s.Bullpen.Day}
	most := 0
	for _, sum := range s.Sheet.Summaries {
		if sum.Pitch == p && bullpen.DrillKey(sum.Drill) == "" && sum.N > most {
			point.Gun, point.Mean, point.Baseline, point.Band = sum.Gun, sum.Mean, sum.Baseline, band(sum)
			most = sum.N
		}
	}
	if most == 0 {
		return point, false
	}
	if c, ok := s.check(p); ok {
		point.Body = &c
	}
	var gaps []float64
	for _, j := range s.full(p) {
		if j.numbers.Speed != nil {
			point.N++
		}
		if j.numbers.Gap != nil {
			gaps = append(gaps, float64(j.numbers.Gap.MPH))
		}
		if j.numbers.Verdict != bullpen.Pending {
			point.Judged++
		}
		if j.numbers.Verdict == bullpen.InBand {
			point.InBand++
		}
	}
	if len(gaps) > 0 {
		all := bullpen.SampleOf(gaps)
		mean, sd := bullpen.Speed(all.Mean), bullpen.Speed(all.SD)
		point.MeanGap = &mean
		if all.N > 1 {
			point.SDGap = &sd
		}
	}
	if point.Judged > 0 {
		share := bullpen.Wilson(point.InBand, point.Judged, 0.95)
		point.Share = &share
	}
	return point, true
}

// band returns the summary's band as gaps in mph, nil if it has none.
func band(sum bullpen.Summary) *bullpen.Range {
	for _, b := range sum.Bands {
		if b.Unit == bullpen.InMPH {
			return &bullpen.Range{Lo: bullpen.Speed(b.Lo), Hi: bullpen.Speed(b.Hi)}
		}
	}
	return nil
}

// series is something over days.
type series struct{ x, y []float64 }

func (s *series) add(day, y float64) {
	s.x, s.y = append(s.x, day), append(s.y, y)
}

// slope fits a straight line by least squares and gives the slope's interval by
// Student's t with n-2 degrees of freedom (NIST/SEMATECH e-Handbook, 4.4.3.1 and
// 4.5.1.2; Draper and Smith, Applied Regression Analysis, chapter 1). Every bullpen
// counts the same. nil if there are fewer than three, or all on one day.
func (s *series) slope() *Slope {
	n := len(s.x)
	if n < 3 {
		return nil
	}
	mean := stat.Mean(s.x, nil)
	days := make([]float64, n) // about their mean, so that no digit is lost
	var spread float64
	for i, x := range s.x {
		days[i] = x - mean
		spread += days[i] * days[i]
	}
	if spread == 0 {
		return nil
	}
	at, perDay := stat.LinearRegression(days, s.y, nil, false)
	var left float64
	for i, x := range days {
		r := s.y[i] - at - perDay*x
		left += r * r
	}
	half := bullpen.TQuantile(0.975, float64(n-2)) * math.Sqrt(left/float64(n-2)/spread)
	return &Slope{PerWeek: 7 * perDay, Lo: 7 * (perDay - half), Hi: 7 * (perDay + half), N: n}
}
