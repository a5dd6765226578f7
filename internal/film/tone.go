package film

import (
	"fmt"

	ffmpeg "github.com/u2takey/ffmpeg-go"
)

// transfer returns the stream's transfer, from the names that ffprobe has for the
// code points of ITU-T H.273.
func (s stream) transfer() Transfer {
	switch s.Transfer {
	case "arib-std-b67":
		return HLG
	case "smpte2084":
		return PQ
	}
	return SDR
}

// Luminances of HDR film, cd/m².
const (
	referenceWhite = 203  // of white: ITU-R BT.2408, HDR reference white
	brightest      = 1000 // of highlights: the nominal peak of HLG, ITU-R BT.2100
)

// ToneMap adds the filters that turn an HDR picture into an ordinary one: to
// linear light with reference white at 1, to the primaries of ITU-R BT.709, the
// highlights rolled off by a curve that leaves dark and middle tones as they are,
// and back to BT.709's curve. HDR is always BT.2020's colours (ITU-R BT.2100),
// whether the film says so or, as some do, names no more than its transfer.
// Scale down before: these cost more than decoding.
func ToneMap(s *ffmpeg.Stream) *ffmpeg.Stream {
	return s.
		Filter("zscale", nil, ffmpeg.KwArgs{"pin": "bt2020", "min": "bt2020nc", "p": "bt2020", "t": "linear", "npl": referenceWhite}).
		Filter("format", ffmpeg.Args{"gbrpf32le"}).
		Filter("zscale", nil, ffmpeg.KwArgs{"p": "bt709"}).
		Filter("tonemap", nil, ffmpeg.KwArgs{
			"tonemap": "mobius", "desat": 0, "peak": fmt.Sprintf("%.3f", float64(brightest)/referenceWhite),
		}).
		Filter("zscale", nil, ffmpeg.KwArgs{"t": "bt709", "m": "bt709", "r": "tv"}).
		Filter("format", ffmpeg.Args{"yuv420p"})
}
