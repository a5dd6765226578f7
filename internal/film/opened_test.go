package film

import (
	"bytes"
	"errors"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"tenoff/internal/film/filmtest"
)

// opens says of each kind of film that is coded as browsers play it whether it can be
// stepped before it was read.
var opens = map[string]bool{
	"rate-24-1.mp4": true, "rate-25-1.mp4": true, "rate-30000-1001.mp4": true, "rate-60000-1001.mp4": true,
	"rate-60-1.mp4": true, "rate-120-1.mp4": true, "rate-240-1.mp4": true, "usual.mp4": true,
	"vary-600.mov": true, "vary-90000.mp4": true, "low-light.mp4": true,
	"turned-90.mp4": true, "turned-180.mp4": true, "turned-270.mov": true, "mirrored.mp4": true,
	"slowed.mp4": true, "slowed-float.mp4": true, "not-slowed.mp4": true, "sound-late.mp4": true,
	"upright.mp4": true, "large.mp4": true, "noted.mov": true,

	"picture-late.mp4": false, // its edit list holds the picture back
	"trimmed.mp4":      false, // and this one hides frames
}

// TestOpened compares the film as it can be stepped at once with the original: the
// same packets at the same times, as ffmpeg's own demuxer finds them, the numbers on
// its frames those of the clock, and nothing of what the phone noted.
func TestOpened(t *testing.T) {
	for _, k := range kinds() {
		t.Run(k.Name, func(t *testing.T) {
			t.Parallel()
			path := films.Path(t, k.Name)
			facts, err := Probe(t.Context(), path, "")
			if err != nil {
				t.Fatal(err)
			}
			want, plays := opens[k.Name]
			if facts.Plays != plays {
				t.Fatalf("plays %v, want %v", facts.Plays, plays)
			}
			if !plays {
				return
			}
			film := contents(t, path)
			o, err := Open(bytes.NewReader(film), int64(len(film)))
			if (err == nil) != want || err != nil && !errors.Is(err, errNotPlain) {
				t.Fatalf("opens: %v, want %v", err, want)
			}
			if err != nil {
				return
			}
			if d := cmp.Diff(WorkingTicks(facts.Clock), fromZero(o.Times)); d != "" {
				t.Errorf("its frames lie elsewhere than the clock's (-clock +film):\n%s", d)
			}
			got, err := io.ReadAll(o.Reader())
			if err != nil || int64(len(got)) != o.Size() {
				t.Fatalf("%d of %d bytes: %v", len(got), o.Size(), err)
			}
			out := filepath.Join(t.TempDir(), "opened.mp4")
			if err := os.WriteFile(out, got, 0o600); err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(packetsOf(t, path), packetsOf(t, out)); d != "" {
				t.Errorf("other packets (-original +film):\n%s", d)
			}
			numbers, err := filmtest.Numbers(t.Context(), filmtest.Reading{Path: out, Width: k.storedWidth(), Height: k.storedHeight(), Undo: k.undo})
			if err != nil {
				t.Fatal(err)
			}
			for i, n := range numbers[0] {
				if n != k.first+i {
					t.Fatalf("frame %d shows number %d", i, n)
				}
			}
			if len(numbers[0]) != facts.Clock.Frames() {
				t.Errorf("%d frames, want %d", len(numbers[0]), facts.Clock.Frames())
			}
			for _, secret := range []string{"com.apple", "com.android", "creation", "Lavf", "udta", "meta", "loci"} {
				if bytes.Contains(o.head, []byte(secret)) {
					t.Errorf("its index says %q", secret)
				}
			}
		})
	}
}

func (k kind) storedWidth() int {
	if k.Width > 0 {
		return k.Width
	}
	return 320
}

func (k kind) storedHeight() int {
	if k.Height > 0 {
		return k.Height
	}
	return 180
}

