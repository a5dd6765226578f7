package tells

import (
	"math/rand/v2"
	"slices"
)

// allUpTo is up to how many ways of relabelling all are tried; of more, so many at random,
// the true one among them: a shared result is read by whoever has its link, and the chance
// that is held stays held with any number of them.
const allUpTo = 2000

// ways returns in how many ways k of n can be chosen, or more than most if there are more.
func ways(n, k, most int) int {
	all := 1
	for i := range min(k, n-k) {
		if all = all * (n - i) / (i + 1); all > most {
			return most + 1
		}
	}
	return all
}

// film is deliveries of which each may as well have been another of them: those filmed
// from one standing phone. The last off of them are the off-speed ones.
type film struct {
	all []int
	off int
}

// filmsOf parts deliveries, of which the last off are off-speed, by the films that are named
// for them; without names all are on one.
func filmsOf(n, off int, names []string) []film {
	var out []film
	at := map[string]int{}
	for i := range n {
		name := ""
		if names != nil {
			name = names[i]
		}
		k, ok := at[name]
		if !ok {
			k, out = len(out), append(out, film{})
			at[name] = k
		}
		out[k].all = append(out[k].all, i)
		if i >= n-off {
			out[k].off++
		}
	}
	return out
}

// relabel calls each with every choice of as many deliveries of each film as are off-speed,
// by rising number; with most of them if there are more, of which the first is how they were
// thrown. What each gets is good until it returns. The choice at random is the same every
// time.
func relabel(films []film, most int, each func(off []int)) {
	all, k := 1, 0
	for _, f := range films {
		all, k = min(all*ways(len(f.all), f.off, most), most+1), k+f.off
	}
	off := make([]int, 0, k)
	if all <= most {
		var choose func(i, from, left int)
		choose = func(i, from, left int) {
			switch {
			case left > 0:
				for j := from; j <= len(films[i].all)-left; j++ {
					off = append(off, films[i].all[j])
					choose(i, j+1, left-1)
					off = off[:len(off)-1]
				}
			case i+1 < len(films):
				choose(i+1, 0, films[i+1].off)
			default:
				each(off)
			}
		}
		choose(0, 0, films[0].off)
		return
	}
	mixed := make([][]int, len(films))
	for i, f := range films {
		mixed[i] = slices.Clone(f.all)
		off = append(off, f.all[len(f.all)-f.off:]...)
	}
	each(off)
	dice := rand.New(rand.NewPCG(2002, 15))
	for range most - 1 {
		off = off[:0]
		for i, of := range mixed {
			for k := range films[i].off {
				j := k + dice.IntN(len(of)-k)
				of[k], of[j] = of[j], of[k]
			}
			off = append(off, of[:films[i].off]...)
		}
		each(off)
	}
}
