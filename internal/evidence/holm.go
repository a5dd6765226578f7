package evidence

import (
	"cmp"
	"slices"
)

// Holm says of each chance p, 0..1, of data like these if there were nothing, whether
// there is something, so that among all of them the chance of saying so even once where
// there is nothing stays under alpha: the least is held against alpha/n, the next against
// alpha/(n-1), and the first that is not under its share ends it (Holm, Scand. J. Statist.
// 6, 65-70, 1979).
func Holm(p []float64, alpha float64) []bool {
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(p[a], p[b]) })
	found := make([]bool, len(p))
	for rank, i := range order {
		if !(p[i]*float64(len(p)-rank) <= alpha) {
			break
		}
		found[i] = true
	}
	return found
}
