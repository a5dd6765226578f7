// Package peak finds where between samples a curve or a surface is highest.
package peak

import "math"

// Between returns where the parabola through (-1, a), (0, b), (1, c) is highest, at
// most half a step from the middle; 0 where it bends upwards.
func Between(a, b, c float64) float64 {
	bend := a - 2*b + c
	if bend >= 0 {
		return 0
	}
	return min(max((a-c)/(2*bend), -0.5), 0.5)
}

// Summit returns where the paraboloid through a 3 x 3 grid is highest, in steps
// from the middle along the first and second index, at most 1.5 away.
func Summit(z [3][3]float64) (x, y float64) {
	gx, gy := (z[2][1]-z[0][1])/2, (z[1][2]-z[1][0])/2
	xx, yy := z[2][1]-2*z[1][1]+z[0][1], z[1][2]-2*z[1][1]+z[1][0]
	xy := (z[2][2] - z[2][0] - z[0][2] + z[0][0]) / 4
	det := xx*yy - xy*xy
	if xx >= 0 || yy >= 0 || det <= 0 {
		return Between(z[0][1], z[1][1], z[2][1]), Between(z[1][0], z[1][1], z[1][2])
	}
	x, y = (xy*gy-yy*gx)/det, (xy*gx-xx*gy)/det
	if math.Abs(x) > 1.5 || math.Abs(y) > 1.5 {
		return Between(z[0][1], z[1][1], z[2][1]), Between(z[1][0], z[1][1], z[1][2])
	}
	return x, y
}

// Climb looks for where a surface of wide x tall places is highest: at every second place of
// each row, then uphill from the highest of them, place by place, each asked for once. x is
// where that lies along the first index, in steps from the middle one, by the paraboloid
// through the nine places round it, or by the parabola along its row where that is the first
// or the last; height is that of the highest place. inside is false where it is at an end of
// its row: the summit may lie beyond, and x is that end.
func Climb(wide, tall int, at func(i, j int) float64) (x, height float64, inside bool) {
	heights := make([]float64, wide*tall) // NaN is not yet known
	for k := range heights {
		heights[k] = math.NaN()
	}
	known := func(i, j int) float64 {
		h := &heights[j*wide+i]
		if math.IsNaN(*h) {
			*h = at(i, j)
		}
		return *h
	}
	middle := wide / 2
	bestI, bestJ := middle, tall/2
	try := func(i, j int) {
		if i >= 0 && i < wide && j >= 0 && j < tall && known(i, j) > known(bestI, bestJ) {
			bestI, bestJ = i, j
		}
	}
	for j := range tall {
		for i := 0; i < wide; i += 2 {
			try(i, j)
		}
	}
	for moved := true; moved; {
		i, j := bestI, bestJ
		for di := -1; di <= 1; di++ {
			for dj := -1; dj <= 1; dj++ {
				try(i+di, j+dj)
			}
		}
		moved = bestI != i || bestJ != j
	}
	x, height = float64(bestI-middle), known(bestI, bestJ)
	if bestI == 0 || bestI == wide-1 {
		return x, height, false
	}
	if bestJ == 0 || bestJ == tall-1 {
		return x + Between(known(bestI-1, bestJ), height, known(bestI+1, bestJ)), height, true
	}
	var z [3][3]float64
	for i := range z {
		for j := range z[i] {
			z[i][j] = known(bestI+i-1, bestJ+j-1)
		}
	}
	beyond, _ := Summit(z)
	return x + beyond, height, true
}
