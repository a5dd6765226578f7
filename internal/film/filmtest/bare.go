package filmtest

// Bare returns ffmpeg's arguments for the encode of a 16:9 film's working copy and
// nothing else: what reading a film in is measured against.
func Bare(from, to string) []string {
	return []string{
		"-y", "-i", from, "-vf", "scale=1280:720:flags=bicubic,format=yuv420p", "-fps_mode", "passthrough",
		"-c:v", "libx264", "-preset", "ultrafast", "-crf", "26", "-g", "12", "-bf", "0", "-sc_threshold", "0",
		"-c:a", "aac", "-b:a", "96k", "-ac", "1", "-movflags", "+faststart", to,
	}
}
