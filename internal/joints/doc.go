// Package joints finds where a pitcher's joints are in the frames of a film, on this
// machine and without a network: a pose model run by ONNX Runtime. Both are files beside
// the program (internal/joints/parts) and may be missing; then nothing is found and
// everything else works.
package joints
