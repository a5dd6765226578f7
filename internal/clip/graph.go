package clip

import (
	"fmt"
	"strconv"
	"strings"

	ff "github.com/u2takey/ffmpeg-go"

	"tenoff/internal/film"
)

// picture is a stream of frames under construction. The graph library escapes
// what it is given for the graph's grammar but not for the filters' own: every
// value here is a number or a name of ours.
type picture struct{ *ff.Stream }

func (p picture) then(filter string, args ...string) picture {
	return picture{p.Filter(filter, ff.Args{strings.Join(args, ":")})}
}

// input opens a source so that decoding starts shortly before frame first. again
// says that the clip reads the same film twice, each at its own pace.
func (s Source) input(first int, again bool) *ff.Stream {
	kw := ff.KwArgs{"noaccurate_seek": "", "seek_timestamp": "1"}
	for k, v := range film.SafeFlags(s.Cut.Container) {
		kw[k] = v
	}
	if again {
		kw["thread_queue_size"] = "9" // one more than usual: what is the same in all options becomes one input
	}
	// Seeks land on a key frame at or before the wanted time, by decoding order
	// in some containers: half a second more is ahead of any reordering.
	if from := float64(s.ticks(first))/rate - 0.5; s.ticks(first)-s.ticks(0) > rate {
		kw["ss"] = strconv.FormatFloat(from, 'f', 6, 64)
	}
	return ff.Input(film.SafeName(s.Path), kw)
}

// stretch says which frames of a film are shown when.
type stretch struct {
	timeline
	first, last int   // frames of the film
	start       int64 // tick of the clip at which the first one is shown: it may be due before or after
	clone       int64 // the last frame is shown again at this tick; 0: it is not
}

// pick takes exactly the frames of the stretch, each at its tick of the clip.
func (x stretch) pick(in *ff.Stream) picture {
	s := x.source
	p := picture{in.Get(itoa(int64(s.Cut.Video)))}.
		then("trim", fmt.Sprintf("start_pts=%d", s.containerTick(x.first)), fmt.Sprintf("end_pts=%d", s.containerTick(x.last)+1))
	if x.clone != 0 {
		p = p.then("tpad", "stop=1", "stop_mode=clone")
	}
	due := fmt.Sprintf("%d+round((PTS-%d)*%s)", x.at, s.ticks(x.release), float(x.factor))
	if x.clone != 0 {
		due = fmt.Sprintf("if(eq(N,%d),%d,%s)", x.last-x.first+1, x.clone, due)
	}
	if x.first != x.release {
		due = fmt.Sprintf("if(eq(N,0),%d,%s)", x.start, due)
	}
	return p.then("settb", "1/"+strconv.Itoa(rate)).then("setpts", due)
}

// thin keeps the last frame due by each beat of the given rate, from beat 0 on,
// and shows it on the beat: a frame due on a beat is always kept. Frames are
// repeated where there are fewer.
func (p picture) thin(fps int) picture {
	return p.then("fps", "fps="+strconv.Itoa(fps), "start_time=0", "round=up")
}

// fit scales to w x h and brings a film of a wider range of light into the ordinary
// one, by the same curve as the film room's copy of it.
func (p picture) fit(s Source, w, h int) picture {
	p = p.then("scale", fmt.Sprintf("w=%d", w), fmt.Sprintf("h=%d", h), "flags=bicubic")
	if s.HDR {
		p = picture{film.ToneMap(p.Stream)}
	}
	return p.then("format", "yuv420p").then("setsar", "1")
}

// caption adds the bar and burns the captions in. The renderer is shown every
// frame later than it is by caption.ASSDelay.
func (p picture) caption(z size) picture {
	delay := strconv.Itoa(captionDelay)
	return p.then("pad", "w=iw", fmt.Sprintf("h=ih+%d", z.bar.Height), "x=0", "y=0", "color=black").
		then("settb", "1/"+strconv.Itoa(rate)).
		then("setpts", "PTS+"+delay).
		then("ass", "filename="+captionsName, "fontsdir="+fontsDir).
		then("setpts", "PTS-"+delay)
}

// output ends a graph. video is encoded for any phone; of the films' own
// metadata nothing is kept: no place, no device, no time of recording.
func output(streams ...*ff.Stream) []string {
	kw := ff.KwArgs{
		"c:v": "libx264", "preset": "veryfast", "crf": "21", "profile:v": "high", "pix_fmt": "yuv420p", "g": "60",
		// Frames keep their times, and setts only says how long the last one lasts: newer
		// ffmpegs refuse a rate (-r) beside passthrough.
		"fps_mode": "passthrough", "bsf:v": fmt.Sprintf("setts=pts=PTS:dts=DTS:duration=%d", rate/60), "enc_time_base:v": "1/90000", "video_track_timescale": "90000",
		"map_metadata": "-1", "map_chapters": "-1", "dn": "", "sn": "",
		"fflags": "+bitexact", "flags:v": "+bitexact", "movflags": "+faststart",
		"f": "mp4",
	}
	if len(streams) > 1 {
		kw["c:a"], kw["b:a"], kw["ac"], kw["flags:a"] = "aac", "128k", "2", "+bitexact"
	}
	args := ff.Output(streams, outputName, kw).GetArgs()
	return args[:len(args)-1]
}

// outputName stands for the output until the run gives it its own.
const outputName = "clip.mp4"

// float writes v so that it reads back as the same number.
func float(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
