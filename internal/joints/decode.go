package joints

import (
	"math"

	"tenoff/internal/posture"
)

// found is what the model says of one picture: each joint's place, in shares of the
// picture, and how sure it is, 0 to 1.
type found [posture.Joints]struct{ x, y, sure float64 }

// apart is what is added to a distance from where a joint is thought to be, in cells,
// before a place's heat is divided by it: the model's own constant.
const apart = 1.8

// decode reads joints off the model's heads, planes of grid x grid cells: the body whose
// middle is likeliest, weighted towards the picture's middle; from there to where each
// joint should be; the hottest place near that; and the way from that cell to the joint.
// These are the last steps of the model's own graph.
func decode(heat, centre, towards, within []float32) found {
	middle := 0
	for i, v := range centre[:cells] {
		if v > centre[middle] {
			middle = i
		}
	}
	var out found
	for j := range out {
		row := float64(middle/grid) + float64(towards[2*j*cells+middle])
		column := float64(middle%grid) + float64(towards[(2*j+1)*cells+middle])
		best, at := math.Inf(-1), 0
		plane := heat[j*cells:][:cells]
		for i, h := range plane {
			if v := float64(h) / (math.Hypot(float64(i/grid)-row, float64(i%grid)-column) + apart); v > best {
				best, at = v, i
			}
		}
		out[j].y = (float64(at/grid) + float64(within[2*j*cells+at])) / grid
		out[j].x = (float64(at%grid) + float64(within[(2*j+1)*cells+at])) / grid
		out[j].sure = float64(plane[at])
	}
	return out
}
