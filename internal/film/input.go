package film

import "strconv"

// formats are the containers that phones and cameras make. Playlists, concat
// scripts and still pictures are not among them, so a file in disguise can't make
// ffmpeg open another file.
const formats = "mov,mp4,m4a,3gp,3g2,mj2,matroska,webm,avi,mpegts"

// SafeFlags returns the input options, as names without their dash and values,
// that every ffmpeg and ffprobe call on a user's film takes: nothing but that
// file is opened, by the demuxer of the container that its first bytes show, and
// no picture of absurd size is allocated. container is as Facts names it.
func SafeFlags(container string) map[string]string {
	flags := map[string]string{
		"protocol_whitelist": "file",
		"format_whitelist":   formats,
		"max_pixels":         "8912896",
		"max_streams":        strconv.Itoa(maxStreams),
	}
	if container != "" {
		flags["f"] = container
	}
	return flags
}

// SafeInput returns the arguments that give a user's film to ffmpeg or ffprobe:
// SafeFlags, -i and the file.
func SafeInput(path, container string) []string {
	flags := SafeFlags(container)
	var args []string
	for _, name := range []string{"protocol_whitelist", "format_whitelist", "max_pixels", "max_streams", "f"} {
		if v, ok := flags[name]; ok {
			args = append(args, "-"+name, v)
		}
	}
	return append(args, "-i", SafeName(path))
}

// SafeName returns path as ffmpeg takes it for a file whatever it is called.
func SafeName(path string) string { return "file:" + path }
