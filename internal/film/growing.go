package film

import (
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"sync"

	"tenoff/internal/bullpen"
)

// Growing is a working copy while it is being made. The decoding pass hands it over in
// stretches of about a second, each with its own index (ISO/IEC 14496-12, 8.8); its
// samples go to the disk at once, into the place that they have in the finished file, for
// whose index room is left before them. So a film can be stepped as far as it was read,
// and nothing has to be moved in the end. Its methods may be used by several goroutines.
type Growing struct {
	promised []int64 // WorkingTicks of the clock that the film promises
	begins   func() (tick int64, known bool)
	first    int64  // the tick that is promised for frame 0
	name     string // like no other's

	mu        sync.RWMutex
	file      *os.File // nil once closed
	index     box      // of the whole file, as it is handed over: without samples
	tracks    []*grown
	reserved  int64 // bytes left for the index
	bytes     int64 // of samples, all of them in whole stretches
	stretches []stretch
	astray    bool // its frames are others than were promised

	heads  sync.Mutex // taken with mu held
	latest struct {   // the stretch that was asked for last: a player asks for its pieces one after the other
		frames int
		head   []byte
	}
}

// grown is one track of a Growing.
type grown struct {
	id      uint32
	box     box // the trak's
	picture bool
	sizes   []uint32
	times   []int64 // of decoding, in the track's own ticks
	last    int64   // how long the last sample is shown
	keys    []uint32
	chunks  []chunk
}

// chunk is samples that lie one behind the other.
type chunk struct {
	at int64 // among the samples of the file, bytes
	n  int
}

// stretch is how far everything had come when a stretch was complete.
type stretch struct {
	frames  int
	bytes   int64
	samples []int // of each track
	chunks  []int
	last    []int64
}

// errGrowing says that a stretch is not as the pass makes them.
var errGrowing = errors.New("film: the working copy came in another form")

const (
	kindBytes   = 32 // the file's first box
	spareHead   = 8  // of the box that fills what the index leaves free
	largestMoof = 8 << 20
)

// workingKind is the file's first box: a film as ISO/IEC 14496-12 and -15 describe them.
var workingKind = atom("ftyp", []byte("isom\x00\x00\x02\x00isomiso2avc1mp41"))

// newGrowing begins a working copy of a film in a new file at path. The frames must be
// those that f.Clock promises, or none can be shown before all are there; begins says
// which tick the pass found for the first one.
func newGrowing(f Facts, first int64, path string, begins func() (int64, bool)) (*Growing, error) {
	file, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return nil, err
	}
	g := &Growing{promised: WorkingTicks(f.Clock), begins: begins, first: first, name: rand.Text(), file: file}
	g.reserved = roomForIndex(f)
	return g, nil
}

// roomForIndex is how many bytes the index of a working copy takes at most: a size and a
// time of every sample, and a key frame in twelve; a place of every chunk, of which a
// second has one of picture and one of sound.
func roomForIndex(f Facts) int64 {
	frames, seconds := int64(f.Clock.Frames()), int64(f.Seconds())
	return 4096 + frames*13 + (seconds*47+128)*6 + (seconds*2+64)*20*2
}

// samplesAt is where in the file the samples begin.
func (g *Growing) samplesAt() int64 { return kindBytes + g.reserved + sampleHead }

// take reads the whole working copy as the pass hands it over. grown is told, if it is
// not nil, when another stretch is complete.
func (g *Growing) take(r io.Reader, grown func(*Growing)) error {
	piece := make([]byte, 256<<10)
	var samples int64 // bytes of them that the stretch may have
	var adding *adding
	for {
		kind, length, err := nextBox(r)
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch kind {
		case "moov", "moof":
			if length > largestMoof {
				return errGrowing
			}
			body := make(box, length)
			if _, err := io.ReadFull(r, body); err != nil {
				return err
			}
			if kind == "moov" {
				err = g.begin(body)
			} else {
				adding, err = g.parse(body)
			}
			if err != nil {
				return err
			}
		case "mdat":
			if adding == nil {
				return errGrowing
			}
			to := io.NewOffsetWriter(g.file, g.samplesAt()+g.bytes)
			if samples, err = io.CopyBuffer(to, io.LimitReader(r, length), piece); err != nil {
				return err
			}
			if samples != length {
				return io.ErrUnexpectedEOF
			}
			if err := g.add(adding, samples); err != nil {
				return err
			}
			adding = nil
			if grown != nil {
				grown(g)
			}
		default:
			if _, err := io.CopyN(io.Discard, r, length); err != nil {
				return err
			}
		}
	}
}

// nextBox reads the head of a box and returns its kind and the length of what follows.
func nextBox(r io.Reader) (kind string, length int64, err error) {
	var head [16]byte
	if _, err := io.ReadFull(r, head[:8]); err != nil {
		return "", 0, err
	}
	size := int64(box(head[:]).number(0))
	kind = string(head[4:8])
	if size == 1 {
		if _, err := io.ReadFull(r, head[8:]); err != nil {
			return "", 0, err
		}
		size = int64(box(head[:]).long(8)) - 8
	}
	if size < 8 {
		return "", 0, errGrowing
	}
	return kind, size - 8, nil
}

