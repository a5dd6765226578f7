package film

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/internal/bullpen"
	"tenoff/internal/film/filmtest"
)

// TestHostileFilms gives films that nobody filmed, and what is left of films that
// somebody did: each is refused in a sentence that says what it is, without blaming
// the machine or the log, or read for what it is.
func TestHostileFilms(t *testing.T) {
	t.Parallel()
	forty := func(what string) []string {
		var maps []string
		for range 40 {
			maps = append(maps, "-map", what)
		}
		return append(maps, "-c", "copy")
	}
	dir := t.TempDir()
	made := func(name string, r filmtest.Recipe) []byte {
		r.Name = name
		path, err := r.Make(t.Context(), dir)
		if err != nil {
			t.Fatal(err)
		}
		return contents(t, path)
	}
	whole := filepath.Join(dir, "whole.mp4")
	from := func(name string, args ...string) []byte {
		path := filepath.Join(dir, name)
		if err := filmtest.FFmpeg(t.Context(), append(append([]string{"-i", whole}, args...), path)...); err != nil {
			t.Fatal(err)
		}
		return contents(t, path)
	}
	mp4 := made("whole.mp4", filmtest.Recipe{Frames: 90})
	mkv, avi, ts := from("whole.mkv", "-c", "copy"), from("whole.avi", "-c", "copy"), from("whole.ts", "-c", "copy")
	webm := made("whole.webm", filmtest.Recipe{Codec: "vp8", Frames: 60})
	half := func(film []byte) []byte { return film[:len(film)/2] }
	claims := func(kind string, at int, v uint32) []byte { // what the last such box has at an offset
		film := bytes.Clone(mp4)
		binary.BigEndian.PutUint32(film[bytes.LastIndex(film, []byte(kind))+4+at:], v)
		return film
	}
	// Two films of one name, one after the other: a call that changed over, or a joke.
	joined := func(name string, frames int, width, height int) []byte {
		made("small-"+name, filmtest.Recipe{Width: width, Height: height, Frames: frames})
		for _, part := range []string{"whole.mp4", "small-" + name} {
			if err := filmtest.FFmpeg(t.Context(), "-i", filepath.Join(dir, part), "-c", "copy", "-bsf:v", "h264_mp4toannexb", "-f", "h264", filepath.Join(dir, part+".h264")); err != nil {
				t.Fatal(err)
			}
		}
		both := append(contents(t, filepath.Join(dir, "whole.mp4.h264")), contents(t, filepath.Join(dir, "small-"+name+".h264"))...)
		path := filepath.Join(dir, "both.h264")
		if err := os.WriteFile(path, both, 0o600); err != nil {
			t.Fatal(err)
		}
		if err := filmtest.FFmpeg(t.Context(), "-f", "h264", "-r", "30", "-i", path, "-c", "copy", filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
		return contents(t, filepath.Join(dir, name))
	}
	list := "#EXTM3U\n#EXT-X-TARGETDURATION:10\n" + strings.Repeat("#EXTINF:10,\nfile:///etc/passwd\n", 40)
	synced := []byte(list)
	for i := 0; i < len(synced); i += 188 {
		synced[i] = 'G' // the sync byte of a transport stream
	}

	boxOfItsOwn := bytes.Replace(mp4, []byte("free"), []byte("beam"), 1)
	if bytes.Equal(boxOfItsOwn, mp4) {
		t.Fatal("the film has no free box that another kind could be made of")
	}

	const cutOff, damaged, isList, lists = "did not arrive. Copy it from the phone again.", "is damaged", "is a list that points to other files", "is a text, not a film"
	for name, c := range map[string]struct {
		film []byte
		says string // "" if it is read
	}{
		// What is left of films.
		"half.mp4":           {half(mp4), cutOff},
		"half.mkv":           {half(mkv), cutOff},
		"half.webm":          {half(webm), cutOff},
		"half.avi":           {half(avi), cutOff},
		"nearly.mkv":         {mkv[:len(mkv)-100], cutOff},
		"half.ts":            {half(ts), ""}, // a stream has no end
		"empty.mp4":          {nil, "is empty"},
		"head.mp4":           {mp4[:32], "did not arrive"},
		"head.mkv":           {mkv[:32], damaged},
		"head.ts":            {ts[:188*3], "does not say how large its picture is|has no"},
		"unknown-length.mkv": {unknownLength(mkv), ""}, // as a page's recorder sends it
		"box-of-its-own.mp4": {boxOfItsOwn, ""},        // before the index; players pass over it
		"times-many.mp4":     {claims("stts", 4, 1<<28), "its index of where the pictures are is not true"},
		"times-most.mp4":     {claims("stts", 4, 1<<32-1), "its index of where the pictures are is not true"},
		"places-many.mp4":    {claims("stco", 4, 1<<31-1), "its index of where the pictures are is not true"},
		"sizes-many.mp4":     {claims("stsz", 8, 1<<32-1), damaged},
		"tracks-in-one.mp4":  {claims("mdhd", 12, 0), damaged + "|is coded|has no"},
		"no-index.mp4":       {mp4[:bytes.LastIndex(mp4, []byte("moov"))-4], "did not arrive"},
		"zeroed.mkv":         {append(bytes.Clone(mkv[:200]), bytes.Repeat([]byte{0}, len(mkv)-200)...), damaged + "|has no"},
		"noise.mp4":          {append([]byte("\x00\x00\x00\x14ftypmp42\x00\x00\x00\x00mp42"), noise(4000)...), "did not arrive|" + damaged},

		// What is none.
		"list.mp4":              {[]byte(list[:1024]), isList},
		"list-behind-blank.mp4": {[]byte("\n\n  \r\n" + list), isList},
		"list-in-capitals.mp4":  {[]byte(strings.ToLower(list)), isList},
		"list-remarked.mp4":     {[]byte("# my bullpen\nfile 'whole.mp4'\n"), isList},
		"list-marked.mp4":       {[]byte("\xef\xbb\xbf" + list), isList},
		"list-of-parts.mp4":     {[]byte("ffconcat version 1.0\nfile 'whole.mp4'\n"), isList},
		"list-in-xml.mp4":       {[]byte("<?xml version='1.0'?>\n<MPD><BaseURL>file:///etc/passwd</BaseURL></MPD>"), isList},
		"list-in-stream.ts":     {synced, isList},
		"list-in-boxes.mp4":     {append([]byte("\x00\x00\x04\x00moov"), list[:1016]...), "has no picture"},
		"list-in-avi.avi":       {append([]byte("RIFF\x00\x04\x00\x00AVI "), list[:1020]...), "has no picture"},
		"list-in-mkv.mkv":       {append([]byte("\x1a\x45\xdf\xa3"), list[:1020]...), damaged},
		"letter.mp4":            {[]byte(strings.Repeat("Dear coach, ", 200)), lists},
		"script.mp4":            {[]byte("#!/bin/sh\nrm -rf /\n"), lists},
		"two-bytes-a-letter":    {[]byte("\xff\xfe#\x00E\x00X\x00T\x00M\x003\x00U\x00"), "is not a video"},
		"picture.mp4":           {[]byte("\x89PNG\r\n\x1a\n" + strings.Repeat("\x00", 100)), "is not a video"},
		"archive.mp4":           {[]byte("PK\x03\x04" + strings.Repeat("\x00", 100)), "is not a video"},

		// What no camera makes.
		"forty-pictures.mp4":    {from("forty.mp4", forty("0:v")...), "has 40 tracks of picture, sound and the rest, and 32 is the most"},
		"forty-pictures.mkv":    {from("forty.mkv", forty("0:v")...), "has 40 tracks of picture, sound and the rest, and 32 is the most"},
		"smaller-midway.mp4":    {joined("smaller.mp4", 30, 160, 90), "changes the size of its picture after 3.0 s, from 320 by 180 to 160 by 90 pixels"},
		"smaller-at-last.mp4":   {joined("last.mp4", 2, 160, 90), "changes the size of its picture after 3.0 s"},
		"upright-midway.mkv":    {joined("upright.mkv", 30, 180, 320), "from 320 by 180 to 180 by 320 pixels"},
		"one-picture.mp4":       {made("one.mp4", filmtest.Recipe{Frames: 1}), "has no moving picture"},
		"thin.mp4":              {made("thin.mp4", filmtest.Recipe{Width: 640, Height: 32, Frames: 4}), "a shape that no phone films in"},
		"tiny.mp4":              {made("tiny.mp4", filmtest.Recipe{Width: 16, Height: 16, Frames: 4}), "too small"},
		"ten-minute-gap.mp4":    {made("gap.mp4", filmtest.Recipe{Frames: 30, Timescale: 90000, Pts: "if(gt(N,15),90000*600+N*3000,N*3000)"}), ""},
		"three-hours-apart.mp4": {made("apart.mp4", filmtest.Recipe{Frames: 4, Timescale: 1000, Pts: "3600000*N"}), "hours, more than 2"},
	} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), name)
			if err := os.WriteFile(path, c.film, 0o600); err != nil {
				t.Fatal(err)
			}
			out := t.TempDir()
			facts, err := Probe(t.Context(), path, "")
			if err == nil {
				_, err = Read(t.Context(), path, facts, out, nil)
			}
			if c.says == "" {
				if err != nil {
					t.Fatal(err)
				}
				return
			}
			t.Log(bullpen.MessageOf(err))
			said := false
			for one := range strings.SplitSeq(c.says, "|") {
				said = said || strings.Contains(bullpen.MessageOf(err), one)
			}
			if bullpen.CodeOf(err) != bullpen.Refused || !said || !strings.HasPrefix(bullpen.MessageOf(err), "“"+name+"” ") {
				t.Errorf("%v (code %q), want a refusal: %q", err, bullpen.CodeOf(err), c.says)
			}
			if left, _ := os.ReadDir(out); len(left) > 0 {
				t.Errorf("%v stayed behind", left)
			}
		})
	}
}

