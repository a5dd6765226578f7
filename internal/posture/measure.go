package posture

import (
	"math"
	"slices"
)

// Kind is one thing that is measured of a delivery.
type Kind string

// What is measured. All of it is as one camera sees it. Forward is towards the plate;
// times are before release; lengths are in her own torso lengths, from the middle of the
// hips to that of the shoulders.
const (
	// LeanPlant and LeanRelease are how far the trunk leans forward from upright at
	// front-foot plant and at release, degrees: the line from the middle of the hips to
	// that of the shoulders.
	LeanPlant   Kind = "lean at plant"
	LeanRelease Kind = "lean at release"
	// Stride is how far the front ankle comes to rest ahead of where the back one rested
	// before the drive, torso lengths. Both feet stand still where it is read, so that it
	// hardly hangs on when plant was.
	Stride Kind = "stride"
	// HipSpeed is the greatest forward speed of the middle of the hips before plant, over a
	// tenth of a second, torso lengths a second. Over a shorter time it is more the finder's
	// unrest than hers (seen on rendered deliveries).
	HipSpeed Kind = "hip speed"
	// HipsOpen is how long before release the hips' width, as the camera sees it, grows past
	// 70 % of its greatest, milliseconds. From the side the hips look narrow while they face
	// the plate or away from it and wide while they are open. When they close, and how far
	// by release, is not measured: on a rendered delivery whose hips opened less, both
	// came out on the wrong side.
	HipsOpen Kind = "hips open"
	// ArmSlot is how far ahead of the middle of the hips the pitching wrist is at release,
	// torso lengths. It hangs on the release more than on her: the wrist goes 0.25 in the 8 ms
	// that an eye is off by, and so far each delivery was off on rendered ones (0.24 to 0.30,
	// seen on 18 of 30), so that six of each show a difference of 0.7 to 1 at least.
	ArmSlot Kind = "arm slot"
	// FrontKnee is the angle at the front knee at front-foot plant, degrees; 180 is
	// straight.
	FrontKnee Kind = "front knee"
)

// Kinds lists what is measured, as it is shown.
func Kinds() []Kind {
	return []Kind{LeanPlant, LeanRelease, HipsOpen, HipSpeed, Stride, ArmSlot, FrontKnee}
}

// Measure is one thing measured of one delivery.
type Measure struct {
	Value float64
	// U is its standard uncertainty, of how unsteady the joints were found and of when the
	// instants were (JCGM 100:2008, 5.1.2). What the finder always sees too far to one side
	// is not in it: that falls out where deliveries are compared.
	U float64
}

// Instants are the two instants that measures hang on, real seconds of the film, and
// their standard uncertainty; NaN for one that is not known.
type Instants struct{ Plant, Release, U float64 }

// Working values of Measures.
const (
	// Of the hips' greatest width: opened. A finder does not believe in hips as narrow as
	// closed ones are from the side: on a broad body it held them at 55 to 65 % for a tenth of
	// a second before they opened, and when they passed 60 % was off by 16 ms from rep to rep;
	// when they pass 70 %, by 9 (rendered deliveries, those
	// of b-side among them: that these say when the hips open is no check of it).
	open        = 0.7
	wristSure   = 0.5 // of the wrist round release; below, it is not seen
	jointSure   = 0.3 // of the others
	looksRound  = 2   // samples round an instant that have to be sure
	leadOfPlant = 0.6 // seconds before plant in which the hips' speed peaks
	leadOfOpen  = 0.9 // seconds before release in which the hips open
	overHips    = 0.1 // seconds that the hips' speed is taken over

	// The hips are closed, and turned so that it can be seen when they open, where they
	// look narrower than this share of their greatest width; from elsewhere than the side
	// they never do.
	narrow = 0.4
	// At fewer frames a second they are more blur than hips: on rendered films of 30, with a
	// shutter as long, hips that open 70 ms later came out 10 ms later.
	leastOfOpen = 45

	landedAfter = 0.03 // seconds after plant at which the front foot rests
	restsBefore = 0.85 // seconds before release from which the back foot rests, until
	restsUntil  = 0.5
	resting     = 0.3 // torso lengths that a resting foot seems to move at most

	// The front foot stands from so long before release until so long after it, seconds, and
	// lands so near to where it stands, torso lengths.
	standsBefore = 0.03
	standsAfter  = 0.08
	stands       = 0.3

	// How far, beside its unrest, the finder puts an ankle elsewhere from delivery to
	// delivery, torso lengths, and by how much the hips' unrest is more over overHips than
	// that of two places that have nothing to do with each other: seen on rendered deliveries.
	ankleOff = 0.015
	hipsOff  = 1.3
)

