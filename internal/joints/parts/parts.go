// Package parts names what has to lie beside the program so that joints are found: ONNX
// Runtime's library and the pose model. The set-up fetches them by these names, and the
// program takes nothing else for them: both go by their hashes.
package parts

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
)

// Folder is the folder, beside the program, that the parts lie in.
const Folder = "joints"

// File is a file out of a package of npm's registry.
type File struct {
	Package, Version string
	Path             string // inside the package
	SHA256           string // hex
}

// Check fails if data is not the file.
func (f File) Check(data []byte) error { return same(f.Path, f.SHA256, data) }

func same(what, want string, data []byte) error {
	if sum := sha256.Sum256(data); hex.EncodeToString(sum[:]) != want {
		return fmt.Errorf("%s is not the file that is known: its SHA-256 is %x", what, sum)
	}
	return nil
}

// runtimeVersion is the version of ONNX Runtime (MIT). Another one is taken only after
// somebody has looked at what it does: 1.30.0 reports to its maker over the network as soon
// as it is loaded. This one's library opens no socket; a test holds it to that.
const runtimeVersion = "1.26.0"

// library is ONNX Runtime for a system.
type library struct{ path, name, sum string }

var libraries = map[string]library{
	"linux/amd64":   {"linux/x64/libonnxruntime.so.1", "libonnxruntime.so.1", "57625571931dd813257ed422fe73ba2c25aadcc5640d9c6743e71540135c227e"},
	"linux/arm64":   {"linux/arm64/libonnxruntime.so.1", "libonnxruntime.so.1", "115ecb838e703d390262b8b4d07d5248e6693c67658d4c98c48f94905ab27af4"},
	"darwin/arm64":  {"darwin/arm64/libonnxruntime.1.dylib", "libonnxruntime.1.dylib", "e51438fb319250db7cba147049ab26fe6fa842f4d6f7c849256cab57ad4cc703"},
	"windows/amd64": {"win32/x64/onnxruntime.dll", "onnxruntime.dll", "c444a0d4b08d4d0b0fa78300ae9c8ae9ff3f59276a81dd5a823eb8bc19d962d6"},
	"windows/arm64": {"win32/arm64/onnxruntime.dll", "onnxruntime.dll", "5216696df3712e384e5fe95f22d3f78c835a371d840df2cdbcc0e3a69dab3e45"},
}

// Library returns ONNX Runtime for a system, as Go names it, and the name it has in the
// Folder; ok is false where there is none.
func Library(system, arch string) (f File, name string, ok bool) {
	l, ok := libraries[system+"/"+arch]
	return File{"onnxruntime-node", runtimeVersion, "bin/napi-v6/" + l.path, l.sum}, l.name, ok
}
