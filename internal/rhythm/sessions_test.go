package rhythm

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"runtime"
	"slices"
	"sync"
	"testing"
)

var (
	manySessions = flag.Int("rhythm.sessions", 20, "generated sessions of each kind")
	firstSeed    = flag.Uint64("rhythm.seed", 1, "seed of the first session")
)

// session is a bullpen as it might be thrown: what the film and the field page know of
// it, and which entry is which rep's.
type session struct {
	entries, reps []float64
	truth         []int
	start         float64 // of the film on the entries' clock, as the film's own clock has it
}

// pace makes the seconds from one rep to the next.
type pace func(r *rand.Rand) func() float64

// uneven is 15 to 30 s, any as likely as any other.
func uneven(r *rand.Rand) func() float64 { return func() float64 { return 15 + 15*r.Float64() } }

// steady has a pace of its own and keeps it to within a fifth.
func steady(r *rand.Rand) func() float64 {
	own := 18 + 8*r.Float64()
	return func() float64 { return own * (0.8 + 0.4*r.Float64()) }
}

// even is so even that one rep may stand for the next.
func even(r *rand.Rand) func() float64 {
	own := 18 + 8*r.Float64()
	return func() float64 { return own * (0.99 + 0.02*r.Float64()) }
}

// kind says how sessions of one kind are.
type kind struct {
	what     string
	pace     pace
	recorded bool // the film's own recording time is known
	between  bool // throws that the instructor did not count come between reps too
	cut      bool // the first or last one or two reps are not on the film
	right    float64
}

// generate makes a session of 16 to 60 reps, 0 to 3 of whose readings were not typed in,
// and with 0 to 3 throws more on the film than the instructor counted. Entries are typed
// 1 to 10 s after the pitch.
func generate(seed uint64, k kind) session {
	r := rand.New(rand.NewPCG(seed, 7))
	next, n := k.pace(r), 16+r.IntN(45)
	s := session{start: 1000 * r.Float64()}
	shift := s.start + (2*r.Float64()-1)*ClockError
	silent := map[int]bool{}
	for range r.IntN(4) {
		silent[r.IntN(n)] = true
	}
	between := map[int]bool{}
	for range r.IntN(4) {
		if k.between && r.IntN(2) == 0 {
			between[r.IntN(n)] = true
		} else {
			silent[r.IntN(n)] = true
		}
	}
	head, tail := 0, 0
	if k.cut {
		head, tail = r.IntN(3), r.IntN(3)
	}
	at := 20 * r.Float64()
	for i := range n {
		filmed := i >= head && i < n-tail
		if filmed {
			s.reps = append(s.reps, at)
		}
		if !silent[i] {
			rep := None
			if filmed {
				rep = len(s.reps) - 1
			}
			s.entries, s.truth = append(s.entries, at+shift+1+9*r.Float64()), append(s.truth, rep)
		}
		step := next()
		if filmed && between[i] {
			s.reps = append(s.reps, at+step*(0.3+0.4*r.Float64()))
		}
		at += step
	}
	return s
}

type tally struct{ right, asked, wrong, n int }

// run lays n sessions of one kind.
func run(k kind, seed uint64, n int) tally {
	all := make([]tally, n)
	var wait sync.WaitGroup
	slots := make(chan bool, 2)
	for i := range n {
		slots <- true
		wait.Go(func() {
			defer func() { <-slots }()
			s := generate(seed+uint64(i), k)
			var known []Offset
			if k.recorded {
				known = append(known, Recorded(s.start))
			}
			laid := Of(s.entries, s.reps, known...)
			right := slices.Equal(laid.Pairings[0].Reps, s.truth)
			switch {
			case !laid.Sure():
				all[i].asked++
			case right:
				all[i].right++
			default:
				all[i].wrong++
			}
		})
	}
	wait.Wait()
	sum := tally{n: n}
	for _, t := range all {
		sum.right, sum.asked, sum.wrong = sum.right+t.right, sum.asked+t.asked, sum.wrong+t.wrong
	}
	return sum
}

// TestSessions pairs generated sessions. What is wanted holds for many sessions
// (-rhythm.sessions 4000); few are allowed one more miss than their share.
func TestSessions(t *testing.T) {
	for _, c := range []kind{
		{what: "15 to 30 s, recording time known", pace: uneven, recorded: true, right: 0.98},
		{what: "steady, recording time known", pace: steady, recorded: true, right: 0.98},
		{what: "even, recording time known", pace: even, recorded: true, right: 0.98},
		{what: "film cut, recording time known", pace: uneven, recorded: true, cut: true, right: 0.9},
		{what: "throws in between, recording time known", pace: uneven, recorded: true, between: true, right: 0.75},
		{what: "15 to 30 s, recording time not known", pace: uneven, right: 0.75},
		{what: "steady, recording time not known", pace: steady, right: 0.75},
		{what: "film cut, recording time not known", pace: uneven, cut: true, right: 0.85},
		{what: "throws in between, recording time not known", pace: uneven, between: true, right: 0.75},
		{what: "even, recording time not known", pace: even},
	} {
		got := run(c, *firstSeed, *manySessions)
		n := float64(got.n)
		said := fmt.Sprintf("%s: %d sessions, right %.1f %%, asked %.1f %%, silently wrong %.2f %%", c.what, got.n,
			100*float64(got.right)/n, 100*float64(got.asked)/n, 100*float64(got.wrong)/n)
		t.Log(said)
		if float64(got.right) < c.right*n-1 || float64(got.wrong) > 0.005*n+1 {
			t.Error(said)
		}
	}
}

// crowded is a bullpen of 60 reps on a film on which 240 other things go like one, none
// of it with a recording time: about the most there is to do.
func crowded() session {
	r := rand.New(rand.NewPCG(60, 300))
	next, at := uneven(r), 0.0
	var s session
	for range 60 {
		at += next()
		s.reps, s.entries = append(s.reps, at), append(s.entries, at+5000+1+9*r.Float64())
	}
	for range 240 {
		s.reps = append(s.reps, at*r.Float64())
	}
	slices.Sort(s.reps)
	return s
}

// However many offsets count, the memory for one of them is enough.
func TestOfCrowdedInLittleMemory(t *testing.T) {
	s := crowded()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	laid := Of(s.entries, s.reps)
	runtime.ReadMemStats(&after)
	took := (after.TotalAlloc - before.TotalAlloc) >> 20
	t.Logf("%d MiB", took)
	if took > 4 || len(laid.Pairings) == 0 {
		t.Errorf("60 entries over 300 reps took %d MiB", took)
	}
}

func BenchmarkOfCrowded(b *testing.B) {
	s := crowded()
	b.ReportAllocs()
	for b.Loop() {
		Of(s.entries, s.reps)
	}
}
