package film

import (
	"encoding/binary"
	"slices"
)

// written returns a track's index (ISO/IEC 14496-12, 8.3 and on) of its first samples and
// chunks, of which the last sample lasts so long; and how long it plays, in ticks of the
// film's scale. before is where in the file the samples begin.
func (t *grown) written(samples, chunks int, last, scale, before int64) (trak []byte, length int64) {
	media := t.box.one("mdia")
	info := media.one("minf")
	var lasts int64 // in the track's own ticks
	if samples > 0 {
		lasts = t.times[samples-1] + last - t.times[0]
	}
	length = rescale(lasts, scale, int64(media.one("mdhd").scale()))
	tables := [][]byte{
		atom("stsd", info.one("stbl").one("stsd")),
		atom("stts", runs(t.steps(samples, last))),
	}
	if t.picture {
		n, _ := slices.BinarySearch(t.keys, uint32(samples))
		keys := counted(n)
		for _, k := range t.keys[:n] {
			keys = binary.BigEndian.AppendUint32(keys, k+1)
		}
		tables = append(tables, atom("stss", keys))
	}
	sizes := binary.BigEndian.AppendUint32(make([]byte, 8), uint32(samples))
	for _, s := range t.sizes[:samples] {
		sizes = binary.BigEndian.AppendUint32(sizes, s)
	}
	places := counted(chunks)
	for _, c := range t.chunks[:chunks] {
		places = binary.BigEndian.AppendUint64(places, uint64(before+c.at))
	}
	tables = append(tables, atom("stsc", perChunk(t.chunks[:chunks])), atom("stsz", sizes), atom("co64", places))

	var about [][]byte // the kind's own header
	for _, kind := range []string{"vmhd", "smhd"} {
		if h := info.one(kind); h != nil {
			about = append(about, atom(kind, h))
		}
	}
	content := [][]byte{atom("tkhd", timed(undated(t.box.one("tkhd")), 20, length))}
	if edits := t.box.one("edts").one("elst"); len(edits) >= 20 && edits[0] == 0 {
		// What sound begins with is for the decoder alone.
		hidden := rescale(int64(edits.number(12)), scale, int64(media.one("mdhd").scale()))
		content = append(content, atom("edts", atom("elst", timed(slices.Clone(edits), 8, max(length-hidden, 0)))))
	}
	return atom("trak", append(content, atom("mdia",
		atom("mdhd", timed(undated(media.one("mdhd")), 16, lasts)),
		atom("hdlr", media.one("hdlr")),
		atom("minf", slices.Concat(slices.Concat(about...), atom("dinf", info.one("dinf")), atom("stbl", tables...))),
	))...), length
}

// timed returns a header of version 0 with a length in time at an offset.
func timed(header []byte, at int, length int64) []byte {
	if len(header) >= at+4 {
		binary.BigEndian.PutUint32(header[at:], uint32(length))
	}
	return header
}

// counted begins a table of n entries.
func counted(n int) []byte { return binary.BigEndian.AppendUint32(make([]byte, 4), uint32(n)) }

// steps returns how long each of the first samples is shown.
func (t *grown) steps(samples int, last int64) []int64 {
	steps := make([]int64, samples)
	for i := range steps {
		steps[i] = last
		if i+1 < samples {
			steps[i] = t.times[i+1] - t.times[i]
		}
	}
	return steps
}

// runs returns a table of equal numbers in a row (8.6.1.2).
func runs(numbers []int64) []byte {
	table, n := counted(0), uint32(0)
	for i := 0; i < len(numbers); {
		end := i
		for end < len(numbers) && numbers[end] == numbers[i] {
			end++
		}
		table = binary.BigEndian.AppendUint32(table, uint32(end-i))
		table = binary.BigEndian.AppendUint32(table, uint32(numbers[i]))
		i, n = end, n+1
	}
	binary.BigEndian.PutUint32(table[4:], n)
	return table
}

// perChunk returns the table of how many samples each chunk has (8.7.4).
func perChunk(chunks []chunk) []byte {
	table, n := counted(0), uint32(0)
	for i, c := range chunks {
		if i > 0 && chunks[i-1].n == c.n {
			continue
		}
		for _, v := range []int{i + 1, c.n, 1} {
			table = binary.BigEndian.AppendUint32(table, uint32(v))
		}
		n++
	}
	binary.BigEndian.PutUint32(table[4:], n)
	return table
}
