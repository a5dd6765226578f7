package trace

import (
	"cmp"
	"math"

	"tenoff/internal/bullpen"
)

// Throw is one rep as film speed takes it in.
type Throw struct {
	Sound     *Sound           // of the film it is on; nil for none
	Slow      float64          // of that film
	Release   float64          // file seconds
	ReleaseSD float64          // standard uncertainty of Release, real seconds
	Reading   *bullpen.Reading // what the gun showed; nil for none
	Pitch     bullpen.Pitch
}

// Setting is where the ball flew and was heard.
type Setting struct {
	// Way is the pitcher's, from release to the plate (bullpen.Pitcher.Way).
	Way bullpen.Way
	// Glove is how far behind the plate's rear point the ball is caught, metres:
	// 0.6 is usual (assumed).
	Glove float64
	// Phone is how far the phone stood from the glove, metres; 0 is not known.
	Phone float64
	// Late is by how many real seconds the sound is known to lag the picture (negative:
	// leads); 0: as in phones' own files.
	Late float64
	// WayU is the standard uncertainty of the way from release to glove, metres; 0:
	// that of a way whose ends somebody has looked at.
	WayU float64
}

// LevelWayU is Setting.WayU where the pitcher's extension is only her level's, metres: girls
// of one level let go 3 to 7 ft in front of the rubber (an assumption). Half of that, 0.61 m,
// is taken to be on the safe side, with 0.30 m for the rest of the way.
const LevelWayU = 0.68

// What is assumed where nothing was measured. All are assumptions.
const (
	soundSpeed  = 343.0  // m/s, dry air of 20 degrees Celsius
	usualPhone  = 8.0    // metres from glove to phone where it is not known ...
	phoneU      = 1.0    // standard uncertainty of a known distance, metres
	usualPhoneU = 4.0    // and of an unknown one
	offsetU     = 0.020  // half-width of the file's offset of sound to picture, seconds, rectangular
	wayU        = 0.30   // of the distance from release to glove, metres
	gloveU      = 0.15   // of where the glove is from rep to rep, metres
	dragU       = 0.10   // of the drag, as a share
	popU        = 0.002  // of a pop's instant, seconds
	markU       = 0.0096 // of the mark that a film's releases are found from, seconds: a frame of 30 fps / sqrt(12)
	leastOwn    = 5      // readings with a pop that a calibration takes
	inStep      = 0.075  // seconds that a sound may lag or lead: 40 ms of the file, and a phone 12 m further away
	handU       = 0.06   // of where the hand lets go from rep to rep, metres
	gunU        = 0.25   // of a reading, mph, but for the step that is shown
	doubtAt     = 2.5    // residuals of that many standard deviations are doubted ...
	doubtBlind  = 3.5    // and without calibration, where all reps may be wrong alike
	leastSlip   = 4.0    // mph: gun and film that are nearer to each other are never doubted
)

// FilmSpeed is how fast the film says a rep's ball was.
type FilmSpeed struct {
	Pop    float64       // the instant of the pop it rests on, file seconds; NaN for none
	Flight float64       // real seconds from release to glove; NaN for none
	Speed  bullpen.Speed // at release; 0 for none
	U      bullpen.Speed // its standard uncertainty: twice that holds 95 of 100
	Doubt  Doubt         // why the reading is doubted; NoDoubt if it is not
	// Meant is what the reading may have been meant to be, where the doubt says so
	// (digits swapped, another unit); nil otherwise.
	Meant *bullpen.Reading
}

// FilmSpeeds is what film and gun say together.
type FilmSpeeds struct {
	Throws []FilmSpeed // one for each throw
	// Calibrated is true if the sound's delay was taken from the readings
	// themselves; else it is computed from where the phone stood.
	Calibrated bool
	Delay      float64 // seconds from the catch to its sound on the film
	DelayU     float64 // its standard uncertainty
	// Slowed is how many times longer all flights last on the film than the gun
	// can mean, where that is no small error: 4 or 8 is slow motion that nobody
	// declared. 1 if nothing is amiss, 0 if it can't be told.
	Slowed float64
	// Distance is another way that all flights fit far better than the one that is
	// set; nil if nothing is amiss, or it can't be told.
	Distance *DistanceDoubt
	// OutOfStep is how many seconds the sound lags the picture beyond Setting.Late
	// (negative: leads), where that is more than phones' files and the phone's place
	// explain; the speeds allow for it. 0 if nothing is amiss, or it can't be told.
	OutOfStep float64
}

