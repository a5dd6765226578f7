package film

import (
	"fmt"

	"tenoff/internal/film/filmtest"
)

// kind is one kind of film that phones make, and what must be found in it.
type kind struct {
	filmtest.Recipe
	first  int               // number of the first shown frame
	frames int               // shown; default the recipe's
	at     func(n int) ticks // when frame number n is shown; default by the recipe's rate
	width  int               // as shown; default the recipe's
	height int
	undo   string  // filters that turn the working copy back to the stored picture
	facts  Facts   // container, codec, transfer, slow factor
	beep   float64 // file seconds from the first shown frame to the first beep
}

// ticks is a time in whole units of 1/per seconds.
type ticks struct{ n, per int64 }

// steady returns the times of a film of num/den frames a second.
func steady(num, den int64) func(int) ticks {
	return func(n int) ticks { return ticks{int64(n) * den, num} }
}

// kinds returns one film of each kind.
func kinds() []kind {
	numbered := func(k kind) kind {
		k.Numbered = true
		if k.frames == 0 {
			k.frames = k.Frames
			if k.frames == 0 {
				k.frames = 45
			}
		}
		if k.at == nil {
			k.at = steady(30, 1)
		}
		if k.width == 0 {
			k.width, k.height = 320, 180
			if k.Width > 0 {
				k.width, k.height = k.Width, k.Height
			}
		}
		if k.facts.Container == "" {
			k.facts.Container = mov
		}
		if k.facts.Codec == "" {
			k.facts.Codec = "h264"
		}
		if k.facts.Clock.Slow == 0 {
			k.facts.Clock.Slow = 1
		}
		k.facts.HasSound = k.Sound
		return k
	}
	slowed := func(by float64) (f Facts) {
		f.Clock.Slow, f.SlowKnown = by, true
		return f
	}
	cinema := func(rate string, num, den int64, frames int) kind {
		k := kind{Recipe: filmtest.Recipe{Rate: rate, Frames: frames}, at: steady(num, den)}
		k.Name = fmt.Sprintf("rate-%d-%d.mp4", num, den)
		if num >= 90*den {
			k.facts = slowed(1)
		}
		return k
	}
	list := []kind{
		// Frame rates.
		cinema("24", 24, 1, 36), cinema("25", 25, 1, 36), cinema("30000/1001", 30000, 1001, 36), cinema("60000/1001", 60000, 1001, 36),
		cinema("60", 60, 1, 36), cinema("120", 120, 1, 48), cinema("240", 240, 1, 60),
		// As most phones film: frames that refer to later ones, sound.
		{Recipe: filmtest.Recipe{Name: "usual.mp4", BFrames: 2, Sound: true}, beep: 0.5},
		// Rates that vary: in steps of 1/600 s, with jitter, and slower in low light.
		{Recipe: filmtest.Recipe{Name: "vary-600.mov", BFrames: 2, Sound: true, Timescale: 600, Pts: "20*N+20*floor(N/10)+5*mod(N*7,4)"}, beep: 0.5,
			at: func(n int) ticks { return ticks{int64(20*n + 20*(n/10) + 5*(n*7%4)), 600} }},
		{Recipe: filmtest.Recipe{Name: "vary-90000.mp4", Timescale: 90000, Pts: "3000*N+37*mod(N*11,23)+if(gt(N,20),4000,0)"},
			at: func(n int) ticks {
				late := 0
				if n > 20 {
					late = 4000
				}
				return ticks{int64(3000*n + 37*(n*11%23) + late), 90000}
			}},
		{Recipe: filmtest.Recipe{Name: "low-light.mp4", Timescale: 90000, Pts: "if(lt(N,20),3000*N,60000+4500*(N-20))"},
			at: func(n int) ticks {
				if n < 20 {
					return ticks{int64(3000 * n), 90000}
				}
				return ticks{int64(60000 + 4500*(n-20)), 90000}
			}},
		// Held upright, upside down, and filmed by the front camera.
		{Recipe: filmtest.Recipe{Name: "turned-90.mp4", Rotate: 90}, width: 180, height: 320, undo: "transpose=clock"},
		{Recipe: filmtest.Recipe{Name: "turned-180.mp4", Rotate: 180}, undo: "hflip,vflip"},
		{Recipe: filmtest.Recipe{Name: "turned-270.mov", Rotate: 270}, width: 180, height: 320, undo: "transpose=cclock"},
		{Recipe: filmtest.Recipe{Name: "mirrored.mp4", Patch: filmtest.Mirrored}, undo: "hflip"},
		// Codings.
		{Recipe: filmtest.Recipe{Name: "hevc.mov", Codec: "hevc"}, facts: Facts{Codec: "hevc"}},
		{Recipe: filmtest.Recipe{Name: "hlg.mov", Codec: "hlg", Filter: toHDR("arib-std-b67")}, facts: Facts{Codec: "hevc", Transfer: HLG}},
		{Recipe: filmtest.Recipe{Name: "pq.mov", Codec: "pq", Filter: toHDR("smpte2084")}, facts: Facts{Codec: "hevc", Transfer: PQ}},
		{Recipe: filmtest.Recipe{Name: "hlg-bare.mov", Codec: "hlg-bare", Frames: 10, Filter: toHDR("arib-std-b67") + bare}, facts: Facts{Codec: "hevc", Transfer: HLG}},
		{Recipe: filmtest.Recipe{Name: "dolby.mov", Codec: "hlg", Frames: 10, Filter: toHDR("arib-std-b67"), Patch: filmtest.DolbyVision}, facts: Facts{Codec: "hevc", Transfer: HLG}},
		{Recipe: filmtest.Recipe{Name: "old.avi", Codec: "mpeg4", Frames: 20}, facts: Facts{Container: avi, Codec: "mpeg4"}},
		{Recipe: filmtest.Recipe{Name: "page.webm", Codec: "vp8", Frames: 20}, facts: Facts{Container: matroska, Codec: "vp8"},
			at: func(n int) ticks { return ticks{(int64(n)*1000 + 15) / 30, 1000} }}, // Matroska counts milliseconds
		// Slow motion: stretched in the phone with a note, as text and as a number, and at true time.
		{Recipe: filmtest.Recipe{Name: "slowed.mp4", Tags: map[string]string{captureKey: "240.000000"}}, facts: slowed(8)},
		{Recipe: filmtest.Recipe{Name: "slowed-float.mp4", Rate: "30000/1001", Tags: map[string]string{captureKey: "120.000000"},
			Patch: filmtest.Float32Tag(captureKey, 240)}, at: steady(30000, 1001), facts: slowed(8)},
		{Recipe: filmtest.Recipe{Name: "not-slowed.mp4", Tags: map[string]string{captureKey: "30.000000"}}, facts: slowed(1)},
		// Times that don't begin at 0.
		{Recipe: filmtest.Recipe{Name: "picture-late.mp4", Late: 0.3, Sound: true}, beep: 0.2},
		{Recipe: filmtest.Recipe{Name: "sound-late.mp4", Sound: true, SoundLate: 0.25}, beep: 0.75},
		{Recipe: filmtest.Recipe{Name: "trimmed.mp4", BFrames: 2, Sound: true, Frames: 75, Trim: 0.4}, first: 12, frames: 63, beep: 0.1},
		{Recipe: filmtest.Recipe{Name: "stream.ts", BFrames: 2, Sound: true}, facts: Facts{Container: mpegts}, beep: 0.5},
		// Sizes.
		{Recipe: filmtest.Recipe{Name: "upright.mp4", Width: 180, Height: 320}},
		{Recipe: filmtest.Recipe{Name: "odd.mov", Codec: "mjpeg", Width: 352, Height: 200, Frames: 20, Filter: "scale=353:201,setsar=1"}, width: 353, height: 201, facts: Facts{Codec: "mjpeg"}},
		{Recipe: filmtest.Recipe{Name: "large.mp4", Width: 1920, Height: 1080, Frames: 12}},
		{Recipe: filmtest.Recipe{Name: "wide-pixels.mp4", Width: 240, Height: 180, Frames: 12, Filter: "setsar=4/3"}, width: 320, height: 180},
		// With what phones note beside the film.
		{Recipe: filmtest.Recipe{Name: "noted.mov", Frames: 12, Tags: map[string]string{
			"creation_time": "2026-04-12T08:00:00Z", "com.apple.quicktime.creationdate": "2026-04-11T10:12:13-0700"}},
			facts: Facts{Recorded: 1775927533_000000}}, // 2026-04-11 17:12:13 UTC
	}
	for i := range list {
		list[i] = numbered(list[i])
	}
	return list
}

// bare takes from the frames what they say of their primaries and their matrix.
const bare = ",setparams=color_primaries=unknown:colorspace=unknown"

// toHDR returns the filters that turn an ordinary picture into one with a transfer
// of ITU-R BT.2100, white at its reference white.
func toHDR(transfer string) string {
	return "setparams=color_primaries=bt709:color_trc=bt709:colorspace=bt709:range=tv,zscale=t=linear:npl=203,format=gbrpf32le," +
		"zscale=p=bt2020:t=" + transfer + ":m=bt2020nc:r=tv:npl=203,format=yuv420p10le"
}