// TestFloods counts what ffprobe may report of a film, without a film that large.
func TestFloods(t *testing.T) {
	t.Parallel()
	flood := func(packet string) error {
		var r report
		return r.readPackets(decoderOf(t, "[", strings.Repeat(packet+",", maxPackets)+packet, "]"))
	}
	if err := flood(`{"stream_index":0,"flags":"_D"}`); !errors.Is(err, errFlood) {
		t.Errorf("packets that are not shown: %v", err)
	}
	var r report
	if err := r.readPackets(decoderOf(t, "[", strings.Repeat(`{"stream_index":0,"pts":1},`, MaxFrames)+`{"stream_index":0,"pts":2}`, "]")); !errors.Is(err, errTooMany) {
		t.Errorf("frames: %v", err)
	}
}

// TestHollow tells films with hardly anything in them from cheap ones that a camera
// can have made.
func TestHollow(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		width, height, frames int
		bytes                 int64
		refused               bool
	}{
		"an hour of 4K in 5 kB":          {3840, 2160, 108_000, 5_000, true},
		"two hours of 1080p in 1 MB":     {1920, 1080, 216_000, 1e6, true},
		"4K for 80 s in 5 kB":            {3840, 2160, 2_400, 5_000, false},
		"half an hour of a black 1080p":  {1920, 1080, 54_000, 4_600_000, false}, // 0.00033 bits a pixel
		"a lesson of 1080p, 17 Mbit/s":   {1920, 1080, 108_000, 7_650_000_000, false},
		"half an hour of 240 a second":   {1280, 720, 432_000, 5_400_000_000, false},
		"half an hour, small, for tests": {96, 54, 43_200, 1_000_000, false},
	} {
		f := Facts{Name: name, Width: c.width, Height: c.height, Bytes: c.bytes}
		f.Clock.Ticks = make([]int64, c.frames)
		if err := f.hollow(); (err != nil) != c.refused {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func decoderOf(t *testing.T, parts ...string) *json.Decoder {
	t.Helper()
	return json.NewDecoder(strings.NewReader(strings.Join(parts, "")))
}

func contents(t *testing.T, path string) []byte {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// unknownLength says of a Matroska file's Segment that its length is not known (RFC
// 8794, 6.2).
func unknownLength(mkv []byte) []byte {
	mkv = bytes.Clone(mkv)
	at := bytes.Index(mkv, []byte("\x18\x53\x80\x67")) + 4
	mkv[at] = 0x01
	for i := range 7 {
		mkv[at+1+i] = 0xff
	}
	return mkv
}

func noise(n int) []byte {
	r, b := rand.New(rand.NewPCG(1, 2)), make([]byte, n)
	for i := range b {
		b[i] = byte(r.Uint32())
	}
	return b
}
