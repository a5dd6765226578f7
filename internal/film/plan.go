package film

import (
	"fmt"
	"strconv"

	ffmpeg "github.com/u2takey/ffmpeg-go"

	"tenoff/internal/proc"
)

// Rates of the sound, samples a second.
const (
	workingSound = 48000 // in the working copy
	earSound     = 24000 // to the Ear
)

// The pipes of the decoding pass, by ffmpeg's file descriptor.
const (
	clockPipe = 3 + iota
	grayPipe
	nextPipe // the working copy's and the strip's, if they are made, then the sound's, if there is any
)

// source is the film as the pass decodes it.
type source struct {
	path  string
	cut   Cut  // of this file; Audio -1: no sound is made
	heard bool // nobody listens to the sound: it was heard before
}

// plan returns the arguments with which ffmpeg makes everything in one pass, on the
// pipes: the time of every frame, the gray frames, the working copy, the strip's pictures
// and the sound.
//
// Without a working copy only what traces are measured on is made.
//
// Every output passes frames through as they come: ffmpeg's default would drop and
// double frames of a film whose rate varies.
func plan(f Facts, from source, working bool) (args []string, err error) {
	defer func() { // ffmpeg-go panics on a graph it doesn't like
		if r := recover(); r != nil {
			err = fmt.Errorf("film: graph: %v", r)
		}
	}()
	input := ffmpeg.Input(SafeName(from.path), inputOptions(from.cut.Container))
	branches := upright(f, input.Get(strconv.Itoa(from.cut.Video))).Split()

	var sound *ffmpeg.Stream
	if from.cut.Audio >= 0 {
		sound = input.Get(strconv.Itoa(from.cut.Audio))
	}
	next := nextPipe
	var outputs []*ffmpeg.Stream
	if working {
		streams := []*ffmpeg.Stream{branches.Get("0").Filter("setpts", ffmpeg.Args{"PTS-STARTPTS"})}
		if sound != nil {
			streams = append(streams, sound)
		}
		outputs = append(outputs, ffmpeg.Output(streams, pipe(next), workingOptions(f, from.cut)))
		next++
	}
	outputs = append(outputs,
		// The times come before the frames they belong to.
		branches.Get("1").Output(pipe(clockPipe), ffmpeg.KwArgs{
			"f": "framecrc", "c:v": "wrapped_avframe", "flush_packets": 1,
			"fps_mode": "passthrough", "enc_time_base": fmt.Sprintf("%d:%d", f.Clock.Num, f.Clock.Den),
		}),
		gray(f, branches.Get("2")).Output(pipe(grayPipe), ffmpeg.KwArgs{
			"f": "rawvideo", "pix_fmt": "gray", "fps_mode": "passthrough",
		}))
	if working {
		outputs = append(outputs, strip(f, branches.Get("3")).Output(pipe(next), ffmpeg.KwArgs{
			"f": "mpjpeg", "c:v": "mjpeg", "q:v": 5, "fps_mode": "passthrough",
		}))
		next++
	}
	if sound != nil && !from.heard {
		outputs = append(outputs, sound.Output(pipe(next), ffmpeg.KwArgs{
			"f": "s16le", "ac": 1, "af": soundFilter(f, from.cut, earSound),
		}))
	}
	global := append([]string{"-hide_banner", "-nostdin", "-loglevel", "error", "-y", "-copyts"}, proc.ProgressFlags()...)
	return append(global, ffmpeg.MergeOutputs(outputs...).GetArgs()...), nil
}

func inputOptions(container string) ffmpeg.KwArgs {
	options := ffmpeg.KwArgs{}
	for name, value := range SafeFlags(container) {
		options[name] = value
	}
	return options
}

// upright adds what all pictures have in common: frames whose time does not rise
// are dropped, the size becomes the working copy's, HDR becomes ordinary.
func upright(f Facts, s *ffmpeg.Stream) *ffmpeg.Stream {
	width, height := workingSize(f.Width, f.Height)
	scale := ffmpeg.KwArgs{"w": width, "h": height, "flags": "bicubic"}
	if !f.HDR() {
		scale["out_range"] = "tv"
	}
	s = s.Filter("select", ffmpeg.Args{"gt(pts,prev_selected_pts)+isnan(prev_selected_pts)"}).
		Filter("scale", nil, scale)
	if f.HDR() {
		s = ToneMap(s)
	} else {
		s = s.Filter("format", ffmpeg.Args{"yuv420p"})
	}
	return s.Filter("setsar", ffmpeg.Args{"1"})
}

// alone keeps a filter to one thread: to part a small picture's work costs more than it
// saves.
const alone = 1

func gray(f Facts, s *ffmpeg.Stream) *ffmpeg.Stream {
	width, height := graySize(f.Width, f.Height)
	return s.Filter("scale", nil, ffmpeg.KwArgs{"w": width, "h": height, "flags": "area", "threads": alone}).
		Filter("format", ffmpeg.Args{"gray"})
}

func strip(f Facts, s *ffmpeg.Stream) *ffmpeg.Stream {
	width, height := stripSize(f.Width, f.Height)
	per := 1 / stripEvery(f.Seconds())
	return s.Filter("setpts", ffmpeg.Args{"PTS-STARTPTS"}).
		Filter("fps", nil, ffmpeg.KwArgs{"fps": strconv.FormatFloat(per, 'f', -1, 64), "start_time": 0}).
		Filter("scale", nil, ffmpeg.KwArgs{"w": width, "h": height, "flags": "area", "out_range": "pc", "threads": alone})
}

// soundFilter puts the sound's time 0 at the first shown frame: silence where it
// begins later, trimmed where it begins earlier, gaps filled, and no more of it
// than there are pictures.
func soundFilter(f Facts, cut Cut, rate int) string {
	return fmt.Sprintf("asetpts='PTS-(%d/%d)/TB',aresample=%d:async=1:first_pts=0,atrim=end_sample=%d",
		cut.FirstTick*f.Clock.Num, f.Clock.Den, rate, int64((f.Seconds()+0.1)*float64(rate)))
}

// stretchMicros is how long a stretch of the working copy is, microseconds of the film.
const stretchMicros = 1_000_000

// workingOptions say how the working copy is coded: cheap to make, quick to seek
// in (a key frame every 12, no frame that refers to a later one), its times exact
// to 1/90000 s. It is handed over in stretches, see Growing; that the index of the whole
// waits for the first of them lets it say where the sound begins.
func workingOptions(f Facts, cut Cut) ffmpeg.KwArgs {
	o := ffmpeg.KwArgs{
		"f": "mp4", "movflags": "+empty_moov+delay_moov+default_base_moof", "frag_duration": stretchMicros, "map_metadata": -1, "map_chapters": -1,
		"c:v": "libx264", "preset": "ultrafast", "crf": 26, "g": 12, "bf": 0, "sc_threshold": 0, "pix_fmt": "yuv420p",
		"fps_mode:v": "passthrough", "enc_time_base:v": "1:90000",
		"video_track_timescale": WorkingRate, "movie_timescale": WorkingRate,
	}
	if cut.Audio >= 0 {
		o["c:a"], o["b:a"], o["ac"] = "aac", "96k", 1
		o["af"] = soundFilter(f, cut, workingSound)
		o["max_muxing_queue_size"] = 1 << 16 // sound may begin long after the picture
	}
	return o
}

func pipe(fd int) string { return "pipe:" + strconv.Itoa(fd) }
