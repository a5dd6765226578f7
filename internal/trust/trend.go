package trust

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"tenoff/internal/bullpen"
	"tenoff/internal/tempo"
)

// Point is one pitch in one bullpen.
type Point struct {
	BullpenID string           `json:"-"`
	Day       string           `json:"-"`
	Gun       bullpen.GunPlace `json:"gun"`               // where most of its reps were read
	N         int              `json:"n"`                 // reps with a reading
	Mean      bullpen.Speed    `json:"mean"`              // of the readings from Gun, mph
	MeanGap   *bullpen.Speed   `json:"meanGap,omitempty"` // mph; missing without a baseline
	SDGap     *bullpen.Speed   `json:"sdGap,omitempty"`   // mph, from two gaps on
	Judged    int              `json:"judged"`            // reps with a verdict
	InBand    int              `json:"inBand"`
	Share     *bullpen.Share   `json:"share,omitempty"` // of those judged, in the band
	// Band is the band as gaps under that day's baseline, mph, whatever unit it was set in.
	Band  *bullpen.Range `json:"band,omitempty"`
	Limit *bullpen.Speed `json:"limit,omitempty"` // the gap from which it is too soft, mph; missing where Band is
	Body  *Body          `json:"-"`               // did the body slow down; nil where nothing tells of it
}

// Body is what one bullpen tells of the body on a pitch, of its check what is followed.
type Body struct {
	Verdict tempo.Verdict  `json:"verdict"`
	Legs    *tempo.Slowing `json:"legs,omitempty"`
	Own     *tempo.Spread  `json:"own,omitempty"` // of her own fastballs that day
}

// bodySpeed returns the legs' speed in per cent of her fastballs' that day.
func (p Point) bodySpeed() (percent float64, ok bool) {
	if p.Body == nil || p.Body.Legs == nil {
		return 0, false
	}
	return p.Body.Legs.Speed, true
}

// Trend is one pitch over all bullpens, earliest first. A slope that can't be told,
// from fewer than five bullpens read by one gun from one place, is missing.
type Trend struct {
	Pitch    bullpen.Pitch `json:"pitch"`
	Points   []Point       `json:"points"`
	Gap      *Slope        `json:"gap,omitempty"`      // mean gap, mph per week
	SD       *Slope        `json:"sd,omitempty"`       // spread of the gaps, mph per week
	Share    *Slope        `json:"share,omitempty"`    // share in the band, 1 = all, per week
	Baseline *Slope        `json:"baseline,omitempty"` // mean speed of the baseline pitch, mph per week
	// BaselineGun is the place that the slopes keep to, "" while nothing was read;
	// PlacesSaid says so in words where something was read from others, or by another gun.
	BaselineGun bullpen.GunPlace `json:"baselineGun,omitempty"`
	PlacesSaid  string           `json:"placesSaid,omitempty"`
	Body        *Slope           `json:"body,omitempty"` // body speed, per cent of her fastballs' that day, points per week
}

// gun is a gun and where it stood: what they make of a speed is not known, and another
// one that reads 7 % less makes a gap 7 % smaller, so that nothing is joined over two.
type gun struct {
	place bullpen.GunPlace
	name  string
}

// read is what the readings of one gun say over the days.
type read struct{ gap, sd, share, base series }

// bullpens is how many bullpens it has readings of.
func (r *read) bullpens() int { return max(len(r.gap.x), len(r.base.x)) }

