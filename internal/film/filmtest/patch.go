package filmtest

import (
	"encoding/binary"
	"errors"
	"math"
	"slices"
)

// Edits of an MP4's boxes (ISO/IEC 14496-12) that ffmpeg can't make. The index
// (moov) must lie behind the pictures (mdat), so that they keep their place.

// containers are the boxes that hold nothing but boxes.
var containers = []string{"moov", "trak", "mdia", "minf", "stbl", "edts", "udta"}

// walk rebuilds boxes with each box's content replaced by what edit makes of it.
func walk(boxes []byte, edit func(kind string, body []byte) []byte) ([]byte, error) {
	var out []byte
	for len(boxes) > 0 {
		if len(boxes) < 8 {
			return nil, errors.New("a box is cut off")
		}
		size, head := uint64(binary.BigEndian.Uint32(boxes)), uint64(8)
		if size == 1 && len(boxes) >= 16 {
			size, head = binary.BigEndian.Uint64(boxes[8:]), 16
		}
		if size < head || size > uint64(len(boxes)) {
			return nil, errors.New("a box is longer than its file")
		}
		kind, body := string(boxes[4:8]), boxes[head:size]
		var err error
		switch {
		case slices.Contains(containers, kind):
			body, err = walk(body, edit)
		case kind == "meta" && len(body) > 12 && string(body[8:12]) == "hdlr": // with a version, as MP4 has it
			body, err = walk(body[4:], edit)
			body = append(make([]byte, 4), body...)
		case kind == "meta": // without, as QuickTime has it
			body, err = walk(body, edit)
		}
		if err != nil {
			return nil, err
		}
		body = edit(kind, body)
		if head == 16 {
			out = binary.BigEndian.AppendUint32(out, 1)
			out = append(out, kind...)
			out = binary.BigEndian.AppendUint64(out, uint64(len(body))+16)
		} else {
			out = binary.BigEndian.AppendUint32(out, uint32(len(body))+8)
			out = append(out, kind...)
		}
		out = append(out, body...)
		boxes = boxes[size:]
	}
	return out, nil
}

// once returns edit for the first box of a kind and nothing for the others.
func once(of string, edit func([]byte) []byte) func(string, []byte) []byte {
	done := false
	return func(kind string, body []byte) []byte {
		if kind != of || done {
			return body
		}
		done = true
		return edit(slices.Clone(body))
	}
}

// Mirrored makes the picture's matrix flip it left to right, as some phones store
// the film of their front camera.
func Mirrored(film []byte) ([]byte, error) {
	return walk(film, once("tkhd", func(b []byte) []byte {
		width := int32(binary.BigEndian.Uint32(b[76:]))
		for i, v := range []int32{-1 << 16, 0, 0, 0, 1 << 16, 0, width, 0, 1 << 30} {
			binary.BigEndian.PutUint32(b[40+4*i:], uint32(v))
		}
		return b
	}))
}

// Float32Tag returns an edit that makes the value of a QuickTime metadata key a
// 32-bit float (type 23), as phones write theirs.
func Float32Tag(key string, value float32) func([]byte) ([]byte, error) {
	return func(film []byte) ([]byte, error) {
		index, found := uint32(0), false
		film, err := walk(film, func(kind string, b []byte) []byte {
			switch kind {
			case "keys":
				for at, n := 8, uint32(1); at+8 <= len(b); n++ {
					size := int(binary.BigEndian.Uint32(b[at:]))
					if string(b[at+8:at+size]) == key {
						index = n
					}
					at += size
				}
			case "ilst":
				var out []byte
				for at := 0; at+8 <= len(b); {
					size := int(binary.BigEndian.Uint32(b[at:]))
					item := b[at : at+size]
					if index != 0 && binary.BigEndian.Uint32(item[4:]) == index {
						found = true
						item = binary.BigEndian.AppendUint32(nil, 8+20)
						item = binary.BigEndian.AppendUint32(item, index)
						item = binary.BigEndian.AppendUint32(item, 20)
						item = append(item, "data"...)
						item = binary.BigEndian.AppendUint32(item, 23)
						item = binary.BigEndian.AppendUint32(item, 0)
						item = binary.BigEndian.AppendUint32(item, math.Float32bits(value))
					}
					out = append(out, item...)
					at += size
				}
				return out
			}
			return b
		})
		if err == nil && !found {
			err = errors.New("no such key: " + key)
		}
		return film, err
	}
}

// DolbyVision notes Dolby Vision profile 8.4, as newer phones do: HLG that an
// ordinary decoder can show.
func DolbyVision(film []byte) ([]byte, error) {
	return walk(film, once("stsd", func(b []byte) []byte {
		const profile, level = 8, 4
		box := []byte{0, 0, 0, 32, 'd', 'v', 'v', 'C', 1, 0}
		box = binary.BigEndian.AppendUint16(box, profile<<9|level<<3|1<<2|1)
		box = append(box, 4<<4)
		box = append(box, make([]byte, 32-len(box))...)
		// One description: its size grows by the box at its end.
		binary.BigEndian.PutUint32(b[8:], binary.BigEndian.Uint32(b[8:])+uint32(len(box)))
		return append(b, box...)
	}))
}
