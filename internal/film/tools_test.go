package film

import "testing"

// The versions are as ffmpeg -version says them: Debian's 11, 12 and 13, Ubuntu's 22.04,
// a tag of ffmpeg's own, and builds between releases; from memory but for 12 and 13.
func TestAnFFmpegThatIsTooOld(t *testing.T) {
	for version, want := range map[string]bool{
		"4.3.9-0+deb11u1": true, "4.4.2-0ubuntu0.22.04.1": true, "5.0.1": true, "n4.4": true,
		"5.1.9-0+deb12u1": false, "7.1.5-0+deb13u1": false, "6.0": false, "n7.1": false, "10.0": false,
		"N-109421-g1a2b3c4d5e": false, "2026-01-05-git-2892815c45-full_build": false, "git-2020-01-01": false, "": false,
	} {
		if got := tooOld(version); got != want {
			t.Errorf("%q too old: %v, want %v", version, got, want)
		}
	}
}
