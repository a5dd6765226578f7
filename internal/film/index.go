package film

import (
	"encoding/binary"
	"slices"
)

// atom returns a box with its head.
func atom(kind string, content ...[]byte) []byte {
	all := slices.Concat(content...)
	out := binary.BigEndian.AppendUint32(make([]byte, 0, len(all)+8), uint32(len(all)+8))
	return append(append(out, kind...), all...)
}

// written returns an index of the tracks alone, whose samples begin before bytes into
// the file: what a player needs of the original's, and nothing that says where or when
// or with what the film was made.
func written(index box, tracks []*track, before int64) []byte {
	parts := [][]byte{atom("mvhd", undated(index.one("mvhd")))}
	for _, t := range tracks {
		parts = append(parts, t.written(before))
	}
	return atom("moov", parts...)
}

func (t *track) written(before int64) []byte {
	media := t.box.one("mdia")
	info := media.one("minf")
	samples := info.one("stbl")
	var tables [][]byte
	for _, kind := range []string{"stsd", "stts", "ctts", "stss", "stsc", "stsz"} {
		if table := samples.one(kind); table != nil {
			tables = append(tables, atom(kind, table))
		}
	}
	places := binary.BigEndian.AppendUint32(make([]byte, 4), uint32(len(t.chunks)))
	for _, c := range t.chunks {
		places = binary.BigEndian.AppendUint64(places, uint64(before+c.at))
	}
	tables = append(tables, atom("co64", places))

	var about [][]byte // the kind's own header
	for _, kind := range []string{"vmhd", "smhd"} {
		if h := info.one(kind); h != nil {
			about = append(about, atom(kind, h))
		}
	}
	here := atom("dinf", atom("dref", []byte{0, 0, 0, 0, 0, 0, 0, 1}, atom("url ", []byte{0, 0, 0, 1}))) // in this file
	handler := slices.Concat([]byte{0, 0, 0, 0, 0, 0, 0, 0}, media.one("hdlr").bytes(8, 4), make([]byte, 13))
	content := [][]byte{atom("tkhd", undated(t.box.one("tkhd")))}
	if edits := t.box.one("edts"); edits != nil {
		content = append(content, atom("edts", atom("elst", edits.one("elst"))))
	}
	return atom("trak", append(content, atom("mdia",
		atom("mdhd", undated(media.one("mdhd"))),
		atom("hdlr", handler),
		atom("minf", slices.Concat(slices.Concat(about...), here, atom("stbl", tables...))),
	))...)
}

// undated returns a header without when it was made and changed.
func undated(header box) []byte {
	out := slices.Clone([]byte(header))
	times := 8
	if len(out) > 0 && out[0] == 1 {
		times = 16
	}
	if len(out) >= 4+times {
		clear(out[4 : 4+times])
	}
	return out
}
