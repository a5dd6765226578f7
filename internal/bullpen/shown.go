package bullpen

import (
	"encoding/json"
	"fmt"
	"slices"
)

// ShownForm is the form in which Shown is kept now. Form 1 is that of answers from
// before forms had numbers, and says none; form 2 differs by saying so.
const ShownForm = 2

// Shown is what an answer shows beside its words and clips: the numbers and drawings
// as they were when it was sent, so that what the student reads is what the instructor
// saw. It is kept for as long as the homework is: a field is never renamed nor given
// another meaning without another form, which UnmarshalJSON then reads as well.
type Shown struct {
	Form     int                  `json:"form"`
	Titles   map[string]string    `json:"titles"`          // by clip, in English
	Clips    map[string]ShownClip `json:"clips,omitempty"` // the reps of each, by clip; missing in answers from before they were kept
	Drawings []ShownDrawing       `json:"drawings"`
	Orders   map[string]int       `json:"orders"` // of the reps drawn on, by rep
	Reps     []ShownRep           `json:"reps"`
	Aims     []ShownAim           `json:"aims"`
	Told     []ShownTold          `json:"told,omitempty"` // by language; missing in answers from before it was kept
}

// ShownTold is what she is told of how she moves on the pitch that the bullpen's headline
// is about, and of what gives it away, each in one sentence of a language or "".
type ShownTold struct {
	Language string `json:"language"`
	Moves    string `json:"moves,omitempty"`
	Tell     string `json:"tell,omitempty"`
}

// UnmarshalJSON implements json.Unmarshaler. It reads every form there was, and refuses
// one that it doesn't know.
func (s *Shown) UnmarshalJSON(text []byte) error {
	type plain Shown
	p := plain{Form: 1}
	if err := json.Unmarshal(text, &p); err != nil {
		return err
	}
	if p.Form < 1 || p.Form > ShownForm {
		return fmt.Errorf("an answer was kept in form %d; this program knows 1 to %d", p.Form, ShownForm)
	}
	p.Form = ShownForm
	*s = Shown(p)
	return nil
}

// ShownClip names the reps of a clip as they were numbered then; OtherOrder is 0 where it
// shows one.
type ShownClip struct {
	Order      int   `json:"order"`
	Pitch      Pitch `json:"pitch"`
	OtherOrder int   `json:"otherOrder,omitempty"`
	OtherPitch Pitch `json:"otherPitch,omitempty"`
}

// ShownDrawing is what was drawn on one frame.
type ShownDrawing struct {
	RepID   string       `json:"repId"`
	Frame   int          `json:"frame"`
	Version int64        `json:"version"` // of the drawing
	Shapes  []ShownShape `json:"shapes"`
}

// ShownShape is one stroke; points are shares of the picture's width and height.
type ShownShape struct {
	Kind    ShapeKind   `json:"kind"`
	Points  [][]float64 `json:"points"`
	Colour  int         `json:"colour"`
	Text    string      `json:"text,omitempty"`
	Degrees *float64    `json:"degrees,omitempty"` // of an angle
}

// ShownRep is one rep's numbers.
type ShownRep struct {
	Order   int           `json:"order"`
	Set     int           `json:"set"`
	Number  int           `json:"number"`
	Drill   string        `json:"drill"`
	Pitch   Pitch         `json:"pitch"`
	Reading *ShownReading `json:"reading,omitempty"`
	Gap     *ShownGap     `json:"gap,omitempty"`
	Verdict Verdict       `json:"verdict"`
	EdgeOf  Verdict       `json:"edgeOf,omitempty"` // missing in answers from before it was kept, as SoFar and Body are
	SoFar   bool          `json:"soFar,omitempty"`
	Body    *ShownBody    `json:"body,omitempty"`
}

// ShownBody is how fast the body was on a rep, per cent of her own fastballs.
type ShownBody struct {
	Legs   float64  `json:"legs"`
	Arm    *float64 `json:"arm,omitempty"`    // only where it is what slowed down
	Slowed bool     `json:"slowed,omitempty"` // legs, or the arm where that is given
}

// ShownReading is a reading as the gun showed it, in its unit.
type ShownReading struct {
	Value float64  `json:"value"`
	Unit  Unit     `json:"unit"`
	Step  float64  `json:"step"`
	Gun   GunPlace `json:"gun"`
}

// ShownGap is a gap in every unit; Percent is the reading's of the baseline, Millis
// how much later the ball is at the plate, nil without a pitching distance.
type ShownGap struct {
	MPH     float64  `json:"mph"`
	KMH     float64  `json:"kmh"`
	Percent float64  `json:"percent"`
	Millis  *float64 `json:"millis,omitempty"`
}

// ShownAim is what to aim at with one pitch in one drill.
type ShownAim struct {
	Pitch      Pitch       `json:"pitch"`
	Drill      string      `json:"drill"`
	Reps       int         `json:"reps"`
	MeanGap    *ShownGap   `json:"meanGap,omitempty"`
	Verdict    Verdict     `json:"verdict"`
	EdgeOf     Verdict     `json:"edgeOf,omitempty"` // likewise
	SoFar      bool        `json:"soFar,omitempty"`
	Aim        *ShownRange `json:"aim,omitempty"`
	AimSaid    string      `json:"aimSaid,omitempty"`
	ComeBackOn *ShownRange `json:"comeBackOn,omitempty"`
	BackOnSaid string      `json:"comeBackOnSaid,omitempty"`
	// Body is what was said of her body on the pitch, by language, and Decided what that says;
	// nil where a film decided nothing, and in answers from before each was kept.
	Body    map[string]string `json:"body,omitempty"`
	Decided *ShownDecided     `json:"decided,omitempty"`
	// Moment is what the mean gap did to a batter; nil in answers from before it was kept.
	Moment *ShownMoment `json:"moment,omitempty"`
}

