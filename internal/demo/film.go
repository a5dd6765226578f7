package demo

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"tenoff/internal/bullpen"
	"tenoff/internal/demo/paint"
	"tenoff/internal/demo/sound"
	"tenoff/internal/proc"
)

// Write draws the whole film and encodes it into path: H.264 and AAC, QuickTime if
// its name ends in .mov, else MP4. path appears only when complete.
func (t *Take) Write(ctx context.Context, path string) error {
	part := path + ".part"
	defer os.Remove(part) // gone already if all went well
	_, err := proc.Run(ctx, proc.Cmd{
		Name: "ffmpeg",
		Args: t.arguments(filepath.Ext(path), part),
		// Pictures come by the megabyte: glibc should keep the room of one for the
		// next, not ask the kernel each time (a sixth of the whole time).
		Env: []string{"MALLOC_MMAP_THRESHOLD_=268435456", "MALLOC_TRIM_THRESHOLD_=268435456"},
		Pipes: []proc.Pipe{
			{Write: func(w io.Writer) error { return t.pour(ctx, w) }},
			{Write: t.pourSound},
		},
	})
	if err != nil {
		return failed(err)
	}
	if t.o.Rotation != 0 {
		if err := turn(part, t.o.Rotation); err != nil {
			return failed(err)
		}
	}
	if err := os.Rename(part, path); err != nil {
		return failed(err)
	}
	return nil
}

func failed(err error) error {
	if missing, ok := errors.AsType[*proc.MissingError](err); ok {
		return &bullpen.Error{Code: bullpen.Unavailable, Message: missing.Error()}
	}
	return &bullpen.Error{Code: bullpen.Internal, Message: "The demo's film could not be made.", Err: err}
}

// pour writes all pictures, one after the other.
func (t *Take) pour(ctx context.Context, w io.Writer) error {
	s := t.stage(t.o.Width, t.o.Height, 1, false)
	return t.each(ctx, s, whole, func(_ int, c *paint.Canvas) error {
		_, err := w.Write(c.Bytes())
		return err
	})
}

func (t *Take) pourSound(w io.Writer) error {
	var b bytes.Buffer
	if err := binary.Write(&b, binary.LittleEndian, t.Sound(sound.Rate)); err != nil {
		return err
	}
	_, err := w.Write(b.Bytes())
	return err
}

// arguments returns ffmpeg's: pictures from descriptor 3, sound from 4.
func (t *Take) arguments(ext, out string) []string {
	o := t.o
	rate := strconv.FormatInt(o.Pace.TickRate, 10)
	a := []string{"-hide_banner", "-nostdin", "-loglevel", "error", "-y",
		"-f", "rawvideo", "-pix_fmt", "yuv420p", "-video_size", fmt.Sprintf("%dx%d", o.Width, o.Height), "-i", "pipe:3"}
	if !o.Sound.Off {
		a = append(a, "-f", "s16le", "-ar", strconv.Itoa(sound.Rate), "-ac", "1", "-i", "pipe:4")
	}
	a = append(a, "-map", "0:v", "-vf", t.filters(),
		"-c:v", "libx264", "-preset", o.preset(), "-crf", "24", "-bf", "0", "-pix_fmt", "yuv420p",
		"-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709", "-color_range", "tv",
		"-fps_mode", "passthrough", "-enc_time_base", "1/"+rate, "-video_track_timescale", rate)
	if !o.Sound.Off {
		a = append(a, "-map", "1:a", "-c:a", "aac", "-b:a", "96k")
	}
	format := "mp4"
	if strings.EqualFold(ext, ".mov") {
		format = "mov"
	}
	return append(append(a, t.metadata(format)...), "-f", format, out)
}

// preset trades bytes for time: a big film should not keep anybody waiting.
func (o Options) preset() string {
	if o.Width*o.Height > 640*480 {
		return "ultrafast"
	}
	return "veryfast"
}

// filters gives every picture its time, by the formula of Pace.Ticks, and turns
// it as it is to be stored.
func (t *Take) filters() string {
	p, slow := t.o.Pace, int64(t.o.Slow)
	expr := fmt.Sprintf("%d*(%d*N+%d*mod(7*N,4)", slow, p.Step, p.Swing)
	if p.StallEvery > 0 {
		expr += fmt.Sprintf("+%d*floor(N/%d)", p.Stall, p.StallEvery)
	}
	expr += fmt.Sprintf("+%d*max(0,N-%d))", p.Late, p.LateFrom)
	f := fmt.Sprintf("settb=1/%d,setpts='%s'", p.TickRate, expr)
	switch t.o.Rotation {
	case 90:
		f += ",transpose=cclock"
	case 180:
		f += ",hflip,vflip"
	case 270:
		f += ",transpose=clock"
	}
	return f
}

// metadata returns the tags that phones write: with Options.Tags a time and a
// place in mid-ocean, with Options.SlowTag the rate of capture.
func (t *Take) metadata(format string) []string {
	var a []string
	tag := func(key, value string) { a = append(a, "-metadata", key+"="+value) }
	if t.o.Tags {
		tag("creation_time", "2026-04-11T17:12:13Z")
		if format == "mov" {
			tag("com.apple.quicktime.creationdate", "2026-04-11T10:12:13-0700")
			tag("com.apple.quicktime.location.ISO6709", "+10.0000-150.0000+000.000/")
			tag("com.apple.quicktime.make", "Nobody")
			tag("com.apple.quicktime.model", "Drawn")
			a = append(a, "-movflags", "use_metadata_tags")
		} else {
			tag("location", "+10.0000-150.0000/")
			tag("location-eng", "+10.0000-150.0000/")
		}
	}
	if t.o.SlowTag && t.o.Slow > 1 {
		tag("com.android.version", "14")
		tag("com.android.capture.fps", strconv.FormatFloat(t.o.Pace.rate(), 'f', 6, 64))
		a = append(a, "-movflags", "use_metadata_tags")
	}
	return a
}
