package proc

import (
	"os/exec"
	"runtime"
)

// packages names the package that brings a program, where it is not the program's
// own name.
var packages = map[string]string{
	"ffprobe":   "ffmpeg",
	"tesseract": "tesseract-ocr",
	"exiftool":  "libimage-exiftool-perl",
}

// Find returns the path of a program, or a *MissingError.
func Find(name string) (string, error) {
	path, err := exec.LookPath(name)
	if err == nil {
		return path, nil
	}
	return "", &MissingError{Name: name, Hint: hint(name, runtime.GOOS)}
}

func hint(name, system string) string {
	pack := name
	if p, ok := packages[name]; ok {
		pack = p
	}
	switch system {
	case "darwin":
		return "brew install " + pack
	case "windows":
		return "winget install " + pack
	}
	return "apt-get install " + pack
}
