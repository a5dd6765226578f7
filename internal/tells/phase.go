package tells

import (
	"cmp"
	"math"
	"slices"
)

// Instants are how long before release a delivery's other three are, real seconds; NaN for
// one that is not known. Plant has to be.
type Instants struct{ Drive, Plant, Top float64 }

func drive(i Instants) float64 { return i.Drive }
func plant(i Instants) float64 { return i.Plant }
func top(i Instants) float64   { return i.Top }
func release(Instants) float64 { return 0 }

// Working values of phases.
const (
	stepSeconds = 0.04 // between two steps
	// Looked at is from so long before drive on, and from so long before release on where
	// drive is not known.
	beforeDrive   = 0.4
	beforeRelease = 1.1
	// Two instants that lie nearer to each other in any delivery do not both count: a
	// stretch between them would say nothing.
	leastBetween = 0.02
)

// Phases are deliveries warped to one another: at the same step each is equally far from
// one instant to the next. Before the first instant and between release and the end time
// is left as it is.
type Phases struct {
	// Before is how long before release each step is in the mean delivery, seconds, falling
	// to one step; Own[i] how long before its release it is in delivery i. What is to be
	// seen at release itself gives nothing away before it.
	Before []float64
	Own    [][]float64
	// Mean is when the instants are in the mean delivery; NaN for one that was not used.
	Mean Instants
}

// Warp returns the phases of deliveries, of which there is one at least. Drive and top are
// used where all deliveries have them in the same order; which of plant and top comes first
// differs from pitcher to pitcher.
func Warp(all []Instants) Phases {
	used := []func(Instants) float64{plant, release}
	for _, more := range []func(Instants) float64{drive, top} {
		if with, ok := ordered(all, append(slices.Clone(used), more)); ok {
			used = with
		}
	}
	mean, own := make([]float64, len(used)), make([][]float64, len(all))
	for i, of := range all {
		for k, at := range used {
			own[i] = append(own[i], at(of))
			mean[k] += at(of) / float64(len(all))
		}
	}
	p := Phases{Mean: meanOf(all), Own: make([][]float64, len(all))}
	longest := beforeRelease
	if _, ok := ordered(all, []func(Instants) float64{drive, plant, release}); ok {
		longest = p.Mean.Drive + beforeDrive
	} else {
		p.Mean.Drive = math.NaN()
	}
	for s := int(longest / stepSeconds); s > 0; s-- {
		p.Before = append(p.Before, float64(s)*stepSeconds)
	}
	for i := range all {
		for _, before := range p.Before {
			p.Own[i] = append(p.Own[i], warped(mean, own[i], before))
		}
	}
	return p
}

// ordered returns instants by how long before release they are on average. It is false if
// any delivery has them otherwise, or lacks one.
func ordered(all []Instants, of []func(Instants) float64) ([]func(Instants) float64, bool) {
	mean := func(at func(Instants) float64) (sum float64) {
		for _, i := range all {
			sum += at(i) / float64(len(all))
		}
		return sum
	}
	slices.SortStableFunc(of, func(a, b func(Instants) float64) int { return cmp.Compare(mean(b), mean(a)) })
	for _, i := range all {
		for k := 1; k < len(of); k++ {
			if !(of[k-1](i)-of[k](i) >= leastBetween) {
				return nil, false
			}
		}
	}
	return of, true
}

func meanOf(all []Instants) (m Instants) {
	for _, i := range all {
		n := float64(len(all))
		m.Drive, m.Plant, m.Top = m.Drive+i.Drive/n, m.Plant+i.Plant/n, m.Top+i.Top/n
	}
	return m
}

// warped returns when in a delivery that has its instants at own is what the mean delivery
// has at before, all in seconds before release and falling to 0.
func warped(mean, own []float64, before float64) float64 {
	if before >= mean[0] {
		return own[0] + before - mean[0]
	}
	k := 1
	for before < mean[k] {
		k++
	}
	return own[k] + (before-mean[k])/(mean[k-1]-mean[k])*(own[k-1]-own[k])
}
