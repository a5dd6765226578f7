package shelf

import (
	"fmt"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
)

// FileName is what a clip of one rep is called: day, order, pitch and reading, in
// letters every system takes. The pitcher's name is never in it.
func FileName(day string, order int, pitch bullpen.Pitch, reading *bullpen.Reading) string {
	return safe(day) + "_" + RepName(order, pitch, reading) + ".mp4"
}

// StillName is what a still of a rep is called, as a clip of it is but for the ending.
func StillName(pen bullpen.Bullpen, r bullpen.Rep) string {
	reading := r.Reading
	if reading != nil {
		reading = new(pen.Fill(*reading))
	}
	return strings.TrimSuffix(FileName(pen.Day, r.Order, r.Pitch, reading), ".mp4") + ".jpg"
}

// DeliveryName is what a delivery sheet of two reps is called.
func DeliveryName(pen bullpen.Bullpen, off, fast bullpen.Rep) string {
	part := func(r bullpen.Rep) string {
		if r.Reading == nil {
			return RepName(r.Order, r.Pitch, nil)
		}
		return RepName(r.Order, r.Pitch, new(pen.Fill(*r.Reading)))
	}
	return safe(pen.Day) + "_delivery_" + part(fast) + "_above_" + part(off) + ".jpg"
}

// PairName is what a side by side is called; off and fast are what RepName
// calls the reps.
func PairName(day string, off, fast string, speed float64, blend bool) string {
	return pairName(day, off, fast, Options{Speed: speed, Blend: blend})
}

func pairName(day, off, fast string, o Options) string {
	speed, manner := o.Speed, "_beside_"
	switch {
	case o.Difference:
		manner = "_difference_"
	case o.Blend:
		manner = "_over_"
	}
	name := safe(day) + "_" + off + manner + fast
	if o.Stretch {
		name += "_same-tempo"
	}
	if speed != 1 && speed > 0 {
		name += "_1-" + strconv.FormatFloat(1/speed, 'f', -1, 64) + "-speed"
	}
	return name + ".mp4"
}

// RepName names a rep within a file's name: order, pitch and reading.
func RepName(order int, pitch bullpen.Pitch, reading *bullpen.Reading) string {
	name := string(pitch)
	if t, ok := bullpen.TypeOf(pitch); ok {
		name = t.Name
	}
	name = fmt.Sprintf("%02d_%s", order, safe(name))
	if reading != nil {
		name += "_" + strconv.FormatFloat(reading.Value, 'f', -1, 64) + safe(string(reading.Unit))
	}
	return name
}

func fileName(o Options, shots []shot) string {
	day := shots[0].of.Pen.Day
	part := func(x shot) (int, bullpen.Pitch, *bullpen.Reading) {
		if x.rep.Reading == nil {
			return x.rep.Order, x.rep.Pitch, nil
		}
		return x.rep.Order, x.rep.Pitch, new(x.of.Pen.Fill(*x.rep.Reading))
	}
	if len(shots) == 1 {
		order, pitch, reading := part(shots[0])
		return FileName(day, order, pitch, reading)
	}
	fast := RepName(part(shots[1]))
	if other := shots[1].of.Pen.Day; other != day {
		fast = safe(other) + "_" + fast
	}
	return pairName(day, RepName(part(shots[0])), fast, o)
}

// safe keeps letters, digits and hyphens of a word of ours.
func safe(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '-':
			return r
		case r == ' ':
			return '-'
		}
		return -1
	}, s)
}