// Measures measures a delivery of a pitcher who throws with her right hand, or her left.
// What is not seen, or hangs on an instant that is not known, is left out.
func (b *Body) Measures(at Instants, right bool) map[Kind]Measure {
	wrist, frontHip := RightWrist, LeftHip
	if !right {
		wrist, frontHip = LeftWrist, RightHip
	}
	frontKnee, frontAnkle := frontHip+2, frontHip+4
	out := map[Kind]Measure{}
	trunk := []Joint{LeftShoulder, RightShoulder, LeftHip, RightHip}
	hips := trunk[2:]
	put := func(k Kind, when float64, s series, sure float64, joints ...Joint) {
		if b.sees(when, sure, joints...) {
			out[k] = b.measure(s, when, at.U)
		}
	}
	put(LeanPlant, at.Plant, lean, jointSure, trunk...)
	put(LeanRelease, at.Release, lean, jointSure, trunk...)
	b.stride(at, frontAnkle, out)
	put(ArmSlot, at.Release, func(g posed) float64 {
		return g(wrist).x - (g(LeftHip).x+g(RightHip).x)/2
	}, wristSure, wrist)
	put(FrontKnee, at.Plant, func(g posed) float64 {
		return angle(g(frontHip), g(frontKnee), g(frontAnkle))
	}, jointSure, frontHip, frontKnee, frontAnkle)
	if !math.IsNaN(at.Plant) && b.sees(at.Plant, jointSure, hips...) {
		b.hipSpeed(at, out)
	}
	if !math.IsNaN(at.Release) && b.sees(at.Release, jointSure, hips...) {
		b.hipsOpen(at, out)
	}
	return out
}

// place is where a joint is, in torso lengths.
type place struct{ x, y float64 }

// posed says where each joint is at one sample.
type posed func(Joint) place

// series is something measured at each sample.
type series func(posed) float64

func lean(g posed) float64 {
	l, r, h, k := g(LeftShoulder), g(RightShoulder), g(LeftHip), g(RightHip)
	return degrees(math.Atan2(l.x+r.x-h.x-k.x, l.y+r.y-h.y-k.y))
}

// width is how wide the hips look, with a sign that changes when they turn through the
// line of sight.
func width(g posed) float64 { return g(LeftHip).x - g(RightHip).x }

// angle is the angle at b between a and c, degrees.
func angle(a, b, c place) float64 {
	v := math.Abs(math.Atan2(a.y-b.y, a.x-b.x) - math.Atan2(c.y-b.y, c.x-b.x))
	return degrees(min(v, 2*math.Pi-v))
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }

// sees reports whether all joints are seen round a real second.
func (b *Body) sees(seconds, sure float64, joints ...Joint) bool {
	if math.IsNaN(seconds) || seconds < b.Begin || seconds > b.Begin+float64(b.Len()-1)/b.Rate {
		return false
	}
	i := b.index(seconds)
	for _, j := range joints {
		for k := max(i-looksRound, 0); k <= min(i+looksRound, b.Len()-1); k++ {
			if b.joints[j].sure[k] < sure {
				return false
			}
		}
	}
	return true
}

