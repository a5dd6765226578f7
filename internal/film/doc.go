// Package film knows video files as phones make them: what a file says of itself
// (Probe), and the one decoding pass (Read) that makes everything the rest of the
// program needs of it: the working copy for scrubbing, the frame clock, the
// picture strip and the traces of motion and sound. The original is only ever
// read.
//
// A film's frames are counted from the first one shown, 0. The same index means
// the same picture in the frame clock, in the working copy and in the traces.
package film
