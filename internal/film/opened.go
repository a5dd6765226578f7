package film

import (
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"slices"
	"sort"

	"tenoff/internal/bullpen"
)

// Opened is a film as a browser can step through it before it was read: the
// original's own pictures and sound, as they are coded, behind an index with nothing
// else in it, neither place nor date. Nothing is copied: its bytes are taken from the
// original as they are asked for.
type Opened struct {
	// Times are when the frames are shown, ticks of 1/WorkingRate s, rising; the
	// first is 0 or a little later.
	Times []int64

	head  []byte // all that comes before the samples
	parts []part
	size  int64
	from  io.ReaderAt
	key   string
}

// part is a stretch of the original, and where it lies among the samples.
type part struct{ at, from, length int64 }

// errNotPlain says that a film is not one that can be opened before it was read.
var errNotPlain = errors.New("film: can't be opened as it is")

func notPlain(format string, args ...any) error {
	return fmt.Errorf("%w: %s", errNotPlain, fmt.Sprintf(format, args...))
}

// Open opens a film in MP4 or QuickTime of size bytes, whose pictures browsers play as
// they are coded (see Facts.Plays). It fails on one whose index hides frames, or has
// another shape than phones give it; such a film is shown once it was read.
func Open(from io.ReaderAt, size int64) (*Opened, error) {
	file := io.NewSectionReader(from, 0, size)
	index, err := findIndex(file)
	if err != nil {
		return nil, err
	}
	picture, err := trackOf(index, "vide", "avc1")
	if err != nil {
		return nil, err
	}
	o := &Opened{from: from}
	if o.Times, err = picture.shown(); err != nil {
		return nil, err
	}
	tracks := []*track{picture}
	if sound, err := trackOf(index, "soun", "mp4a"); err == nil {
		tracks = append(tracks, sound)
	}
	if err := o.lay(tracks, size); err != nil {
		return nil, err
	}
	kind, err := firstBox(from)
	if err != nil {
		return nil, err
	}
	// Places are counted from the file's beginning, so that they are known only once
	// the index's length is.
	before := len(kind) + len(written(index, tracks, 0)) + sampleHead
	o.head = slices.Concat(kind, written(index, tracks, int64(before)), boxHead("mdat", o.size))
	o.size += int64(len(o.head))
	return o, nil
}

// lay puts the tracks' chunks one behind the other, in the order in which they lie in
// the original of size bytes.
func (o *Opened) lay(tracks []*track, size int64) error {
	type place struct {
		of   *track
		i    int
		from int64
	}
	var all []place
	for _, t := range tracks {
		if err := t.findChunks(); err != nil {
			return err
		}
		for i, c := range t.chunks {
			all = append(all, place{t, i, c.from})
		}
	}
	sort.SliceStable(all, func(a, b int) bool { return all[a].from < all[b].from })
	for _, p := range all {
		c := &p.of.chunks[p.i]
		if c.from < 0 || c.length < 0 || c.from > size-c.length || o.size+c.length > size {
			return notPlain("samples lie outside the file, or in it twice")
		}
		c.at = o.size
		o.size += c.length
		if n := len(o.parts); n > 0 && o.parts[n-1].from+o.parts[n-1].length == c.from {
			o.parts[n-1].length += c.length
			continue
		}
		o.parts = append(o.parts, *c)
	}
	return nil
}

// Keeps reports whether its frames are those of a clock, each at its time.
func (o *Opened) Keeps(c bullpen.Clock) bool {
	return slices.Equal(fromZero(o.Times), WorkingTicks(c))
}

// Key names its very bytes: another time it is asked for they are the same, or another key
// is given. It is "" for an original, whose own key says that.
func (o *Opened) Key() string { return o.key }

// Size returns its length in bytes.
func (o *Opened) Size() int64 { return o.size }

// Reader reads it from its beginning.
func (o *Opened) Reader() io.ReadSeeker { return io.NewSectionReader(o, 0, o.size) }

// ReadAt is io.ReaderAt's.
func (o *Opened) ReadAt(p []byte, at int64) (n int, err error) {
	if at < 0 {
		return 0, errors.New("film: read before the beginning")
	}
	if at < int64(len(o.head)) {
		n = copy(p, o.head[at:])
	}
	for n < len(p) {
		in := at + int64(n) - int64(len(o.head)) // among the samples
		i := sort.Search(len(o.parts), func(i int) bool { return o.parts[i].at+o.parts[i].length > in })
		if i == len(o.parts) {
			return n, io.EOF
		}
		q := o.parts[i]
		want := min(int64(len(p)-n), q.at+q.length-in)
		got, err := o.from.ReadAt(p[n:n+int(want)], q.from+in-q.at)
		n += got
		if int64(got) < want {
			return n, errors.Join(err, io.ErrUnexpectedEOF)
		}
	}
	return n, nil
}

// sampleHead is the length of the head of the box with the samples.
const sampleHead = 16

// boxHead returns the head of a box that holds length bytes, however many.
func boxHead(kind string, length int64) []byte {
	head := append([]byte{0, 0, 0, 1}, kind...)
	return binary.BigEndian.AppendUint64(head, uint64(length+sampleHead))
}

// firstBox returns the first box of the file, which says what kind it is, whole; a
// QuickTime file may have none.
func firstBox(from io.ReaderAt) ([]byte, error) {
	head := make([]byte, 8)
	if _, err := from.ReadAt(head, 0); err != nil {
		return nil, err
	}
	length := binary.BigEndian.Uint32(head)
	if string(head[4:]) != "ftyp" {
		return atom("ftyp", []byte("qt  \x00\x00\x00\x00qt  ")), nil
	}
	if length < 16 || length > 1024 {
		return nil, notPlain("its first box has %d bytes", length)
	}
	box := make([]byte, length)
	_, err := from.ReadAt(box, 0)
	return box, err
}
