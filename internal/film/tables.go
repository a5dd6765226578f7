package film

import (
	"encoding/binary"
	"io"
)

// falseTable reports whether a table in an MP4 file's index claims more entries than
// its box has room for (ISO/IEC 14496-12, 8.6 and 8.7). ffprobe believes it, asks the
// system for as much memory, and says that there is too little.
func falseTable(file io.ReadSeeker) bool {
	if _, err := file.Seek(0, io.SeekStart); err != nil {
		return false
	}
	index, err := findIndex(file)
	if err != nil {
		return false
	}
	for _, track := range index.all("trak") {
		samples := track.one("mdia").one("minf").one("stbl")
		for kind, bytes := range map[string]int64{"stts": 8, "ctts": 8, "stsc": 12, "stco": 4, "co64": 8, "stss": 4} {
			for _, table := range samples.all(kind) {
				if table.overfull(4, bytes) {
					return true
				}
			}
		}
		for _, sizes := range samples.all("stsz") {
			if sizes.number(4) == 0 && sizes.overfull(8, 4) { // else all have that one size
				return true
			}
		}
	}
	return false
}

// overfull reports whether the number of entries at an offset, of so many bytes each,
// goes beyond the end of the box.
func (b box) overfull(at int, bytes int64) bool {
	if at+4 > len(b) {
		return false
	}
	return int64(binary.BigEndian.Uint32(b[at:]))*bytes > int64(len(b)-at-4)
}
