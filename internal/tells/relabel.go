package tells

import "math/rand/v2"

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

// relabel calls each with every choice of k of n deliveries, by rising number; with most of
// them if there are more, of which the first is the last k: how they were thrown. What each
// gets is good until it returns. The choice at random is the same every time.
func relabel(n, k, most int, each func(off []int)) {
	off := make([]int, k)
	if ways(n, k, most) <= most {
		for i := range off {
			off[i] = i
		}
		for {
			each(off)
			i := k - 1
			for i >= 0 && off[i] == n-k+i {
				i--
			}
			if i < 0 {
				return
			}
			off[i]++
			for j := i + 1; j < k; j++ {
				off[j] = off[j-1] + 1
			}
		}
	}
	all := make([]int, n)
	for i := range all {
		all[i] = i
	}
	copy(off, all[n-k:])
	each(off)
	dice := rand.New(rand.NewPCG(2002, 15))
	for range most - 1 {
		for i := range k {
			j := i + dice.IntN(n-i)
			all[i], all[j] = all[j], all[i]
		}
		copy(off, all)
		each(off)
	}
}