// long returns the 64-bit number at an offset, 0 beyond the end.
func (b box) long(at int) uint64 { return uint64(b.number(at))<<32 | uint64(b.number(at+4)) }

// begin takes the index of the whole.
func (g *Growing) begin(index box) error {
	g.mu.Lock()
	defer g.mu.Unlock()
	g.index = index
	for _, t := range index.all("trak") {
		handler := string(t.one("mdia").one("hdlr").bytes(8, 4))
		g.tracks = append(g.tracks, &grown{id: t.one("tkhd").number(12), box: t, picture: handler == "vide"})
		if t.one("mdia").one("mdhd").scale() == 0 || handler == "vide" && t.one("mdia").one("mdhd").scale() != WorkingRate {
			return errGrowing
		}
	}
	return nil
}

// adding is the samples of a stretch whose bytes are yet to come.
type adding struct {
	of   []*grown
	from []grown // what each of them gets
}

// parse reads the index of one stretch (8.8.4 and on).
func (g *Growing) parse(moof box) (*adding, error) {
	a := &adding{}
	for _, t := range moof.all("traf") {
		i := slices.IndexFunc(g.tracks, func(x *grown) bool { return x.id == t.one("tfhd").number(4) })
		if i < 0 {
			return nil, errGrowing
		}
		part, err := stretchOf(t, int64(len(moof))+8, g.bytes)
		if err != nil {
			return nil, err
		}
		a.of, a.from = append(a.of, g.tracks[i]), append(a.from, part)
	}
	return a, nil
}

// The flags of the boxes of a stretch that are told from one another (8.8.7, 8.8.8).
const (
	hasBase     = 0x1
	hasEntry    = 0x2
	hasDuration = 0x8
	hasSize     = 0x10
	hasFlags    = 0x20

	runOffset   = 0x1
	runFirst    = 0x4
	runDuration = 0x100
	runSize     = 0x200
	runFlags    = 0x400
	runLater    = 0x800

	notKey = 0x10000
)

// stretchOf reads the samples of one track of a stretch whose index takes so many bytes.
func stretchOf(traf box, indexBytes, before int64) (grown, error) {
	head := traf.one("tfhd")
	flags, at := head.number(0)&0xffffff, 8
	if flags&hasBase != 0 {
		return grown{}, errGrowing
	}
	usual := func(flag uint32) (v uint32) {
		if flags&flag != 0 {
			v, at = head.number(at), at+4
		}
		return v
	}
	usual(hasEntry)
	duration, size, kind := usual(hasDuration), usual(hasSize), usual(hasFlags)
	when := traf.one("tfdt")
	now := int64(when.number(4))
	if len(when) > 0 && when[0] == 1 {
		now = int64(when.long(4))
	}
	var t grown
	for _, run := range traf.all("trun") {
		flags, n, at := run.number(0)&0xffffff, int(run.number(4)), 8
		if flags&runOffset == 0 || flags&runLater != 0 || n > MaxFrames {
			return grown{}, errGrowing // frames are never shown in another order
		}
		from := int64(int32(run.number(at))) - indexBytes - 8
		at += 4
		first, hasFirst := kind, flags&runFirst != 0
		if hasFirst {
			first, at = run.number(at), at+4
		}
		each := func(flag, usual uint32) uint32 {
			if flags&flag != 0 {
				usual, at = run.number(at), at+4
			}
			return usual
		}
		t.chunks = append(t.chunks, chunk{at: before + from, n: n})
		for i := range n {
			if at > len(run) {
				return grown{}, errGrowing
			}
			d, s, k := each(runDuration, duration), each(runSize, size), each(runFlags, kind)
			if i == 0 && hasFirst {
				k = first
			}
			if k&notKey == 0 {
				t.keys = append(t.keys, uint32(len(t.sizes)))
			}
			t.sizes, t.times, t.last = append(t.sizes, s), append(t.times, now), int64(d)
			now += int64(d)
		}
	}
	return t, nil
}

// add notes a stretch whose bytes are on the disk.
func (g *Growing) add(a *adding, bytes int64) error {
	g.mu.Lock()
	defer g.mu.Unlock()
	for i, t := range a.of {
		part := a.from[i]
		for _, c := range part.chunks {
			if c.at < g.bytes || c.at > g.bytes+bytes {
				return errGrowing
			}
		}
		for _, k := range part.keys {
			t.keys = append(t.keys, uint32(len(t.sizes))+k)
		}
		t.sizes, t.times, t.last = append(t.sizes, part.sizes...), append(t.times, part.times...), part.last
		t.chunks = append(t.chunks, part.chunks...)
		if t.picture {
			g.compare(t.times)
		}
	}
	g.bytes += bytes
	s := stretch{bytes: g.bytes}
	for _, t := range g.tracks {
		s.samples, s.chunks, s.last = append(s.samples, len(t.sizes)), append(s.chunks, len(t.chunks)), append(s.last, t.last)
		if t.picture {
			s.frames = len(t.sizes)
		}
	}
	g.stretches = append(g.stretches, s)
	return nil
}