// ShownDecided is what a film decided of her body on a pitch, as far as it is said: on which
// reps by their orders, of legs and of the arm alone, where not on all. Verdict, as a
// tempo.Verdict spells it, is on all of them, or on those that are not named; "" where it
// speaks of none but these.
type ShownDecided struct {
	Verdict string `json:"verdict,omitempty"`
	Legs    []int  `json:"legs,omitempty"`
	Arm     []int  `json:"arm,omitempty"`
}

// ShownMoment is a Moment as it was said: lengths and speeds in both units, the balls'
// places as shares of their way.
type ShownMoment struct {
	Baseline    Pitch          `json:"baseline"`
	Way         ShownLength    `json:"way"`
	Fast        ShownSpeed     `json:"fast"`
	Slow        ShownSpeed     `json:"slow"`
	Decide      ShownInstant   `json:"decide"`
	Swing       ShownInstant   `json:"swing"`
	EarlyMillis float64        `json:"earlyMillis"`
	Times       float64        `json:"times"`
	Track       []ShownInstant `json:"track"`
}

// ShownInstant is where two balls are, 0 in the hand and 1 at the plate.
type ShownInstant struct {
	Seconds float64     `json:"seconds"`
	Fast    float64     `json:"fast"`
	Slow    float64     `json:"slow"`
	Behind  ShownLength `json:"behind"`
}

// ShownLength is a length in both units.
type ShownLength struct {
	Feet   float64 `json:"feet"`
	Metres float64 `json:"metres"`
}

// ShownRange is a range of speeds.
type ShownRange struct {
	Lo ShownSpeed `json:"lo"`
	Hi ShownSpeed `json:"hi"`
}

// ShownSpeed is a speed in both units.
type ShownSpeed struct {
	MPH float64 `json:"mph"`
	KMH float64 `json:"kmh"`
}

// TellsLike says whether the answer tells her what now would, in the words and roundings
// that she reads: a verdict told as firm that is one "so far" now is another, whichever
// program told it. The body, of a rep or of a pitch, is not compared where the answer has
// nothing of it: it may not have been known, or kept, when it was sent. Nor are the sentences
// that are kept to be read, so that one may be worded otherwise. A moment is drawn, and not
// compared.
func (s Shown) TellsLike(now Shown) bool {
	return slices.EqualFunc(s.Reps, now.Reps, ShownRep.tellsLike) && slices.EqualFunc(s.Aims, now.Aims, ShownAim.tellsLike)
}

func (r ShownRep) tellsLike(now ShownRep) bool {
	return r.Order == now.Order && r.Set == now.Set && r.Number == now.Number && r.Drill == now.Drill && r.Pitch == now.Pitch &&
		same(r.Reading, now.Reading) && r.Gap.said() == now.Gap.said() &&
		r.Verdict.Said(r.EdgeOf, r.SoFar) == now.Verdict.Said(now.EdgeOf, now.SoFar) &&
		(r.Body == nil || now.Body != nil && r.Body.said() == now.Body.said())
}

func (a ShownAim) tellsLike(now ShownAim) bool {
	return a.Pitch == now.Pitch && a.Drill == now.Drill && a.Reps == now.Reps && a.MeanGap.said() == now.MeanGap.said() &&
		a.Verdict.Said(a.EdgeOf, a.SoFar) == now.Verdict.Said(now.EdgeOf, now.SoFar) &&
		a.Aim.said() == now.Aim.said() && a.ComeBackOn.said() == now.ComeBackOn.said() &&
		(a.Decided == nil || now.Decided != nil && a.Decided.tellsLike(*now.Decided))
}

func (d ShownDecided) tellsLike(now ShownDecided) bool {
	return d.Verdict == now.Verdict && slices.Equal(d.Legs, now.Legs) && slices.Equal(d.Arm, now.Arm)
}

func same[T comparable](a, b *T) bool { return a == b || a != nil && b != nil && *a == *b }

// said is the gap in both units as it is rounded where it is read; "" for none.
func (g *ShownGap) said() string {
	if g == nil {
		return ""
	}
	return Tenths(g.MPH) + ", " + Tenths(g.KMH)
}

// said is the body's speed likewise.
func (b *ShownBody) said() string {
	words := Percent(b.Legs)
	if b.Arm != nil {
		words += ", " + Percent(*b.Arm)
	}
	return fmt.Sprint(words, b.Slowed)
}

// said is the range likewise.
func (r *ShownRange) said() string {
	if r == nil {
		return ""
	}
	speeds := Range{Speed(r.Lo.MPH), Speed(r.Hi.MPH)}
	return speeds.MiddleFirst(MPH) + ", " + speeds.MiddleFirst(KMH)
}
