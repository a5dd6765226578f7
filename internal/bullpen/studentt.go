package bullpen

import "gonum.org/v1/gonum/stat/distuv"

// TBelow returns the chance that Student's t with df > 0 degrees of freedom is at
// most t.
func TBelow(t, df float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: df}.CDF(t)
}

// TQuantile returns the t that a share p, 0 < p < 1, of Student's distribution
// with df > 0 degrees of freedom lies below.
func TQuantile(p, df float64) float64 {
	return distuv.StudentsT{Sigma: 1, Nu: df}.Quantile(p)
}
