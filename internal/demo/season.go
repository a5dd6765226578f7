package demo

import (
	"math"
	"math/rand/v2"
	"time"

	"tenoff/internal/bullpen"
)

// What stands in the note of every bullpen that a demo makes.
const (
	drawn    = "A bullpen drawn by tenoff to try things on. Nobody was filmed."
	invented = "A bullpen made up by tenoff to try things on. Nobody was filmed."
)

// IsDemo reports whether a demo made a bullpen, by its note.
func IsDemo(note string) bool { return note == drawn || note == invented }

// Season is what a demo shows beside its filmed bullpens: who throws, and what she threw
// in the weeks before. All of it is invented.
type Season struct {
	Pitcher  bullpen.Pitcher
	Bullpens []Practice // earliest first
	Homework *Homework  // nil for none
}

// Practice is a bullpen that was read off the gun and not filmed.
type Practice struct {
	Pen  bullpen.Bullpen
	Reps []bullpen.Rep
}

// Homework is a workout that was handed out: its note waits for an answer, or it is
// answered.
type Homework struct {
	Starter string // key of the starter workout
	Note    string // what she wrote
	Words   string // the answer; "" while it waits
}

// Seasons returns the demo's three pitchers over the six weeks before a day. Wren throws
// too firm and gets there, Lark is where she wants to be, Jay throws too soft.
func Seasons(today time.Time) []Season {
	wren, _, _ := Bullpen()
	lark, _, _ := SameBody()
	jay := wren
	jay.Label, jay.Level, jay.DistanceFeet, jay.ExtensionFeet, jay.BallKind = "Jay", "12U", 40, nil, "12 in"
	return []Season{
		season(wren, today, 1, 54, []float64{6.2, 6.8, 7.6, 8.4, 9.1}, []int{35, 28, 21, 14, 8}, nil),
		season(lark, today, 2, 57, []float64{9.4, 10.2, 9.8, 10.3, 10.1}, []int{36, 30, 22, 15, 7}, &Homework{
			Starter: "blend", Note: "My legs felt quick today! I will send the film after practice. Is the third set meant to be slow?",
		}),
		season(jay, today, 3, 46, []float64{16.1, 15.2, 14.4, 13.1}, []int{33, 26, 19, 5}, &Homework{
			Starter: "arm", Note: "I did all of it on Sunday.",
			Words: "Well done. Your arm went all the way round on every one. You can throw it about 3 mph faster: aim for 36.",
		}),
	}
}

// season throws the bullpens of one pitcher: at each so many days ago, with change-ups at
// that mean gap.
func season(p bullpen.Pitcher, today time.Time, seed uint64, fast float64, gaps []float64, ago []int, h *Homework) Season {
	out := Season{Pitcher: p, Homework: h}
	dice := rand.New(rand.NewPCG(seed, 6))
	for i, gap := range gaps {
		pen := bullpen.Bullpen{
			Day: today.AddDate(0, 0, -ago[i]).Format(time.DateOnly), Gun: bullpen.BehindPitcher, Unit: bullpen.MPH, Step: 1, Note: invented,
		}
		var reps []bullpen.Rep
		for n := range 14 {
			r := bullpen.Rep{Pitch: bullpen.Fastball, Drive: -1, Plant: -1, Top: -1, Release: -1, Call: bullpen.Strike, Set: 1 + n/7, Number: 1 + n%7}
			speed := fast + 0.6*dice.NormFloat64()
			if n%7 > 2 {
				r.Pitch = bullpen.ChangeUp
				speed = fast - gap + 1.1*dice.NormFloat64()
			}
			if dice.IntN(3) == 0 {
				r.Call = bullpen.Ball
			}
			r.Reading = &bullpen.Reading{Value: math.Round(speed), Unit: bullpen.MPH, Step: 1, Gun: pen.Gun}
			reps = append(reps, r)
		}
		out.Bullpens = append(out.Bullpens, Practice{pen, reps})
	}
	return out
}

// SameBody returns the demo's other filmed bullpen: every change-up about ten off, with
// the body as fast as on her fastballs.
func SameBody() (bullpen.Pitcher, bullpen.Bullpen, Options) {
	p, b, o := Bullpen()
	p.Label, p.Level = "Lark", "16U"
	b.Title = "Two grips"
	b.Note = invented
	const fb, ch = bullpen.Fastball, bullpen.ChangeUp
	reps := []RepSpec{
		{Pitch: fb, Speed: 57.2}, {Pitch: ch, Speed: 47.1}, {Pitch: fb, Speed: 56.6}, {Pitch: ch, Speed: 46.4}, {Pitch: ch, Speed: 47.6}, {Pitch: fb, Speed: 57.4},
		{Pitch: ch, Speed: 46.8}, {Pitch: fb, Speed: 56.9}, {Pitch: ch, Speed: 47.3}, {Pitch: ch, Speed: 46.2}, {Pitch: fb, Speed: 57.1}, {Pitch: fb, Speed: 56.8},
	}
	for i := range reps {
		reps[i].Call, reps[i].Set, reps[i].Number = bullpen.Strike, 1+i/6, 1+i%6
	}
	o.Seed, o.Reps, o.Rest, o.Lead, o.Tail = 21, reps, 4.8, 1.5, 1.2
	o.Width, o.Height = 640, 360
	return p, b, o
}
