package demo

import "tenoff/internal/bullpen"

// Options says what is thrown and how it is filmed. The zero value of every
// field means "as usual"; Plan fills it in and refuses what cannot be drawn.
type Options struct {
	Seed uint64 // same options and seed: same bullpen, to the pixel

	Width, Height int         // shown size (after rotation) in pixels, even; default 640x360
	Pace          FrameTiming // when frames are captured; default FPS(60, 1)
	Slow          int         // the file plays this many times slower than captured; default 1
	SlowTag       bool        // with Slow: note the capture rate in the file, as Android phones do
	Rotation      int         // 0, 90, 180 or 270: frames are stored so that the display matrix must turn them clockwise by this
	FrameNumber   bool        // burn the frame's number into the top left corner, see ReadNumber
	Doubled       int         // of every so many frames one is dropped and another shown twice; 0 never, else at least 4
	Shutter       float64     // exposure in seconds; default 1/240, dim light 1/60
	Noise         float64     // camera noise, standard deviation of a pixel in 8-bit levels; default 3, negative none
	Flicker       float64     // brightness swing of 120 Hz light, as a share (0.04); default none
	Tags          bool        // made-up place, phone and time of recording in the file's metadata

	View     bullpen.View // side (default), diagonal or behind
	Left     bool         // a left-hander, filmed from her own open side
	Portrait bool         // shorthand for a picture higher than wide when Width and Height are 0

	Handheld float64 // shake of a hand: about this many pixels (of a 640-pixel width) standard deviation; 0 is a tripod, 4 a hand
	Pan      float64 // slow pan over the whole film, pixels of a 640-pixel width

	Reps []RepSpec // what is thrown, in order; default Bullpen's
	// Lead and Tail are seconds of film before the first release and after the
	// last; Rest is seconds from one release to the next. Defaults 2.5, 2 and 7
	// (Rest at least 4.5, varied by up to 0.8 unless Steady).
	Lead, Tail, Rest float64
	Steady           bool // releases exactly Rest apart

	Jitter     float64 // how unlike each other reps are: 1 as usual (default), 2.5 wild, negative none
	PlainStage bool    // no catcher and no scenery beyond field and fence

	Mimics      int     // full deliveries without a ball, strewn among the reps
	PassersBy   int     // people who walk through the picture
	Neighbour   bool    // a second pitcher, further off, in the picture and in the sound
	Sway        float64 // trees in the wind, pixels of a 640-pixel width
	RestlessArm bool    // she swings and wipes her arm between reps

	Sound Sound
}

// RepSpec is one pitch to throw.
type RepSpec struct {
	Pitch   bullpen.Pitch // default fastball
	Speed   bullpen.Speed // at release; default 54 for a fastball, 44 for the others
	Tempo   Tempo         // what became slower; default Same
	Stretch float64       // by how much: 1.15 is 15 % slower; default 1
	Stiff   bool          // braked, short finish
	// Posture is how much of an off-speed posture she takes: 1 is a stride 8 % shorter,
	// 6 degrees more lean, 20 % less opening; negative the other way; default none.
	Posture float64
	Drill   string // "" the full pitch
	Set     int    // 0: not said
	Number  int    // 0: not said
	Call    bullpen.Call
	Missed  bool // nobody catches it: no pop, the ball ends in the backstop's wire
	// Misread is added to what the gun shows: a planted mistake.
	Misread float64
}

// Tempo says which part of the body a stretch slows.
type Tempo string

// The tempos.
const (
	Same     Tempo = "same"      // nothing: the stretch is ignored
	Body     Tempo = "body"      // legs and arm together
	ArmEarly Tempo = "arm early" // the arm only: it starts earlier
	ArmLate  Tempo = "arm late"  // the arm only: the release comes later after the plant
)

// Sound says what the microphone hears.
type Sound struct {
	Off bool // a film without a sound track
	// PopLevel is how many dB the pop's loudest 10 ms lie above the hiss of the
	// background, both between 0.9 and 8 kHz; default 20 (26 quiet, 12 noisy).
	PopLevel   float64
	Wind       float64 // gusts, as a share of full scale; default 0.02, negative none
	Voices     bool    // people talking
	OtherPops  float64 // pops of other gloves, per minute
	Net        bool    // she throws into a net: a thud, no pop
	Late       float64 // the sound track lags the picture by so many real seconds (negative: leads)
	PhonePlace *Place  // where the phone hears from; default where it films from
}

// Place is a point on the ground in metres: X from the front of the rubber
// towards the plate, Y to the pitcher's left.
type Place struct{ X, Y float64 }