// all returns a series of the smoothed joints, and of the joints as they were found.
func (b *Body) all(s series) (smooth, raw []float64) {
	smooth, raw = make([]float64, b.Len()), make([]float64, b.Len())
	for i := range smooth {
		smooth[i] = s(func(j Joint) place { return place{b.joints[j].x[i], b.joints[j].y[i]} })
		raw[i] = s(func(j Joint) place { return place{b.joints[j].rawX[i], b.joints[j].rawY[i]} })
	}
	return smooth, raw
}

// unrest is how many samples on either side the joints' unrest is taken from.
const unrest = 8

// lasting is by how much the finder's unrest is more than what smoothing shows of it: it
// goes on from frame to frame. Seen on rendered deliveries that move alike.
const lasting = 2

// noise is the standard uncertainty of a smoothed series round sample i: what smoothing
// took off there, less what it averages out, times lasting. Of white noise the share
// 2 fc/fs passes a filter that cuts off at fc.
func (b *Body) noise(smooth, raw []float64, i int) float64 {
	sum, n := 0.0, 0
	for k := max(i-unrest, 0); k <= min(i+unrest, b.Len()-1); k++ {
		sum += (raw[k] - smooth[k]) * (raw[k] - smooth[k])
		n++
	}
	passes := min(2*cutoff(LeftHip)/b.Rate, mostCutoff*2)
	return lasting * math.Sqrt(sum/float64(n)*passes/(1-passes))
}

// measure reads a series at an instant that is known to within u seconds.
func (b *Body) measure(s series, seconds, u float64) Measure {
	smooth, raw := b.all(s)
	return b.measureOf(smooth, raw, seconds, u)
}

func (b *Body) measureOf(smooth, raw []float64, seconds, u float64) Measure {
	step := max(u, 1/b.Rate)
	here := b.between(smooth, seconds)
	slope := max(math.Abs(b.between(smooth, seconds+step)-here), math.Abs(here-b.between(smooth, seconds-step))) / step
	return Measure{Value: here, U: math.Hypot(slope*u, b.noise(smooth, raw, b.index(seconds)))}
}

// stride finds how far she strides.
func (b *Body) stride(at Instants, front Joint, out map[Kind]Measure) {
	back := front.Other()
	landed := at.Plant + landedAfter
	if math.IsNaN(at.Plant) || math.IsNaN(at.Release) || at.Release-restsBefore < b.Begin || !b.sees(landed, jointSure, front) {
		return
	}
	var rests []float64
	for i := b.index(at.Release - restsBefore); i <= b.index(at.Release-restsUntil); i++ {
		if b.joints[back].sure[i] < jointSure {
			return
		}
		rests = append(rests, b.joints[back].x[i])
	}
	slices.Sort(rests)
	if rests[len(rests)-1]-rests[0] > resting {
		return // she does not stand on it
	}
	smooth, raw := b.all(func(g posed) float64 { return g(front).x })
	_, rawBack := b.all(func(g posed) float64 { return g(back).x })
	from := b.noise(b.joints[back].x, rawBack, b.index(at.Release-(restsBefore+restsUntil)/2))
	m := b.measureOf(smooth, raw, landed, at.U)
	out[Stride] = Measure{Value: m.Value - rests[len(rests)/2], U: math.Hypot(math.Hypot(m.U, from), math.Sqrt2*ankleOff)}
}

// hipSpeed finds the greatest forward speed of the hips before plant.
func (b *Body) hipSpeed(at Instants, out map[Kind]Measure) {
	smooth, raw := b.all(func(g posed) float64 { return (g(LeftHip).x + g(RightHip).x) / 2 })
	first, last := b.index(at.Plant-leadOfPlant), b.index(at.Plant+2*at.U)
	best, where := math.Inf(-1), 0
	for i := max(first, 1); i <= min(last, b.Len()-2); i++ {
		seconds := b.Begin + float64(i)/b.Rate
		if v := (b.between(smooth, seconds+overHips/2) - b.between(smooth, seconds-overHips/2)) / overHips; v > best {
			best, where = v, i
		}
	}
	if where == 0 || first < 1 {
		return
	}
	u := b.noise(smooth, raw, where) * math.Sqrt2 * hipsOff / overHips
	out[HipSpeed] = Measure{Value: best, U: u}
}

