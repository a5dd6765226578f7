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
// somebody has looked at it: what it says to whom over the network is part of it.
const runtimeVersion = "1.30.0"

// library is ONNX Runtime for a system.
type library struct{ path, name, sum string }

var libraries = map[string]library{
	"linux/amd64":   {"linux/x64/libonnxruntime.so.1", "libonnxruntime.so.1", "ffb75a925ba05e47b235bb66e3e3911714a80b328a9c9425539feb204aa32a23"},
	"linux/arm64":   {"linux/arm64/libonnxruntime.so.1", "libonnxruntime.so.1", "1f549d46250b005580b597f4164984aaf75b3bcb9f3aeb07c7f8a8fe60b23c76"},
	"darwin/arm64":  {"darwin/arm64/libonnxruntime.1.dylib", "libonnxruntime.1.dylib", "685d2be5dba1309c89d3a5324b7fd06a5c42f1a61bfea32d14c4cc28d072121d"},
	"windows/amd64": {"win32/x64/onnxruntime.dll", "onnxruntime.dll", "508c362f5673483dd3a086379c392795b2e42d10d5e6f3f90ebd7ac21c97af67"},
	"windows/arm64": {"win32/arm64/onnxruntime.dll", "onnxruntime.dll", "6c3a2abf5c6aca11c48a0d338a91af309f2266f25ce2e4084e6a87bbcb0fbfd0"},
}

// Library returns ONNX Runtime for a system, as Go names it, and the name it has in the
// Folder; ok is false where there is none.
func Library(system, arch string) (f File, name string, ok bool) {
	l, ok := libraries[system+"/"+arch]
	return File{"onnxruntime-node", runtimeVersion, "bin/napi-v6/" + l.path, l.sum}, l.name, ok
}
