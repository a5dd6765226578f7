package wire

import "tenoff/internal/bullpen"

// SlipPage is everything a slip opens: one homework, as the student sees it.
type SlipPage struct {
	Pitcher    string         `json:"pitcher" doc:"her label"`
	Due        string         `json:"due,omitempty" format:"date"`
	Expires    int64          `json:"expires" doc:"microseconds UTC"`
	Workout    HandedWorkout  `json:"workout"`
	Drills     []SlipDrill    `json:"drills" nullable:"false" doc:"the workout's, in the order they come"`
	Language   string         `json:"language" enum:"en,es" doc:"what is said here is in it: as the header Said-In asks, else the pitcher's own"`
	PitchTypes []PitchType    `json:"pitchTypes" nullable:"false" doc:"names for the codes"`
	Unit       bullpen.Unit   `json:"unit" doc:"what readings are typed in unless said"`
	Limits     SlipLimits     `json:"limits"`
	Films      []SlipFilm     `json:"films" nullable:"false" doc:"that have arrived"`
	Arriving   []Arriving     `json:"arriving" nullable:"false" doc:"begun and not ended: they can be resumed at /api/slip/uploads/{id}"`
	Note       string         `json:"note"`
	Gun        string         `json:"gun"`
	Readings   []PlaceReading `json:"readings" nullable:"false"`
	Answer     *SlipAnswer    `json:"answer,omitempty" doc:"missing until the instructor has sent one"`
}

// SlipDrill is a drill on the student's page.
type SlipDrill struct {
	Name    string `json:"name"`
	HowTo   string `json:"howTo"`
	Example string `json:"example,omitempty" doc:"address of an example film"`
}

// SlipLimits is how much a slip takes.
type SlipLimits struct {
	MaxBytes  int64 `json:"maxBytes"`
	MaxFiles  int   `json:"maxFiles"`
	UsedBytes int64 `json:"usedBytes" doc:"films on their way counted whole"`
	UsedFiles int   `json:"usedFiles"`
}

// SlipFilm is a film that has arrived.
type SlipFilm struct {
	ID      string            `json:"id"`
	Name    string            `json:"name"`
	Bytes   int64             `json:"bytes"`
	State   bullpen.FilmState `json:"state"`
	Refusal string            `json:"refusal,omitempty" doc:"one sentence: why it can't be used"`
	Sha256  string            `json:"sha256" doc:"of what arrived, hex"`
}

// SlipAnswer is what came back.
type SlipAnswer struct {
	SentAt   int64         `json:"sentAt" doc:"microseconds UTC"`
	Words    string        `json:"words"`
	Clips    []SlipClip    `json:"clips" nullable:"false"`
	Gone     string        `json:"gone,omitempty" doc:"says that clips which came with it are no longer there; missing while all are"`
	Drawings []SlipDrawing `json:"drawings" nullable:"false"`
	Reps     []SlipRep     `json:"reps" nullable:"false" doc:"her numbers, as thrown"`
	Aims     []SlipAim     `json:"aims" nullable:"false" doc:"what to aim at, per pitch and drill"`
	Moves    string        `json:"moves,omitempty" doc:"how she moves on the pitch that the headline is about, said to her; as it was when the answer was sent, missing where too few were seen by then"`
	Tell     string        `json:"tell,omitempty" doc:"what gives the pitch away before it is thrown, or that nothing was seen; likewise"`
	Next     *WorkoutText  `json:"next,omitempty" doc:"what to throw next"`
}

// SlipClip is a clip that goes with an answer.
type SlipClip struct {
	Title          string  `json:"title"`
	Kind           string  `json:"kind" enum:"single,pair"`
	File           string  `json:"file" doc:"address of the film; it opens for some hours, then read this page again"`
	Captions       string  `json:"captions" doc:"address of its captions (WebVTT)"`
	Language       string  `json:"language" enum:"en,es" doc:"of its captions"`
	FileName       string  `json:"fileName"`
	Bytes          int64   `json:"bytes"`
	Seconds        float64 `json:"seconds"`
	ReleaseSeconds float64 `json:"releaseSeconds"`
}

// SlipDrawing is a frame with what was drawn on it.
type SlipDrawing struct {
	Order   int     `json:"order" doc:"the rep, as thrown"`
	Picture string  `json:"picture" doc:"address of the frame as a JPEG"`
	Shapes  []Shape `json:"shapes" nullable:"false"`
}

// SlipRep is one rep's numbers.
type SlipRep struct {
	Order   int             `json:"order"`
	Set     int             `json:"set" doc:"0: not said"`
	Number  int             `json:"number" doc:"rep within the set; 0: not said"`
	Drill   string          `json:"drill"`
	Pitch   bullpen.Pitch   `json:"pitch"`
	Reading *Reading        `json:"reading,omitempty"`
	Gap     *Gap            `json:"gap,omitempty"`
	Verdict bullpen.Verdict `json:"verdict"`
	EdgeOf  bullpen.Verdict `json:"edgeOf,omitempty" doc:"on an edge: the verdict beyond it"`
	SoFar   bool            `json:"soFar,omitempty" doc:"it hangs on few reps of the baseline pitch"`
	Body    string          `json:"body,omitempty" doc:"how fast the body was, in words: legs 86 %: slowed"`
}

// SlipAim is what to aim at with one pitch.
type SlipAim struct {
	Pitch      bullpen.Pitch   `json:"pitch"`
	Drill      string          `json:"drill"`
	Reps       int             `json:"reps" doc:"with a reading"`
	MeanGap    *Gap            `json:"meanGap,omitempty"`
	Verdict    bullpen.Verdict `json:"verdict"`
	EdgeOf     bullpen.Verdict `json:"edgeOf,omitempty" doc:"on an edge: the verdict beyond it"`
	SoFar      bool            `json:"soFar,omitempty" doc:"it hangs on fewer than five reps"`
	Aim        *SpeedRange     `json:"aim,omitempty" doc:"readings that would lie in the band"`
	AimSaid    string          `json:"aimSaid,omitempty" doc:"the same in whole numbers of the unit, the middle one first: 43 (41 to 44); missing in answers that were sent before it was said so"`
	ComeBackOn *SpeedRange     `json:"comeBackOn,omitempty" doc:"soft or too soft: how much can come back on"`
	BackOnSaid string          `json:"comeBackOnSaid,omitempty" doc:"likewise: 5 (3 to 6)"`
	Body       string          `json:"body,omitempty" doc:"what the film says of her body on it, in words: legs slowed: pitches 6 and 9; missing where it decides nothing, and in answers that were sent before it was kept"`
	Moment     *Moment         `json:"moment,omitempty" doc:"what the mean gap did to a batter; missing in answers that were sent before it was kept"`
}

// SlipWords is a PUT body: what the student writes, whole.
type SlipWords struct {
	Note     string           `json:"note" maxLength:"2000"`
	Gun      bullpen.GunPlace `json:"gun,omitempty" doc:"where the gun stood"`
	Readings []PlaceReading   `json:"readings,omitempty" nullable:"false" maxItems:"300"`
}