// hipsOpen finds when the hips open.
func (b *Body) hipsOpen(at Instants, out map[Kind]Measure) {
	smooth, raw := b.all(width)
	first, release := b.index(at.Release-leadOfOpen), b.index(at.Release)
	if b.Rate < leastOfOpen || at.Release-leadOfOpen < b.Begin-1/b.Rate {
		return
	}
	// They may open towards the camera or away from it.
	wide := func(i int) float64 { return math.Abs(smooth[i]) }
	top := first
	for i := first; i <= release; i++ {
		if wide(i) > wide(top) {
			top = i
		}
	}
	most := wide(top)
	var before []float64
	for i := first; i <= b.index(at.Release-restsUntil); i++ {
		before = append(before, wide(i))
	}
	slices.Sort(before)
	if most == 0 || len(before) == 0 || before[len(before)/2] > narrow*most {
		return
	}
	u := b.noise(smooth, raw, top)
	for i := top; i > first; i-- {
		a, z := smooth[i]/smooth[top]-open, smooth[i-1]/smooth[top]-open
		if a >= 0 && z < 0 {
			slope := math.Abs(z-a) * b.Rate
			when := b.Begin + (float64(i)-a/(a-z))/b.Rate
			out[HipsOpen] = Measure{Value: 1000 * (at.Release - when), U: 1000 * math.Hypot(u/most*math.Sqrt(1+open*open)/slope, at.U)}
			return
		}
	}
}

// FootContact returns when the front foot comes down before release, real seconds of the
// film: after the front ankle's greatest speed, the first of two samples at which it is
// below 15 % of that, between samples on the line of the speeds. Where it is then it has to
// stay: a foot that only pauses in the air, or that is taken for the other one, ends up
// elsewhere about release. ok is false if it is not seen.
func (b *Body) FootContact(release float64, right bool) (contact float64, ok bool) {
	ankle := LeftAnkle
	if !right {
		ankle = RightAnkle
	}
	if !b.sees(release, jointSure, ankle) {
		return 0, false
	}
	const slow = 0.15
	p := b.joints[ankle]
	speed := make([]float64, b.Len())
	for i := 1; i+1 < b.Len(); i++ {
		speed[i] = math.Hypot(p.x[i+1]-p.x[i-1], p.y[i+1]-p.y[i-1]) / 2 * b.Rate
	}
	last := b.index(release)
	first := max(b.index(release-leadOfOpen), 1)
	top := first
	for i := first; i <= last; i++ {
		if speed[i] > speed[top] {
			top = i
		}
	}
	at := -1
	for i := top; i < min(last+1, b.Len()-2); i++ {
		if speed[i] < slow*speed[top] && speed[i+1] < slow*speed[top] {
			at = i
			break
		}
	}
	if at < 0 || at == top {
		return 0, false
	}
	a, z := speed[at-1], speed[at]
	when := float64(at) - 1 + (a-slow*speed[top])/(a-z)
	contact = b.Begin + when/b.Rate
	var x, y []float64
	for i := b.index(release - standsBefore); i <= b.index(release+standsAfter); i++ {
		x, y = append(x, p.x[i]), append(y, p.y[i])
	}
	slices.Sort(x)
	slices.Sort(y)
	here := b.at(ankle, contact)
	if math.Hypot(here.x-x[len(x)/2], here.y-y[len(y)/2]) > stands {
		return 0, false
	}
	return contact, true
}
