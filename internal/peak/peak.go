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