// compare makes sure that the frames so far are those that were promised: marks that are
// set on them count by their indices.
func (g *Growing) compare(times []int64) {
	seen := 0
	if n := len(g.stretches); n > 0 {
		seen = g.stretches[n-1].frames
	}
	if len(times) > len(g.promised) || !slices.Equal(times[seen:], g.promised[seen:len(times)]) {
		g.astray = true
	}
}

// Frames returns how many frames can be shown so far, those from the first on.
func (g *Growing) Frames() int {
	g.mu.RLock()
	defer g.mu.RUnlock()
	if n := len(g.stretches); n > 0 && !g.astray && g.file != nil {
		if g.begun() {
			return g.stretches[n-1].frames
		}
	}
	return 0
}

// begun reports whether the pass found the first frame that was promised; the stretches
// may be there before it knows.
func (g *Growing) begun() bool {
	tick, known := g.begins()
	return known && tick == g.first
}

// Opened returns the working copy as it is with the first frames alone, of which there
// must have been so many at some time, see Frames. What it says never changes.
func (g *Growing) Opened(frames int) (*Opened, error) {
	g.mu.RLock()
	defer g.mu.RUnlock()
	i := slices.IndexFunc(g.stretches, func(s stretch) bool { return s.frames == frames })
	if i < 0 || g.file == nil || g.astray || !g.begun() {
		return nil, bullpen.Errorf(bullpen.NotFound, "This film was not read as far as that; load the page again.")
	}
	s := g.stretches[i]
	head := g.headOf(s)
	if head == nil {
		return nil, bullpen.Errorf(bullpen.Unavailable, "This film can be shown only once it was read; wait until it is ready.")
	}
	return &Opened{
		Times: g.promised[:frames], head: head, from: g,
		parts: []part{{from: g.samplesAt(), length: s.bytes}}, size: int64(len(head)) + s.bytes,
		key: fmt.Sprintf("%s.%d", g.name, frames),
	}, nil
}

// ReadAt is io.ReaderAt's, of the file as far as it is there.
func (g *Growing) ReadAt(p []byte, at int64) (int, error) {
	g.mu.RLock()
	defer g.mu.RUnlock()
	if g.file == nil {
		return 0, bullpen.Errorf(bullpen.Unavailable, "This film was read meanwhile; load the page again.")
	}
	return g.file.ReadAt(p, at)
}

// finish writes the index of the whole file before its samples, or behind them if it is
// larger than was thought.
func (g *Growing) finish() error {
	g.mu.Lock()
	defer g.mu.Unlock()
	if len(g.stretches) == 0 {
		return errGrowing
	}
	s := g.stretches[len(g.stretches)-1]
	head := g.head(s)
	if head == nil {
		head = slices.Concat(workingKind, g.spare(g.reserved), boxHead("mdat", s.bytes))
		if _, err := g.file.WriteAt(g.written(s), g.samplesAt()+s.bytes); err != nil {
			return err
		}
	}
	_, err := g.file.WriteAt(head, 0)
	return err
}

// Close ends it: nothing can be read from it any more.
func (g *Growing) Close() error {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.file == nil {
		return nil
	}
	err := g.file.Close()
	g.file = nil
	return err
}

// headOf is head, which is not made anew for whoever asks for the same stretch again. It must
// not be changed.
func (g *Growing) headOf(s stretch) []byte {
	g.heads.Lock()
	defer g.heads.Unlock()
	if g.latest.head == nil || g.latest.frames != s.frames {
		g.latest.frames, g.latest.head = s.frames, g.head(s)
	}
	return g.latest.head
}

// head returns what comes before the samples of a file that ends with a stretch; nil if
// it has more room than was left for it.
func (g *Growing) head(s stretch) []byte {
	index := g.written(s)
	free := g.reserved - int64(len(index))
	if free < spareHead {
		return nil
	}
	return slices.Concat(workingKind, index, g.spare(free), boxHead("mdat", s.bytes))
}

// spare returns a box of so many bytes with nothing in it (8.1.2).
func (g *Growing) spare(bytes int64) []byte { return atom("free", make([]byte, bytes-spareHead)) }

// written returns the index of a file that ends with a stretch.
func (g *Growing) written(s stretch) []byte {
	var longest int64 // in the film's own ticks, as its header counts
	scale := int64(g.index.one("mvhd").number(12))
	traks := make([][]byte, len(g.tracks))
	for i, t := range g.tracks {
		var length int64
		traks[i], length = t.written(s.samples[i], s.chunks[i], s.last[i], scale, g.samplesAt())
		longest = max(longest, length)
	}
	head := timed(undated(g.index.one("mvhd")), 16, longest)
	return atom("moov", append([][]byte{atom("mvhd", head)}, traks...)...)
}
