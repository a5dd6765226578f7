package bullpen

// A batter who means to hit the fast ball has to make up her mind this long before it is
// at the plate. The swing takes 0.208 s, the mean of 1,099 swings in games of six college
// teams of the first division (Reilly-Boccia, Ficklin and Lund, Swing kinematics described
// in Division I female softball players, The Sport Journal); what she has decided takes
// 0.1 s to become a swing (Adair, The Physics of Baseball, as the press reported his talk
// of February 2000). A younger batter's swing is hardly quicker, so this is no less.
const (
	swingSeconds  = 0.208
	orderSeconds  = 0.1
	decideSeconds = swingSeconds + orderSeconds
)

// inTimeMillis is how far off a swing may be and still meet the ball well, either way:
// about 10 ms (Tresilian, The accuracy of interceptive action in time and space, Exercise
// and Sport Sciences Reviews 32(4), 2004).
const inTimeMillis = 10

// trackSeconds is the time between two places of a Moment's track: between them a ball is
// within a hundredth of a foot of the straight line. A ball that takes longer than
// longestSeconds is no pitch.
const (
	trackSeconds   = 0.05
	longestSeconds = 3
)

// Moment is why a gap works: a fast and a slow ball let go at the same instant, at the
// moment when a batter must decide and when her swing for the fast one is there.
type Moment struct {
	Baseline Pitch `json:"baseline"` // what the fast ball was thrown as; "" where nobody said

	Metres float64 `json:"metres"` // from release to the plate
	Fast   Speed   `json:"fast"`   // released at
	Slow   Speed   `json:"slow"`   // of the ball that comes as late as hers do on average
	// Decide is the last moment at which she can make up her mind to hit the fast ball;
	// Swing, when that swing is at the plate, and so is the fast ball.
	Decide Instant `json:"decide"`
	Swing  Instant `json:"swing"`
	// Early is by how many milliseconds that swing comes too early for the slow ball, > 0.
	// A batter who saw beforehand that it is the slow one waits just so long.
	Early float64 `json:"early"`
	Times float64 `json:"times"` // Early over how far off a swing may be
	// Track is where the balls are from release until both are at the plate.
	Track []Instant `json:"track"`
}

// Instant is where two balls are that were let go together: metres to the plate, 0 once
// they are there.
type Instant struct {
	Seconds float64 `json:"seconds"` // since release
	Fast    float64 `json:"fast"`
	Slow    float64 `json:"slow"`
}

// Behind is how many metres the slow ball is behind the fast one.
func (i Instant) Behind() float64 { return i.Slow - i.Fast }

// Moment returns what a batter has to do with a ball that comes the given milliseconds
// after one released at fast. ok is false where that is no later, or where the fast ball
// takes less time than she needs.
func (w Way) Moment(fast Speed, later float64) (m Moment, ok bool) {
	there := w.Seconds(fast)
	end := there + later/1000
	if !(w.Metres > 0) || !(later > 0) || !(there > decideSeconds) || !(end < longestSeconds) {
		return m, false
	}
	m = Moment{Metres: w.Metres, Fast: fast, Slow: w.Release(end), Early: later, Times: later / inTimeMillis}
	m.Decide, m.Swing = w.instant(m, there-decideSeconds), w.instant(m, there)
	for i := 0; float64(i)*trackSeconds < end; i++ {
		m.Track = append(m.Track, w.instant(m, float64(i)*trackSeconds))
	}
	m.Track = append(m.Track, Instant{Seconds: end})
	return m, true
}

func (w Way) instant(m Moment, seconds float64) Instant {
	left := func(v Speed) float64 {
		metres := w.Metres - w.MetresAfter(v, seconds)
		if metres < 1e-9 { // what is left of rounding
			return 0
		}
		return metres
	}
	return Instant{Seconds: seconds, Fast: left(m.Fast), Slow: left(m.Slow)}
}

// moment is that of a set with a mean gap.
func (j *judge) moment(sum Summary) *Moment {
	if sum.MeanGap == nil || sum.MeanGap.Millis == nil || sum.From == nil {
		return nil
	}
	m, ok := j.way.Moment(*sum.From, *sum.MeanGap.Millis)
	if !ok {
		return nil
	}
	m.Baseline = j.bases.pitch
	return &m
}
