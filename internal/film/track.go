package film

import (
	"encoding/binary"
	"slices"
)

// track is one track of an MP4's index (ISO/IEC 14496-12, 8.3 and on).
type track struct {
	box    box // the trak's
	chunks []part
}

// trackOf returns the first track of a kind, which has to be coded in one way
// throughout, and in that one.
func trackOf(index box, handler, coding string) (*track, error) {
	for _, t := range index.all("trak") {
		if string(t.one("mdia").one("hdlr").bytes(8, 4)) != handler {
			continue
		}
		if d := t.table("stsd"); d.number(4) != 1 || string(d.bytes(12, 4)) != coding {
			return nil, notPlain("the track %s is coded as %q, %d ways", handler, d.bytes(12, 4), d.number(4))
		}
		return &track{box: t}, nil
	}
	return nil, notPlain("it has no track %s", handler)
}

// table returns a table of a trak's samples.
func (b box) table(kind string) box { return b.one("mdia").one("minf").one("stbl").one(kind) }

// entries returns how many entries of so many bytes a table has whose number stands
// at an offset, if they are there.
func (b box) entries(at, bytes int) (int, error) {
	if at+4 > len(b) || b.overfull(at, int64(bytes)) {
		return 0, notPlain("a table is damaged")
	}
	return int(b.number(at)), nil
}

// shown returns when the track's frames are shown, in ticks of 1/WorkingRate s.
func (t *track) shown() ([]int64, error) {
	times, err := t.times()
	if err != nil {
		return nil, err
	}
	if len(times) < minFrames {
		return nil, notPlain("it has %d frames in its index", len(times))
	}
	slices.Sort(times)
	begins, err := t.edit()
	if err != nil {
		return nil, err
	}
	if begins > times[0] {
		return nil, notPlain("its first frames are hidden")
	}
	scale := int64(t.box.one("mdia").one("mdhd").scale())
	if scale <= 0 {
		return nil, notPlain("it does not say how it counts time")
	}
	for i := range times {
		times[i] = rescale(times[i]-begins, WorkingRate, scale)
		if i > 0 && times[i] <= times[i-1] {
			return nil, notPlain("two frames are shown at once")
		}
	}
	return times, nil
}

// scale returns the ticks a second of a media header (mdhd).
func (b box) scale() uint32 {
	if len(b) > 0 && b[0] == 1 {
		return b.number(20)
	}
	return b.number(12)
}

// times returns the composition time of every sample, in the order of decoding.
func (t *track) times() ([]int64, error) {
	steps := t.box.table("stts")
	runs, err := steps.entries(4, 8)
	if err != nil {
		return nil, err
	}
	var times []int64
	at := int64(0)
	for run := range runs {
		n, step := steps.number(8+8*run), int64(int32(steps.number(12+8*run)))
		if step < 0 || int64(len(times))+int64(n) > MaxFrames {
			return nil, notPlain("its table of times is damaged")
		}
		for range n {
			times = append(times, at)
			at += step
		}
	}
	later := t.box.table("ctts")
	if later == nil {
		return times, nil
	}
	if runs, err = later.entries(4, 8); err != nil {
		return nil, err
	}
	i := 0
	for run := range runs {
		n, by := int(later.number(8+8*run)), int64(int32(later.number(12+8*run)))
		if n > len(times)-i {
			return nil, notPlain("its table of offsets is damaged")
		}
		for range n {
			times[i] += by
			i++
		}
	}
	return times, nil
}

// edit returns from which tick of its own on the track is shown: of one edit at most,
// that plays everything from there (8.6.6).
func (t *track) edit() (int64, error) {
	edits := t.box.one("edts").one("elst")
	if len(edits) < 8 {
		return 0, nil
	}
	n, begins, rate := edits.number(4), int64(int32(edits.number(12))), edits.number(16)
	if edits[0] == 1 && len(edits) >= 28 {
		begins, rate = int64(binary.BigEndian.Uint64(edits[16:])), edits.number(24)
	}
	if n == 0 {
		return 0, nil
	}
	if n != 1 || begins < 0 || rate != 1<<16 {
		return 0, notPlain("it was cut in the phone")
	}
	return begins, nil
}

// findChunks finds where the track's chunks lie in the file.
func (t *track) findChunks() error {
	sizes, runs := t.box.table("stsz"), t.box.table("stsc")
	one, samples := int64(sizes.number(4)), int(sizes.number(8))
	if one == 0 {
		if _, err := sizes.entries(8, 4); err != nil {
			return err
		}
	}
	if samples > maxPackets {
		return notPlain("it has %d samples", samples)
	}
	n, err := runs.entries(4, 12)
	if err != nil {
		return err
	}
	places, width := t.box.table("stco"), 4
	if places == nil {
		places, width = t.box.table("co64"), 8
	}
	chunks, err := places.entries(4, width)
	if err != nil {
		return err
	}
	next, sample := 0, 0 // run, sample
	per := 0
	for i := range chunks {
		if next < n && int(runs.number(8+12*next)) == i+1 {
			per = int(runs.number(12 + 12*next))
			if runs.number(16+12*next) != 1 || per <= 0 {
				return notPlain("its table of chunks is damaged")
			}
			next++
		}
		if per == 0 || per > samples-sample {
			return notPlain("its table of chunks is damaged")
		}
		c := part{from: int64(places.number(8 + width*i))}
		if width == 8 {
			c.from = int64(binary.BigEndian.Uint64(places[8+8*i:]))
		}
		for range per {
			size := one
			if one == 0 {
				size = int64(sizes.number(12 + 4*sample))
			}
			c.length += size
			sample++
		}
		t.chunks = append(t.chunks, c)
	}
	if sample != samples {
		return notPlain("some samples lie nowhere")
	}
	return nil
}
