package proc

import (
	"strings"
	"testing"
)

// What the packages are called is from memory, but for the formula on macOS: Homebrew
// moved libass and zimg from ffmpeg into ffmpeg-full after 8.0.
func TestEachSystemIsToldItsOwnCommand(t *testing.T) {
	for _, c := range []struct{ system, name, want string }{
		{"debian", "ffprobe", "“sudo apt-get install ffmpeg”"},
		{"debian", "tesseract", "“sudo apt-get install tesseract-ocr”"},
		{"fedora", "ffmpeg", "“sudo dnf install --allowerasing ffmpeg” (from RPM Fusion: Fedora's own lacks x264)"},
		{"arch", "ffmpeg", "“sudo pacman -S ffmpeg”"},
		{"darwin", "ffmpeg", "“brew install ffmpeg-full && brew link --force ffmpeg-full”"},
		{"windows", "ffprobe", "“winget install Gyan.FFmpeg”, open a new terminal window"},
		{"", "ffmpeg", "this system's package manager (the package is ffmpeg)"},
	} {
		if got := installOn(c.system, c.name); got != c.want {
			t.Errorf("%s on %q: install it with %s; want %s", c.name, c.system, got, c.want)
		}
	}
}

// The keys and their quoting are os-release(5)'s; the values are from memory of those
// systems' own files.
func TestAFamilyIsReadFromOSRelease(t *testing.T) {
	for _, c := range []struct{ release, want string }{
		{"PRETTY_NAME=\"Debian GNU/Linux 12 (bookworm)\"\nID=debian\n", "debian"},
		{"ID=ubuntu\nID_LIKE=debian\n", "debian"},
		{"NAME=\"Linux Mint\"\nID=linuxmint\nID_LIKE=\"ubuntu debian\"\n", "debian"},
		{"ID=raspbian\nID_LIKE=debian", "debian"},
		{"NAME=\"Fedora Linux\"\nID=fedora\n", "fedora"},
		{"ID=\"rocky\"\nID_LIKE=\"rhel centos fedora\"\n", "fedora"},
		{"ID=arch\n", "arch"},
		{"ID=manjaro\nID_LIKE='arch'\n", "arch"},
		{"ID=alpine\n", ""},
		{"", ""},
	} {
		if got := family(c.release); got != c.want {
			t.Errorf("%q is %q, want %q", strings.TrimSpace(c.release), got, c.want)
		}
	}
}

func TestThisSystemIsKnown(t *testing.T) {
	_, err := Find("no-such-program-here")
	if err == nil || !strings.Contains(err.Error(), Install("no-such-program-here")+" and try again.") {
		t.Errorf("%v", err)
	}
}