// FilmSpeedsOf computes the film speeds of throws that were filmed from one place by
// one phone, and doubts the readings that film and gun can't both be right about.
//
// The pop is heard at release + flight + delay. With five readings or more the
// delay is the one at which most pops and readings agree; a slightly wrong distance or
// an offset of the sound in the file goes into it. A distance so wrong that no sound
// is so late, or that shows in how the delay changes with the speed, is doubted. The
// speed is the flight's by the drag model (bullpen.Way), its uncertainty by the law of
// propagation (JCGM 100:2008, equation 10).
func FilmSpeedsOf(throws []Throw, set Setting) FilmSpeeds {
	c := newClocking(throws, set)
	out := FilmSpeeds{Throws: make([]FilmSpeed, len(throws)), Slowed: c.slowed()}
	if out.Slowed != 0 && out.Slowed != 1 {
		if out.Slowed < 1 { // no phone plays faster than life
			out.Distance = c.doubtDistance()
		}
		for i := range out.Throws {
			out.Throws[i] = FilmSpeed{Pop: math.NaN(), Flight: math.NaN()}
		}
		return out
	}
	out.Distance = c.doubtDistance()
	out.Calibrated = c.calibrate()
	out.Delay, out.DelayU = c.delay+set.Late, c.delayU
	c.choose()
	if out.Calibrated && c.settle() {
		out.Delay, out.DelayU = c.delay+set.Late, c.delayU
		c.choose()
	}
	for i := range throws {
		out.Throws[i] = c.speed(i)
	}
	c.doubts(out.Throws)
	if late := c.delay - c.phone/soundSpeed; out.Calibrated && out.Distance == nil && math.Abs(late) > inStep {
		out.OutOfStep = late
	}
	return out
}

// onsetAfter is one onset that may be a throw's pop.
type onsetAfter struct {
	index   int     // in the sound's Onsets
	seconds float64 // real, after the release, less what the sound is known to lag
	loud    float64 // natural logarithm of its amplitude times how far it stands out
}

// speedFit is the state of one Clock.
type speedFit struct {
	throws []Throw
	way    bullpen.Way // from release to glove
	glove  float64     // of that, behind the plate's point
	phone  float64
	phoneU float64
	wayU   float64
	wants  []float64      // flight that each reading means, seconds; 0 for none
	lags   [][]onsetAfter // of each throw
	delay  float64
	delayU float64
	excess float64   // how many times more than expected the pops scatter about the readings
	chosen []int     // of each throw: index in its lags, -1 for none
	part   []float64 // of each throw: its share in the delay, 0 for none
	own    bool      // the delay was taken from the readings
}

func newClocking(throws []Throw, set Setting) *speedFit {
	c := &speedFit{
		throws: throws,
		way:    bullpen.Way{Metres: set.Way.Metres + set.Glove, Drag: set.Way.Drag},
		glove:  set.Glove,
		phone:  set.Phone, phoneU: phoneU, wayU: cmp.Or(set.WayU, wayU),
		wants: make([]float64, len(throws)), lags: make([][]onsetAfter, len(throws)),
		chosen: make([]int, len(throws)), part: make([]float64, len(throws)),
		excess: 1,
	}
	if c.phone <= 0 {
		c.phone, c.phoneU = usualPhone, usualPhoneU
	}
	c.delay = c.phone / soundSpeed
	c.delayU = math.Sqrt(sq(c.phoneU/soundSpeed) + sq(offsetU)/3)
	for i, t := range throws {
		c.chosen[i] = -1
		if t.Reading != nil {
			if s := c.way.Seconds(t.Reading.Speed()); !math.IsInf(s, 0) {
				c.wants[i] = s
			}
		}
		c.lags[i] = lagsOf(t, slowest, set.Late)
	}
	return c
}

// slowest is how many times a film may be slowed without anybody having said so.
const slowest = 16

// lagsOf lists the onsets that may be t's pop if the film were up to slow times
// slower than declared and its sound lags by late seconds.
func lagsOf(t Throw, slow, late float64) []onsetAfter {
	if t.Sound == nil || !(t.Slow > 0) {
		return nil
	}
	var out []onsetAfter
	first, last := t.Sound.between(t.Release+(popEarliest/2+late)*t.Slow, t.Release+(popLatest*slow+late)*t.Slow)
	for k := first; k < last; k++ {
		o := t.Sound.Onsets[k]
		out = append(out, onsetAfter{k, (o.Time-t.Release)/t.Slow - late, float64(o.Peak) + math.Log(max(float64(o.Z), 1))})
	}
	return out
}

func sq(v float64) float64 { return v * v }
