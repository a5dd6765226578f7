package film

import (
	"context"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"

	"tenoff/internal/bullpen"
	"tenoff/internal/proc"
)

// Probe reads what the file at path says of itself, and refuses what is not a
// film that can be used with a *bullpen.Error of code Refused: one sentence that
// calls the file name ("" is path's last part). It decodes nothing. A film that could
// not be looked at for another reason is Unavailable.
func Probe(ctx context.Context, path, name string) (Facts, error) {
	if name == "" {
		name = filepath.Base(path)
	}
	f := Facts{Name: name}
	if err := f.look(path); err != nil {
		return Facts{}, err
	}
	if err := f.ask(ctx, path); err != nil {
		return Facts{}, err
	}
	return f, nil
}

// look learns from the file's own bytes what it is and whether all of it is
// there.
func (f *Facts) look(path string) error {
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	if !info.Mode().IsRegular() {
		return refused(f.Name, "is not a file.")
	}
	f.Bytes = info.Size()
	head := make([]byte, sniffSize)
	n, err := io.ReadFull(file, head)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, io.ErrUnexpectedEOF) {
		return err
	}
	var why string
	if f.Container, why = sniff(head[:n]); why != "" {
		return refused(f.Name, "%s", why)
	}
	if f.Container != mov {
		lacks, err := missing(file, f.Container, f.Bytes)
		if err == nil && lacks > 0 {
			err = f.lacking(lacks)
		}
		return err
	}
	w, err := whole(file, f.Bytes)
	switch {
	case err != nil:
		return err
	case w.lacks > 0:
		return f.lacking(w.lacks)
	case !w.index:
		return refused(f.Name, "is cut off: its end, which says where the pictures are, did not arrive. Copy it from the phone again.")
	}
	return nil
}

// lacking refuses a film of which so many bytes are missing.
func (f *Facts) lacking(bytes int64) error {
	return refused(f.Name, "is cut off: %.1f MB of it did not arrive. Copy it from the phone again.", max(float64(bytes)/1e6, 0.1))
}

// ask learns from ffprobe what is in the file at path, whose Container is known.
func (f *Facts) ask(ctx context.Context, path string) error {
	r, said, err := inspect(ctx, path, f.Container)
	if m := tooLarge.FindStringSubmatch(said); m != nil {
		width, _ := strconv.Atoi(m[1])
		height, _ := strconv.Atoi(m[2])
		return f.badSize(width, height)
	}
	switch {
	case errors.Is(err, errTooMany):
		return refused(f.Name, "has more than %d frames: cut it into shorter films and send those.", MaxFrames)
	case errors.Is(err, errFlood):
		return because(refused(f.Name, "is no film that a camera makes: it has more than %d million pieces of picture, sound and the rest. Send the film as the phone made it.",
			maxPackets/1_000_000), err)
	}
	if exit, failed := errors.AsType[*proc.ExitError](err); failed && exit.Code > 0 && corrupt(said) {
		return damaged(f.Name, err)
	}
	if err != nil {
		if refusal := f.unbearable(ctx, path, err); refusal != nil {
			return refusal
		}
		return blame(ctx, f.Name, err)
	}
	picture, ok := r.picture()
	sound, hasSound := r.sound()
	num, den, based := ratio(picture.TimeBase)
	switch {
	case !ok && hasSound:
		return refused(f.Name, "has sound but no picture.")
	case !ok:
		return refused(f.Name, "has no picture.")
	case !picture.known() || !based:
		return refused(f.Name, "is coded in a way that can't be read here. Send it as MP4 (H.264).")
	}
	f.Width, f.Height = picture.shown()
	if err := f.badSize(f.Width, f.Height); err != nil {
		return err
	}
	f.Codec, f.Transfer = picture.Codec, picture.transfer()
	f.Plays = f.Container == mov && picture.plays()
	f.HasSound = hasSound
	f.Recorded = recorded(r.Format.Tags, picture.Tags)
	if promised := max(number(picture.Duration), number(r.Format.Duration)); promised > MaxSeconds {
		return f.tooLong(promised)
	}
	t := r.tables[picture.Index]
	if t == nil || len(t.ticks) < minFrames {
		return refused(f.Name, "has no moving picture.")
	}
	f.stated = t.stated
	f.Clock = bullpen.Clock{Num: num, Den: den, Ticks: fromZero(t.ticks), Slow: 1}
	if s := f.Seconds(); s > MaxSeconds {
		return f.tooLong(s)
	}
	if err := f.hollow(); err != nil {
		return err
	}
	f.Clock.Slow, f.SlowKnown = slowness(f.Clock, r.Format.Tags)
	f.Cut = Cut{Container: f.Container, Video: picture.Index, Audio: -1, FirstTick: t.ticks[0], Start: number(r.Format.Start)}
	if hasSound {
		f.Cut.Audio = sound.Index
	}
	return f.cutOff(number(picture.Duration))
}

// unbearable refuses a film for which ffprobe found no memory, if that lies in the
// film: it has more streams than are opened, or a table that is not true.
func (f *Facts) unbearable(ctx context.Context, path string, err error) error {
	if !proc.Said(err, noMemory) {
		return nil
	}
	if n := streamsIn(ctx, path, f.Container); n > maxStreams {
		return because(refused(f.Name, "has %d tracks of picture, sound and the rest, and %d is the most that can be read. Send the film as the phone made it.", n, maxStreams), err)
	}
	file, open := os.Open(path)
	if open != nil {
		return nil
	}
	defer file.Close()
	if f.Container == mov && falseTable(file) {
		return because(refused(f.Name, "is damaged: its index of where the pictures are is not true. Copy it from the phone again."), err)
	}
	return nil
}

// badSize refuses a picture of absurd size.
func (f *Facts) badSize(width, height int) error {
	long, short := max(width, height), min(width, height)
	switch {
	case short <= 0:
		return refused(f.Name, "does not say how large its picture is.")
	case long > MaxPixels/short:
		return refused(f.Name, "is %d by %d pixels, more than 4K: film in 4K or less.", width, height)
	case short < minSide:
		return refused(f.Name, "is %d by %d pixels, too small to see anything on.", width, height)
	case long > maxAspect*short:
		return refused(f.Name, "is %d by %d pixels, a shape that no phone films in.", width, height)
	}
	return nil
}

func (f *Facts) tooLong(s float64) error {
	return refused(f.Name, "plays %.1f hours, more than %d: cut it into shorter films and send those.", s/3600, MaxSeconds/3600)
}

// cutOff refuses a film whose packets end well before the length that it
// promises in seconds, 0 if it promises none.
func (f *Facts) cutOff(promised float64) error {
	if there := f.Seconds(); promised-there > max(1, 0.03*promised) {
		return refused(f.Name, "is cut off: only %.0f of its %.0f seconds arrived. Copy it from the phone again.", math.Floor(there), promised)
	}
	return nil
}

// fromZero returns ticks counted from the first.
func fromZero(ticks []int64) []int64 {
	out := make([]int64, len(ticks))
	for i, t := range ticks {
		out[i] = t - ticks[0]
	}
	return out
}
