package proc

import (
	"os"
	"runtime"
	"strings"
)

// packages names the package that brings a program, where it is not the program's
// own name.
var packages = map[string]string{
	"ffprobe":   "ffmpeg",
	"tesseract": "tesseract-ocr",
	"exiftool":  "libimage-exiftool-perl",
}

// Install returns how a program is installed on the system this runs on, to stand between
// "install it with" and "and try again". What ffmpeg is called where differs, because
// some systems' plain one can't burn captions in or write H.264.
func Install(name string) string { return installOn(system(), name) }

// system names what installs programs here: a family of Linux, or Go's name of the system.
func system() string {
	if runtime.GOOS != "linux" {
		return runtime.GOOS
	}
	for _, path := range []string{"/etc/os-release", "/usr/lib/os-release"} {
		if said, err := os.ReadFile(path); err == nil {
			return family(string(said))
		}
	}
	return ""
}

// family reads what a Linux is, or what it is like, from its os-release(5): debian,
// fedora, arch, or "" for one we know no command for.
func family(release string) string {
	said := map[string]string{}
	for line := range strings.Lines(release) {
		key, value, _ := strings.Cut(strings.TrimSpace(line), "=")
		said[key] = strings.Trim(value, `"'`)
	}
	for _, id := range strings.Fields(said["ID"] + " " + said["ID_LIKE"]) {
		switch id {
		case "debian", "ubuntu":
			return "debian"
		case "fedora", "arch":
			return id
		}
	}
	return ""
}

func installOn(system, name string) string {
	pack := name
	if p, ok := packages[name]; ok {
		pack = p
	}
	switch system {
	case "debian":
		return "“sudo apt-get install " + pack + "”"
	case "fedora":
		return "“sudo dnf install --allowerasing " + pack + "” (from RPM Fusion: Fedora's own lacks x264)"
	case "arch":
		return "“sudo pacman -S " + pack + "”"
	case "darwin":
		if pack == "ffmpeg" { // the formula of that name has neither libass nor zimg since 8.0
			return "“brew install ffmpeg-full && brew link --force ffmpeg-full”"
		}
		return "“brew install " + pack + "”"
	case "windows":
		if pack == "ffmpeg" {
			pack = "Gyan.FFmpeg" // there are several of that name
		}
		return "“winget install " + pack + "”, open a new terminal window"
	}
	return "this system's package manager (the package is " + pack + ")"
}
