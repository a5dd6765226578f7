package tells

import (
	"cmp"
	"math"
	"slices"
)

// Delivery is what is followed of her through one delivery: Delivery[m][s] is measure m at
// step s, NaN where it was not seen.
type Delivery [][]float64

// nearSteps is how many steps to either side are taken together.
const nearSteps = 2

// Tell is a measure that stands out.
type Tell struct {
	Measure int
	// Clearest is where in its first run of steps that are apart it is farthest apart. Step
	// is from where on it is at least half as far, and Last up to where: taking steps
	// together blurs where a run begins, and half way up is where a blurred edge was.
	Step, Last, Clearest int
	// Fast and Off are the groups' means at Clearest, and T how far apart they are, in
	// standard errors.
	Fast, Off, T float64
	// OnOff off-speed deliveries and OnFast fastballs are beyond half way from one mean to
	// the other there, of SeenOff and SeenFast.
	OnOff, OnFast, SeenOff, SeenFast int
}

// Found is what looking for tells gave.
type Found struct {
	// Tells are the measures that stand out, one tell each, the earliest first; of two at
	// one step the clearer one.
	Tells []Tell
	// Visible[m][s] is how large a difference of measure m at step s would have to be to be
	// found four times in five; NaN where it was not seen.
	Visible [][]float64
	Comparison
}

// fourInFive is the standard normal quantile of 80 %.
const fourInFive = 0.8416

// Find looks for tells. worth is, for each measure, the least difference that an eye can
// see. It is false for fewer than Least deliveries in either group.
func Find(fast, off []Delivery, worth []float64, made Origin) (Found, bool) {
	return find(fast, off, worth, made, allUpTo)
}

func find(fast, off []Delivery, worth []float64, made Origin, most int) (Found, bool) {
	if len(fast) < Least || len(off) < Least {
		return Found{}, false
	}
	steps := len(fast[0][0])
	c, ok := compare(flat(fast), flat(off), []Axis{{len(worth), 0}, {steps, nearSteps}}, made, most)
	// T of a difference that is there differs from bullpen to bullpen by its own spread's
	// unsteadiness too (the noncentral t distribution's variance to the first order). And it
	// raises the bar of its own relabellings, the more the fewer there are (a working value
	// that TestVisible holds).
	n := float64(len(fast) + len(off))
	raises := 1 + 17/(n*n)
	out := Found{Comparison: c, Visible: make([][]float64, len(worth))}
	for m, least := range worth {
		looks := c.Features[m*steps:][:steps]
		for _, l := range looks {
			visible := math.NaN()
			if l.Seen && l.DF > 0 {
				bar := student(c.Bar, l.DF)
				unsteady := math.Sqrt(1 + bar*bar/2/l.DF)
				visible = max(least, raises*(bar+fourInFive*unsteady)*l.Scatter)
			}
			out.Visible[m] = append(out.Visible[m], visible)
		}
		if t, ok := first(looks, least); ok {
			t.Measure = m
			t.OnFast, t.SeenFast = t.beyond(fast)
			t.OnOff, t.SeenOff = t.beyond(off)
			out.Tells = append(out.Tells, t)
		}
	}
	slices.SortStableFunc(out.Tells, func(a, b Tell) int {
		return cmp.Or(cmp.Compare(a.Step, b.Step), cmp.Compare(math.Abs(b.T), math.Abs(a.T)))
	})
	return out, ok
}

// flat puts a delivery's measures one behind the other.
func flat(of []Delivery) (out [][]float64) {
	for _, d := range of {
		out = append(out, slices.Concat(d...))
	}
	return out
}

// first returns where a measure is apart to one side for the first time, by what an eye
// can see.
func first(looks []Feature, least float64) (Tell, bool) {
	side := func(s int) float64 {
		by := looks[s].Off - looks[s].Fast
		if !looks[s].Apart || math.Abs(by) < least {
			return 0
		}
		return math.Copysign(1, by)
	}
	for s := range looks {
		if side(s) == 0 {
			continue
		}
		t := Tell{Clearest: s}
		for last := s; last < len(looks) && side(last) == side(s); last++ {
			if math.Abs(looks[last].T) > math.Abs(looks[t.Clearest].T) {
				t.Clearest = last
			}
		}
		half := func(k int) bool {
			return k >= 0 && k < len(looks) && looks[k].T*looks[t.Clearest].T >= looks[t.Clearest].T*looks[t.Clearest].T/2
		}
		for t.Step = t.Clearest; half(t.Step - 1); t.Step-- {
		}
		for t.Last = t.Clearest; half(t.Last + 1); t.Last++ {
		}
		l := looks[t.Clearest]
		t.Fast, t.Off, t.T = l.Fast, l.Off, l.T
		return t, true
	}
	return Tell{}, false
}

// beyond counts the deliveries that are beyond half way from the fastballs' mean to the
// others', and those that were seen.
func (t Tell) beyond(of []Delivery) (n, seen int) {
	for _, d := range of {
		v := d[t.Measure][t.Clearest]
		if math.IsNaN(v) {
			continue
		}
		seen++
		if (v-(t.Fast+t.Off)/2)*(t.Off-t.Fast) > 0 {
			n++
		}
	}
	return n, seen
}
