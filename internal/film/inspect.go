package film

import (
	"context"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"

	"tenoff/internal/proc"
)

// report is what ffprobe says of a file.
type report struct {
	Streams []stream
	Format  struct {
		Start    string            `json:"start_time"`
		Duration string            `json:"duration"`
		Tags     map[string]string `json:"tags"`
	}
	tables map[int]*table // of each stream, by its index
}

// stream is what ffprobe says of one stream.
type stream struct {
	Index       int               `json:"index"`
	Kind        string            `json:"codec_type"`
	Codec       string            `json:"codec_name"`
	Profile     string            `json:"profile"`
	Pixels      string            `json:"pix_fmt"`
	Fields      string            `json:"field_order"`
	Width       int               `json:"width"`
	Height      int               `json:"height"`
	Aspect      string            `json:"sample_aspect_ratio"`
	Transfer    string            `json:"color_transfer"`
	TimeBase    string            `json:"time_base"`
	Duration    string            `json:"duration"`
	SampleRate  string            `json:"sample_rate"`
	Channels    int               `json:"channels"`
	Disposition map[string]int    `json:"disposition"`
	Tags        map[string]string `json:"tags"`
	SideData    []struct {
		Rotation float64 `json:"rotation"`
	} `json:"side_data_list"`
}

// entries are the parts of ffprobe's report that are asked for.
const entries = "packet=stream_index,pts,dts,flags:stream=index,codec_type,codec_name,profile,pix_fmt,field_order,width,height,sample_aspect_ratio,color_transfer," +
	"time_base,duration,sample_rate,channels:stream_disposition=attached_pic,still_image:" +
	"stream_tags:stream_side_data=rotation:format=start_time,duration:format_tags"

// inspect asks ffprobe about a file and all its packets. said is what it
// complained about.
func inspect(ctx context.Context, path, container string) (r report, said string, err error) {
	var parse error
	result, err := proc.Run(ctx, proc.Cmd{
		Name: "ffprobe",
		Args: append([]string{"-hide_banner", "-loglevel", "error", "-show_entries", entries, "-of", "json=compact=1"},
			SafeInput(path, container)...),
		Stdout: func(from io.Reader) error {
			parse = r.read(from)
			if errors.Is(parse, errTooMany) || errors.Is(parse, errFlood) {
				return parse // there may be no end to them
			}
			return nil
		},
		Limit: probeLimit,
	})
	if err == nil {
		err = parse
	}
	return r, result.Stderr, err
}

// picture returns the film's stream of pictures, or false. A cover picture is
// none.
func (r report) picture() (stream, bool) {
	for _, s := range r.Streams {
		if s.Kind == "video" && s.Disposition["attached_pic"] == 0 && s.Disposition["still_image"] == 0 {
			return s, true
		}
	}
	return stream{}, false
}

// sound returns the first stream of sound that can be decoded, or false.
func (r report) sound() (stream, bool) {
	for _, s := range r.Streams {
		rate, _ := strconv.Atoi(s.SampleRate)
		if s.Kind == "audio" && s.known() && rate > 0 && s.Channels > 0 {
			return s, true
		}
	}
	return stream{}, false
}

func (s stream) known() bool { return s.Codec != "" && s.Codec != "unknown" && s.Codec != "none" }

// plays reports whether every browser plays the stream as it is coded: H.264 of the
// profiles that phones film in, 8 bits, whole pictures, square pixels.
func (s stream) plays() bool {
	switch s.Profile {
	case "Baseline", "Constrained Baseline", "Main", "High":
	default:
		return false
	}
	num, den, ok := ratio(s.Aspect)
	return s.Codec == "h264" && s.transfer() == SDR && (!ok || num == den) &&
		(s.Pixels == "yuv420p" || s.Pixels == "yuvj420p") && (s.Fields == "" || s.Fields == "progressive" || s.Fields == "unknown")
}

// shown returns the picture's size as it is to be shown: square pixels, upright.
func (s stream) shown() (width, height int) {
	width, height = s.Width, s.Height
	if num, den, ok := ratio(s.Aspect); ok && num != den {
		width = int(math.Round(float64(width) * float64(num) / float64(den)))
	}
	for _, d := range s.SideData {
		if quarter := math.Mod(math.Abs(d.Rotation)+45, 180); quarter >= 90 {
			width, height = height, width
			break
		}
	}
	return width, height
}

// ratio parses 4:3 or 1/600; both numbers are positive.
func ratio(s string) (num, den int64, ok bool) {
	a, b, found := strings.Cut(s, ":")
	if !found {
		a, b, found = strings.Cut(s, "/")
	}
	num, errA := strconv.ParseInt(a, 10, 64)
	den, errB := strconv.ParseInt(b, 10, 64)
	return num, den, found && errA == nil && errB == nil && num > 0 && den > 0
}

// number parses a decimal number, 0 for what is none.
func number(s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return v
}

// tooLarge finds the size in ffprobe's complaint about a picture larger than
// MaxPixels.
var tooLarge = regexp.MustCompile(`Picture size (\d+)x(\d+) exceeds`)