// TrendOf follows the pitch through the bullpens, and base, the pitch that gaps are
// counted from, by the mean of its own readings: what it is counted as (a typed
// number, the hardest) may stand still while she grows faster. Slopes keep to the gun
// and place that most bullpens were read by, but the body's, which no gun sees.
func TrendOf(p, base bullpen.Pitch, weeks []Week) Trend {
	t := Trend{Pitch: p, Points: []Point{}}
	var body series
	guns := map[gun]*read{}
	by := func(place bullpen.GunPlace, w Week) *read {
		key := gun{place, w.GunName}
		if guns[key] == nil {
			guns[key] = &read{}
		}
		return guns[key]
	}
	for _, w := range byDay(weeks) {
		number, dated := dayNumber(w.Day)
		day := float64(number)
		if own, ok := w.of(base); ok && dated {
			for _, s := range own.Speeds {
				by(s.Gun, w).base.add(day, float64(s.Mean), s.Unsure)
			}
		}
		f, _ := w.of(p)
		if f.Point == nil {
			continue
		}
		point := *f.Point
		point.BullpenID, point.Day, point.Body = w.BullpenID, w.Day, f.Body
		t.Points = append(t.Points, point)
		if !dated {
			continue
		}
		if percent, ok := point.bodySpeed(); ok {
			body.add(day, percent, 0)
		}
		r := by(point.Gun, w)
		if point.MeanGap != nil {
			unsure := math.Inf(1)
			if f.Unsure != nil {
				unsure = *f.Unsure
			}
			r.gap.add(day, float64(*point.MeanGap), unsure)
		}
		if point.SDGap != nil { // Ahn and Fessler, 2003: sd/sqrt(2(n-1)), to first order
			r.sd.add(day, float64(*point.SDGap), float64(*point.SDGap)/math.Sqrt(2*float64(point.Judged)))
		}
		if point.Share != nil { // half of a 95 % interval of Wilson's is two deviations
			r.share.add(day, point.Share.Value, (point.Share.Hi-point.Share.Lo)/4)
		}
	}
	t.Body = body.slope()
	t.keepTo(guns)
	return t
}

// unsureMean is the standard uncertainty of a pitch's mean speed that day, mph.
func unsureMean(sum bullpen.Summary) float64 {
	if sum.SD == nil {
		return 0
	}
	return float64(*sum.SD) / math.Sqrt(float64(sum.N))
}

// keepTo takes the slopes from the gun and place that most bullpens were read by.
func (t *Trend) keepTo(guns map[gun]*read) {
	keys := slices.SortedFunc(maps.Keys(guns), func(a, b gun) int {
		place := func(g gun) int { return slices.Index(append(slices.Clone(bullpen.GunPlaces), ""), g.place) }
		return cmp.Or(cmp.Compare(guns[b].bullpens(), guns[a].bullpens()), cmp.Compare(place(a), place(b)), cmp.Compare(a.name, b.name))
	})
	if len(keys) == 0 {
		return
	}
	most := guns[keys[0]]
	t.BaselineGun = keys[0].place
	t.Gap, t.SD, t.Share, t.Baseline = most.gap.slope(), most.sd.slope(), most.share.slope(), most.base.slope()
	if len(keys) == 1 {
		return
	}
	said := "no change can be told yet"
	if t.Gap != nil || t.Baseline != nil {
		said = fmt.Sprintf("the change a week is of the %d bullpens read from %s", most.bullpens(), keys[0].place.From())
		if keys[0].name != "" {
			said += fmt.Sprintf(" by %q", keys[0].name)
		}
	}
	t.PlacesSaid = "Not all was read by one gun from one place: its speeds, gaps and shares are not joined with others, and " + said + "."
}

// read describes the pitch in the session that it was thrown in; there is no Point if it
// was not read there.
func (f *Full) read(s Session) {
	var point Point
	most, unsure := 0, 0.0
	for _, sum := range s.Sheet.Summaries {
		if sum.Pitch == f.Pitch && bullpen.DrillKey(sum.Drill) == "" && sum.N > most {
			point.Gun, point.Mean = sum.Gun, sum.Mean
			point.Band, point.Limit = band(sum)
			most, unsure = sum.N, 0
			if sum.StandardError != nil {
				unsure = float64(*sum.StandardError)
			}
		}
	}
	if most == 0 {
		return
	}
	if !math.IsInf(unsure, 0) && !math.IsNaN(unsure) {
		f.Unsure = &unsure
	}
	var gaps []float64
	for _, one := range f.Thrown {
		if one.Read {
			point.N++
		}
		if one.Gap != nil {
			gaps = append(gaps, float64(*one.Gap))
		}
		if one.Verdict != bullpen.Pending {
			point.Judged++
		}
		if one.Verdict == bullpen.InBand {
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
	f.Point = &point
}

// band returns the summary's band as gaps in mph and the gap from which it is too soft, nil
// if it has none.
func band(sum bullpen.Summary) (*bullpen.Range, *bullpen.Speed) {
	for _, b := range sum.Bands {
		if b.Unit == bullpen.InMPH {
			limit := bullpen.Speed(b.Limit)
			return &bullpen.Range{Lo: bullpen.Speed(b.Lo), Hi: bullpen.Speed(b.Hi)}, &limit
		}
	}
	return nil, nil
}
