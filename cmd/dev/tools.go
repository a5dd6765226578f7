package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// tool is a program or file that the system's package manager provides.
type tool struct {
	name    string      // what a person calls it
	debian  []string    // packages on Debian and Ubuntu
	brew    string      // formula or cask on macOS
	why     string      // what it is for
	present func() bool // whether it is here already
}

func onPath(names ...string) func() bool {
	return func() bool {
		for _, n := range names {
			if _, err := exec.LookPath(n); err == nil {
				return true
			}
		}
		return false
	}
}

func file(path string) func() bool {
	return func() bool {
		_, err := os.Stat(path)
		return err == nil
	}
}

func matches(pattern string) func() bool {
	return func() bool {
		found, err := filepath.Glob(pattern)
		return err == nil && len(found) > 0
	}
}

func either(a, b func() bool) func() bool { return func() bool { return a() || b() } }

func both(a, b func() bool) func() bool { return func() bool { return a() && b() } }

func toolsToRun() []tool {
	return []tool{
		{"gcc", []string{"gcc", "libc6-dev"}, "gcc", "compiles SQLite", onPath("gcc", "cc")},
		{"ffmpeg", []string{"ffmpeg"}, "ffmpeg-full", "reads films and writes clips", both(onPath("ffmpeg"), onPath("ffprobe"))},
		{"Node.js with npm", []string{"nodejs", "npm"}, "node", "builds the page", both(onPath("node"), onPath("npm"))},
	}
}

func toolsToTest() []tool {
	return []tool{
		{"Chromium", []string{"chromium"}, "--cask chromium", "the browser tests", onPath("chromium", "chromium-browser", "google-chrome")},
		{"ChromeDriver", []string{"chromium-driver"}, "--cask chromedriver", "leads Chromium in the tests of every engine", onPath("chromedriver")},
		{"Firefox", []string{"firefox-esr"}, "--cask firefox", "the tests of every engine", onPath("firefox-esr", "firefox")},
		{"WebKitGTK", []string{
			"webkit2gtk-driver", "gstreamer1.0-libav", "gstreamer1.0-plugins-base", "gstreamer1.0-plugins-good", "gstreamer1.0-plugins-bad", "gstreamer1.0-gl",
		}, "", "the tests of every engine", onPath("WebKitWebDriver")},
		{"Xvfb", []string{"xvfb"}, "", "a screen in memory for WebKitGTK", onPath("Xvfb")},
		{"tesseract", []string{"tesseract-ocr", "tesseract-ocr-eng"}, "tesseract", "reads captions back off the pixels", onPath("tesseract")},
		{"exiftool", []string{"libimage-exiftool-perl"}, "exiftool", "looks for location data in clips", onPath("exiftool")},
		{"aubioonset", []string{"aubio-tools"}, "aubio", "a second opinion on onsets in sound", onPath("aubioonset")},
		{"pdftoppm", []string{"poppler-utils"}, "poppler", "looks at the printed report", onPath("pdftoppm")},
		postgresql,
		{"R", []string{"r-base-core"}, "r", "recomputes the statistics", onPath("Rscript")},
		{"real film of walkers", []string{"opencv-doc"}, "", "film without a throw in it", file("/usr/share/doc/opencv-doc/examples/data/vtest.avi")},
	}
}

func toolsToRelease() []tool {
	return []tool{
		{"a C compiler for Windows", []string{"gcc-mingw-w64-x86-64"}, "", "compiles SQLite for Windows", onPath("x86_64-w64-mingw32-gcc")},
	}
}

func toolsToTry() []tool {
	return []tool{
		{"debootstrap", []string{"debootstrap"}, "", "makes a fresh Debian to install the package in", onPath("debootstrap")},
		{"Wine", []string{"wine", "wine64"}, "", "runs the program for Windows", onPath("wine")},
	}
}

// install brings in what is missing with apt, and where there is no apt says
// exactly what to type.
func install(ctx context.Context, tools []tool) error {
	var missing []tool
	for _, t := range tools {
		if !t.present() {
			missing = append(missing, t)
		}
	}
	if len(missing) == 0 {
		return nil
	}
	var packages, formulas []string
	for _, t := range missing {
		fmt.Fprintf(os.Stderr, "missing: %s (%s)\n", t.name, t.why)
		packages = append(packages, t.debian...)
		if t.brew != "" {
			formulas = append(formulas, t.brew)
		}
	}
	if _, err := exec.LookPath("apt-get"); err != nil {
		if runtime.GOOS == "darwin" {
			// Homebrew's plain ffmpeg burns no captions in; the full one has to be linked.
			brew := "brew install " + strings.Join(formulas, " ")
			if slices.Contains(formulas, "ffmpeg-full") {
				brew += " && brew link --force ffmpeg-full"
			}
			return fmt.Errorf("please install what is missing, then run this again:\n  %s", brew)
		}
		return fmt.Errorf("please install what is missing with this system's package manager, then run this again; Debian calls it:\n  %s", strings.Join(packages, " "))
	}
	apt := []string{"apt-get"}
	if os.Geteuid() != 0 {
		if _, err := exec.LookPath("sudo"); err != nil {
			return fmt.Errorf("please run this as root, then start again:\n  apt-get update && apt-get install -y %s", strings.Join(packages, " "))
		}
		apt = []string{"sudo", "apt-get"}
	}
	update := append(apt[1:], "update")
	if err := run(ctx, apt[0], update...); err != nil {
		return err
	}
	env := []string{"DEBIAN_FRONTEND=noninteractive"}
	args := append(append([]string{}, apt[1:]...), append([]string{"install", "-y", "--no-install-recommends"}, packages...)...)
	if err := runIn(ctx, ".", env, apt[0], args...); err != nil {
		return err
	}
	for _, t := range missing {
		if !t.present() {
			return errors.New(t.name + " was installed but can't be found; open a new terminal and run this again")
		}
	}
	return nil
}
