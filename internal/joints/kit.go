package joints

import (
	"os"
	"path/filepath"
	"runtime"

	"tenoff/internal/joints/parts"
)

// FolderVariable is the environment variable that names the folder of the parts where it
// is not beside the program.
const FolderVariable = "TENOFF_JOINTS"

// Kit is what finds joints on this machine: paths of ONNX Runtime's library and of the
// pose model.
type Kit struct{ Library, Model string }

// FindKit looks for the parts: in the folder that the environment names, beside the
// program, or where Debian's package puts them. lack is "" if they are there, else a
// sentence that says what is missing and how to get it.
func FindKit() (kit Kit, lack string) {
	_, name, ok := parts.Library(runtime.GOOS, runtime.GOARCH)
	if !ok {
		return Kit{}, "There is no ONNX Runtime for this kind of machine, so joints are not looked for here; everything else works."
	}
	var folders []string
	if named := os.Getenv(FolderVariable); named != "" {
		folders = append(folders, named)
	}
	if program, err := os.Executable(); err == nil {
		if real, err := filepath.EvalSymlinks(program); err == nil {
			program = real
		}
		beside := filepath.Dir(program)
		folders = append(folders, filepath.Join(beside, parts.Folder), filepath.Join(beside, "..", "lib", "tenoff", parts.Folder))
	}
	for _, f := range folders {
		kit = Kit{Library: filepath.Join(f, name), Model: filepath.Join(f, parts.ThunderName)}
		if isFile(kit.Library) && isFile(kit.Model) {
			return kit, ""
		}
	}
	return Kit{}, "To have her joints found in films, run `go run ./cmd/dev build` and keep its folder " + parts.Folder + ", with " + name + " and " + parts.ThunderName + " in it, beside the program; everything else works without."
}

func isFile(path string) bool {
	about, err := os.Stat(path)
	return err == nil && about.Mode().IsRegular()
}
