package rhythm

import "math"

// link is one entry on one rep, and the link before it.
type link struct{ entry, rep, before int }

// chain is the likeliest way to lay entries over reps in order, for one offset.
type chain struct {
	links []link
	last  int     // in links; -1 for none
	gain  float64 // logarithm
}

// layer lays the same entries and reps over each other again and again.
type layer struct {
	entries, reps []float64 // seconds, rising
	links         []link
	gains         []float64 // of the best chain over the first j reps
	lasts         []int     // its last link
}

// at returns the likeliest chain if the film's clock runs offset seconds behind the
// entries' clock. The chain's links hold until the next call.
//
// gains[j] is the best over reps 0..j-1, over leaving all alone, and never falls with j, so only reps within an
// entry's reach need looking at: beyond them every place is as good as the last.
func (l *layer) at(offset float64) chain {
	l.links = l.links[:0]
	l.gains, l.lasts = append(l.gains[:0], 0), append(l.lasts[:0], -1)
	from, alone := 0, 0.0
	for e, t := range l.entries {
		for from < len(l.reps) && t-l.reps[from]-offset > latest {
			from++
		}
		to := from
		for to < len(l.reps) && t-l.reps[to]-offset >= soonest {
			to++
		}
		for len(l.gains) <= to {
			l.gains, l.lasts = append(l.gains, l.gains[len(l.gains)-1]), append(l.lasts, l.lasts[len(l.lasts)-1])
		}
		none := stray(t-offset, l.reps)
		alone += none
		for r := to - 1; r >= from; r-- { // downwards: one entry has one rep
			sum := l.gains[r] + gain(t-l.reps[r]-offset) - none
			if sum <= l.gains[r+1] || math.IsInf(sum, -1) {
				continue
			}
			l.links = append(l.links, link{e, r, l.lasts[r]})
			for j := r + 1; j < len(l.gains) && l.gains[j] < sum; j++ {
				l.gains[j], l.lasts[j] = sum, len(l.links)-1
			}
		}
	}
	end := len(l.gains) - 1
	return chain{l.links, l.lasts[end], l.gains[end] + alone}
}
