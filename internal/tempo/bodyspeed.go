package tempo

import "math"

// BodySpeed is one rep's speed of legs or arm, in per cent of the pitcher's own
// fastballs in the same bullpen: 100 x fastball time / this rep's time.
type BodySpeed struct {
	Percent float64 `json:"percent"`
	U       float64 `json:"u"` // standard uncertainty, percentage points
	// Within is true while the rep lies inside the spread of her own fastballs (the
	// 95 % interval for one more fastball at that place of the bullpen).
	Within bool `json:"within"`
}

// fewestOwn is how many fastballs a rep is compared with at least.
const fewestOwn = 3

// mostLeftOut is up to how many fastballs each is held against the others without itself;
// among more it hardly moves their line.
const mostLeftOut = 100

// paceOf returns the pace of a rep that is none of the fastballs. It needs three of them;
// nil with fewer.
//
// The per cent is counted from the fastballs' line at the rep's place; its uncertainty is
// that of one more fastball there (evidence.Line.Next), which holds the body's scatter,
// the method's and the line's own.
func (o herFastballs) paceOf(l lapTime) *BodySpeed {
	if len(o.laps) < fewestOwn {
		return nil
	}
	return o.pace(l, o)
}

// paceAmong returns the pace of fastball i among the others, of which it needs three. Its
// per cent is counted from the line of all of them; whether it lies within their spread
// is asked of the others alone, so that it does not hide itself by widening it.
func (o herFastballs) paceAmong(i int) *BodySpeed {
	if len(o.laps) <= fewestOwn {
		return nil
	}
	others := o
	if len(o.laps) <= mostLeftOut {
		others = o.without(i)
	}
	return o.pace(o.laps[i], others)
}

func (o herFastballs) pace(l lapTime, others herFastballs) *BodySpeed {
	percent := 100 * math.Exp(o.at(l.place).Value-l.log)
	next := others.next(l.place, l.u)
	lo, hi := next.Interval(0.95)
	return &BodySpeed{Percent: percent, U: percent * next.U(), Within: lo <= l.log && l.log <= hi}
}

// Spread is between which body speeds one more of the pitcher's own fastballs would
// lie 95 times of 100, in per cent of their mean.
type Spread struct {
	Lo float64 `json:"lo"`
	Hi float64 `json:"hi"`
}

// spread returns that of the fastballs in the middle of the bullpen: about what Pace's
// Within is measured by. It needs three; nil with fewer.
func (o herFastballs) spread() *Spread {
	if len(o.laps) < fewestOwn {
		return nil
	}
	middle := o.line.Place(0)
	lo, hi := o.next(middle, math.Sqrt(o.known())).Minus(o.at(middle).Value).Interval(0.95)
	return &Spread{Lo: 100 * math.Exp(-hi), Hi: 100 * math.Exp(-lo)}
}
