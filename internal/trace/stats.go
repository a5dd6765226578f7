package trace

import "slices"

// median returns the middle of v, which it sorts; 0 for none.
func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	switch {
	case n == 0:
		return 0
	case n%2 == 1:
		return v[n/2]
	}
	return (v[n/2-1] + v[n/2]) / 2
}

// percentile returns the p-th part of v, 0 to 1; 0 for none.
func percentile(v []float64, p float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	at := p * float64(len(s)-1)
	i := int(at)
	if i+1 == len(s) {
		return s[i]
	}
	return s[i] + (at-float64(i))*(s[i+1]-s[i])
}
