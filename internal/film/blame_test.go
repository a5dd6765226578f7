package film

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/film/filmtest"
)

// passOnly is what the decoding pass asks ffmpeg for and a decoding of the pictures
// alone does not.
const passOnly = `case "$*" in *setsar*) ;; *) exec "$real" "$@";; esac; `

// TestWhoIsToBlame reads a sound film with an ffmpeg or an ffprobe that fails in
// every way they have been seen to, and damaged films with sound ones. Refused, on
// which the original is dropped, may only be what the film itself is to blame for.
// The words are ffmpeg 5.1's, and 7.1's where they differ (from memory).
func TestWhoIsToBlame(t *testing.T) {
	zeroed := func(from, to float64) func([]byte) ([]byte, error) {
		return func(film []byte) ([]byte, error) { // the pictures lie before the index
			at, end := strings.Index(string(film), "mdat")+4, strings.LastIndex(string(film), "moov")-4
			size := float64(end - at)
			clear(film[at+int(from*size) : at+int(to*size)])
			return film, nil
		}
	}
	set := filmtest.NewSet(t.TempDir(),
		filmtest.Recipe{Name: "sound.mp4", Frames: 30},
		filmtest.Recipe{Name: "nothing left.mp4", Patch: zeroed(0, 1)},
		filmtest.Recipe{Name: "half left.mp4", Frames: 90, Patch: zeroed(0.5, 1)},
		filmtest.Recipe{Name: "a spot.mp4", Frames: 90, Patch: zeroed(0.97, 0.98)},
	)
	fails := func(said string) string { return `echo "` + said + `" >&2; exit 1` }
	for name, c := range map[string]struct {
		film    string // default sound.mp4
		program string // default ffmpeg
		does    string // in place of the program, or before it: a shell script
		want    bullpen.Code
		says    string
	}{
		"nothing":            {want: ""},
		"damaged throughout": {film: "nothing left.mp4", want: bullpen.Refused, says: "its pictures can't be decoded"},
		"damaged by half":    {film: "half left.mp4", want: bullpen.Refused, says: "of its 90 frames can be decoded"},
		"a damaged spot":     {film: "a spot.mp4", want: ""},
		"damaged, no filter": {film: "nothing left.mp4", does: passOnly + fails("[AVFilterGraph @ 0x1] No such filter: 'zscale'"), want: bullpen.Refused, says: "damaged"},
		"damaged, out of memory": {film: "nothing left.mp4", does: `echo "Error while decoding stream #0:0: Cannot allocate memory" >&2;`,
			want: bullpen.Unavailable, says: "too little memory"},

		"no filter":        {does: passOnly + fails("[AVFilterGraph @ 0x1] No such filter: 'zscale'\nError initializing complex filters.\nInvalid argument"), want: bullpen.Unavailable, says: "without the filter zscale (zimg), which HDR film needs"},
		"a filter":         {does: passOnly + fails("[Parsed_zscale_2 @ 0x1] code 3074: no path between colorspaces\nError while filtering: Generic error in an external library"), want: bullpen.Unavailable, says: "could not be read: ffmpeg failed"},
		"a filter on data": {does: passOnly + fails("Failed to inject frame into filter network: Invalid data found when processing input"), want: bullpen.Unavailable, says: "ffmpeg failed"},
		"no encoder":       {does: passOnly + fails("Unknown encoder 'libx264'"), want: bullpen.Unavailable, says: "without the encoder libx264"},
		"an encoder":       {does: passOnly + fails("[libx264 @ 0x1] broken\nError initializing output stream 0:0 -- Error while opening encoder for output stream #0:0"), want: bullpen.Unavailable, says: "ffmpeg failed"},
		"no decoder":       {does: fails("Decoder (codec h264) not found for input stream #0:0"), want: bullpen.Unavailable, says: "without the decoder of H.264 film"},
		"no decoder, 7.1":  {does: fails("[vist#0:0/av1 @ 0x1] Decoding requested, but no decoder found for: av1"), want: bullpen.Unavailable, says: "without the decoder av1"},
		"no demuxer":       {does: fails("Unknown input format: 'mov'"), want: bullpen.Unavailable, says: "container mov"},
		"an old ffmpeg":    {does: fails("Unrecognized option 'fps_mode'.\nError splitting the argument list: Option not found"), want: bullpen.Unavailable, says: "ffmpeg failed"},
		"unknown":          {does: fails("something new"), want: bullpen.Unavailable, says: "Try again"},
		"silent":           {does: "exit 3", want: bullpen.Unavailable, says: "Try again"},
		"killed":           {does: "kill -9 $$", want: bullpen.Unavailable, says: "ended from outside"},
		"asked to end":     {does: "exit 255", want: bullpen.Unavailable, says: "ended from outside"},
		"a full disk":      {does: passOnly + fails("av_interleaved_write_frame(): No space left on device"), want: bullpen.Unavailable, says: "The disk is full"},
		"too little memory": {does: fails("Error while decoding stream #0:0: Invalid data found when processing input\nCannot allocate memory"),
			want: bullpen.Unavailable, says: "too little memory"},
		"a failing disk":         {does: `echo "file:x: Input/output error" >&2; exec "$real" -t 0.5 "$@"`, want: bullpen.Unavailable, says: "the disk gave an error"},
		"the pass loses frames":  {does: passOnly + `exec "$real" -t 0.5 "$@"`, want: bullpen.Internal, says: "on our side"},
		"ffprobe, unknown":       {program: "ffprobe", does: fails("something new"), want: bullpen.Unavailable, says: "ffprobe failed"},
		"ffprobe, no demuxer":    {program: "ffprobe", does: fails("Unknown input format: mov\nFailed to set value 'mov' for option 'f': Invalid argument"), want: bullpen.Unavailable, says: "container mov"},
		"ffprobe, not allowed":   {program: "ffprobe", does: fails("file:x: Permission denied"), want: bullpen.Unavailable, says: "not allowed"},
		"ffprobe, killed":        {program: "ffprobe", does: "kill -9 $$", want: bullpen.Unavailable, says: "ended from outside"},
		"ffprobe, the film":      {program: "ffprobe", does: fails("file:x: Invalid data found when processing input"), want: bullpen.Refused, says: "damaged"},
		"ffprobe, not installed": {program: "ffprobe", does: "-", want: bullpen.Unavailable, says: "ffprobe is not installed"},
	} {
		t.Run(name, func(t *testing.T) {
			if c.film == "" {
				c.film = "sound.mp4"
			}
			path := set.Path(t, c.film)
			if c.program == "" {
				c.program = "ffmpeg"
			}
			if c.does != "" {
				inPlace(t, c.program, c.does)
			}
			dir := t.TempDir()
			facts, err := Probe(t.Context(), path, "")
			if err == nil {
				_, err = Read(t.Context(), path, facts, dir, nil)
			}
			if bullpen.CodeOf(err) != c.want || err != nil && !strings.Contains(bullpen.MessageOf(err), c.says) {
				t.Errorf("%v (code %q), want %q: %q", err, bullpen.CodeOf(err), c.want, c.says)
			}
			if left, _ := os.ReadDir(dir); err != nil && len(left) > 0 {
				t.Errorf("%v stayed behind", left)
			}
		})
	}
}

// inPlace puts a shell script in the place of a program, which the script finds in
// $real and which runs where it ends; "-" takes the program away.
func inPlace(t *testing.T, program, script string) {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"ffmpeg", "ffprobe"} {
		real, err := exec.LookPath(name)
		if err != nil {
			t.Fatal(err)
		}
		does := ""
		if name == program {
			does = script
		}
		if does == "-" {
			continue
		}
		text := "#!/bin/sh\nreal='" + real + "'\n" + does + "\nexec \"$real\" \"$@\"\n"
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o700); err != nil {
			t.Fatal(err)
		}
	}
	t.Setenv("PATH", dir)
}
