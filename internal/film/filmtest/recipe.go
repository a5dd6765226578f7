package filmtest

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"tenoff/internal/proc"
)

// Recipe says how a film is made. The zero value of every field means "as usual".
type Recipe struct {
	Name          string // of the file; its extension decides on the container
	Width, Height int    // stored, even unless Codec is mjpeg; default 320 x 180
	Rate          string // frames a second: 30 (default), 30000/1001 ...
	Frames        int    // default 45
	// Timescale and Pts make the frame rate vary: the time of frame N in ticks of
	// 1/Timescale, an expression of ffmpeg's setpts filter.
	Timescale int
	Pts       string
	Codec     string   // h264 (default), hevc, hlg or pq (HEVC with 10 bits), hlg-bare (which names its transfer only), mpeg4, mjpeg, vp8
	BFrames   int      // frames that refer to later ones, in a row
	Source    string   // an ffmpeg source in place of the moving test picture, without size, rate and duration
	Numbered  bool     // every frame carries its number
	Sound     bool     // a beep of 20 ms at 0.5 s, 1.5 s ...
	SoundLate float64  // seconds
	Late      float64  // seconds by which the picture begins later than the file
	Filter    string   // more filters, after the number
	Options   []string // more output options

	// What is done to the finished file, in this order.
	Trim   float64           // seconds cut off its beginning without coding it anew: an edit list hides what is left before it
	Rotate int               // degrees, noted in the file
	Tags   map[string]string // noted in the file
	Patch  func(mp4 []byte) ([]byte, error)
}

// Make makes the film in dir and returns its path.
func (r Recipe) Make(ctx context.Context, dir string) (string, error) {
	path := filepath.Join(dir, r.Name)
	if err := r.make(ctx, path); err != nil {
		return "", fmt.Errorf("film %s: %w", r.Name, err)
	}
	return path, nil
}

func (r Recipe) make(ctx context.Context, path string) error {
	if err := FFmpeg(ctx, append(r.code(), path)...); err != nil {
		return err
	}
	if r.Trim != 0 || r.Rotate != 0 || len(r.Tags) > 0 {
		if err := r.remake(ctx, path); err != nil {
			return err
		}
	}
	if r.Patch == nil {
		return nil
	}
	film, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	if film, err = r.Patch(film); err != nil {
		return err
	}
	return os.WriteFile(path, film, 0o600)
}

// code returns the arguments that code the film, without its path.
func (r Recipe) code() []string {
	width, height, frames := 320, 180, 45
	rate := "30"
	if r.Width > 0 {
		width, height = r.Width, r.Height
	}
	if r.Frames > 0 {
		frames = r.Frames
	}
	if r.Rate != "" {
		rate = r.Rate
	}
	source := "testsrc2"
	if r.Source != "" {
		source = r.Source
	}
	sep := "="
	if strings.Contains(source, "=") {
		sep = ":"
	}
	chain := []string{fmt.Sprintf("%s%ss=%dx%d:r=%s", source, sep, width, height, rate), fmt.Sprintf("trim=end_frame=%d", frames)}
	if r.Numbered {
		chain = append(chain, "format=yuv420p", drawNumber(width))
	}
	if r.Filter != "" {
		chain = append(chain, r.Filter)
	}
	if r.Pts != "" {
		chain = append(chain, fmt.Sprintf("settb=1/%d,setpts='%s'", r.Timescale, r.Pts))
	}
	var args []string
	if r.Late != 0 {
		args = append(args, "-itsoffset", number(r.Late))
	}
	args = append(args, "-f", "lavfi", "-i", strings.Join(chain, ","))
	if r.Sound {
		if r.SoundLate != 0 {
			args = append(args, "-itsoffset", number(r.SoundLate))
		}
		args = append(args, "-f", "lavfi", "-i", "aevalsrc='0.8*sin(2*PI*2000*t)*between(mod(t,1),0.5,0.52)':s=48000", "-shortest")
	}
	args = append(args, coders[r.codec()]...)
	args = append(args, "-fps_mode", "passthrough", "-g", "30")
	if r.codec() == "h264" || r.codec() == "mpeg4" {
		args = append(args, "-bf", strconv.Itoa(r.BFrames))
	}
	if r.Pts != "" {
		args = append(args, "-enc_time_base", fmt.Sprintf("1/%d", r.Timescale), "-video_track_timescale", strconv.Itoa(r.Timescale))
	}
	return append(args, r.Options...)
}

func (r Recipe) codec() string {
	if r.Codec == "" {
		return "h264"
	}
	return r.Codec
}

var coders = map[string][]string{
	"h264": {"-c:v", "libx264", "-preset", "ultrafast", "-crf", "20", "-pix_fmt", "yuv420p"},
	"hevc": {"-c:v", "libx265", "-preset", "ultrafast", "-crf", "20", "-tag:v", "hvc1", "-pix_fmt", "yuv420p", "-x265-params", "log-level=error"},
	"hlg":  hdr("arib-std-b67"),
	"pq":   hdr("smpte2084"),
	"hlg-bare": {"-c:v", "libx265", "-preset", "ultrafast", "-crf", "18", "-tag:v", "hvc1", "-pix_fmt", "yuv420p10le",
		"-color_trc", "arib-std-b67", "-color_range", "tv", "-x265-params", "log-level=error:transfer=arib-std-b67:range=limited"},
	"mpeg4": {"-c:v", "mpeg4", "-q:v", "3"},
	"mjpeg": {"-c:v", "mjpeg", "-q:v", "3", "-pix_fmt", "yuvj420p"},
	"vp8":   {"-c:v", "libvpx", "-deadline", "realtime", "-cpu-used", "8", "-b:v", "1M"},
}

// hdr returns the options for ten bits with a transfer of ITU-R BT.2100.
func hdr(transfer string) []string {
	return []string{
		"-c:v", "libx265", "-preset", "ultrafast", "-crf", "18", "-tag:v", "hvc1", "-pix_fmt", "yuv420p10le",
		"-color_primaries", "bt2020", "-color_trc", transfer, "-colorspace", "bt2020nc", "-color_range", "tv",
		"-x265-params", "log-level=error:colorprim=bt2020:transfer=" + transfer + ":colormatrix=bt2020nc:range=limited",
	}
}

// remake copies the film, as it is coded, with what is done to it afterwards.
func (r Recipe) remake(ctx context.Context, path string) error {
	next := filepath.Join(filepath.Dir(path), "next-"+filepath.Base(path))
	var args []string
	if r.Trim != 0 {
		args = append(args, "-ss", number(r.Trim))
	}
	args = append(args, "-i", path, "-map", "0", "-c", "copy")
	if r.Rotate != 0 {
		args = append(args, "-metadata:s:v:0", fmt.Sprintf("rotate=%d", r.Rotate))
	}
	if len(r.Tags) > 0 {
		args = append(args, "-movflags", "use_metadata_tags")
	}
	for key, value := range r.Tags {
		args = append(args, "-metadata", key+"="+value)
	}
	if err := FFmpeg(ctx, append(args, next)...); err != nil {
		return err
	}
	return os.Rename(next, path)
}

// FFmpeg runs ffmpeg. An error has what it said.
func FFmpeg(ctx context.Context, args ...string) error {
	_, err := proc.Run(ctx, proc.Cmd{Name: "ffmpeg", Args: append([]string{"-hide_banner", "-nostdin", "-loglevel", "error", "-y"}, args...)})
	return said(err)
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