// packetsOf lists the picture's and the sound's packets of a film, with their times and
// their checksums, as ffprobe finds them.
func packetsOf(t *testing.T, path string) []string {
	t.Helper()
	out, err := exec.CommandContext(t.Context(), "ffprobe", "-loglevel", "error", "-show_data_hash", "md5", "-show_entries",
		"packet=codec_type,pts,dts,flags,data_hash", "-of", "csv=p=0", path).Output()
	if err != nil {
		t.Fatal(err)
	}
	lines := slices.Collect(strings.Lines(string(out)))
	slices.Sort(lines) // chunks may be read in another order
	return lines
}

// TestOpenedLargeFilm reads a film by pieces from anywhere.
func TestOpenedByPieces(t *testing.T) {
	film := contents(t, films.Path(t, "usual.mp4"))
	o, err := Open(bytes.NewReader(film), int64(len(film)))
	if err != nil {
		t.Fatal(err)
	}
	all, err := io.ReadAll(o.Reader())
	if err != nil {
		t.Fatal(err)
	}
	for at := int64(0); at < o.Size(); at += 97 {
		for _, n := range []int{1, 10, 5000} {
			got := make([]byte, n)
			m, err := o.ReadAt(got, at)
			if want := all[at:min(at+int64(n), o.Size())]; !bytes.Equal(got[:m], want) || m < n != errors.Is(err, io.EOF) {
				t.Fatalf("%d bytes at %d: %d, %v", n, at, m, err)
			}
		}
	}
}

// tiny is the smallest film that has every box that Open reads.
func tiny(t testing.TB) []byte {
	t.Helper()
	path, err := filmtest.Recipe{Name: "a.mp4", Frames: 4, Width: 32, Height: 32, Sound: true}.Make(t.Context(), t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	film, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return film
}

// opensOrNot opens what may be damaged: it is refused, or read to its end and no longer
// than what there is.
func opensOrNot(t *testing.T, film []byte) (opened bool) {
	t.Helper()
	o, err := Open(bytes.NewReader(film), int64(len(film)))
	if err != nil {
		return false
	}
	n, err := io.Copy(io.Discard, o.Reader())
	if err != nil || n != o.Size() || n > 2*int64(len(film))+4096 {
		t.Errorf("%d bytes of %d, from %d: %v", n, o.Size(), len(film), err)
	}
	return true
}

// Films damaged at random, thousands of them: the fuzzing engine comes to a few hundred a
// minute on a busy machine.
func TestDamagedFilmsAreReadOrRefused(t *testing.T) {
	film := tiny(t)
	index := bytes.Index(film, []byte("moov"))
	random := rand.New(rand.NewPCG(7, 20))
	opened := 0
	const damaged = 5000
	for range damaged {
		hurt := bytes.Clone(film)
		for range 1 + random.IntN(4) {
			at := index + random.IntN(len(hurt)-index) // the index's boxes lie at the end
			switch random.IntN(4) {
			case 0:
				hurt[at] = byte(random.Uint32())
			case 1:
				copy(hurt[at:], "\xff\xff\xff\xff")
			case 2:
				copy(hurt[at:], "\x00\x00\x00\x08")
			case 3:
				copy(hurt[at:], hurt[index+random.IntN(len(hurt)-index):])
			}
		}
		if random.IntN(8) == 0 {
			hurt = hurt[:index+random.IntN(len(hurt)-index)]
		}
		if opensOrNot(t, hurt) {
			opened++
		}
	}
	if opened < damaged/20 || opened > damaged*19/20 {
		t.Errorf("%d of %d opened: the damage shows nothing", opened, damaged)
	}
}

// FuzzOpen opens damaged films: none brings the program down, and none is longer than
// what there is.
func FuzzOpen(f *testing.F) {
	film := tiny(f)
	f.Add(film)
	for _, kind := range []string{"stts", "stsc", "stsz", "stco", "elst", "mdhd", "stsd", "tkhd", "trak", "ctts"} {
		if at := bytes.Index(film, []byte(kind)); at > 0 {
			for by := range 6 {
				damaged := bytes.Clone(film)
				copy(damaged[at+4+4*by:], "\xff\xff\xff\xff")
				f.Add(damaged)
				copy(damaged[at-4:], "\x00\x00\x00\x08")
				f.Add(damaged)
			}
		}
	}
	f.Fuzz(func(t *testing.T, film []byte) { opensOrNot(t, film) })
}
