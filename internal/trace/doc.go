// Package trace turns a film's small gray frames and its sound into features,
// and the features into what an instructor needs to see: where the reps are,
// when the ball left the hand, when the glove popped, and how fast the film says
// the ball flew.
//
// It is pure: arrays in, features out. It knows no file, process or clock; time
// is always seconds of the film, counted from its first shown frame, unless a
// name says "real" (seconds of the world, which differ for a film that was
// slowed inside the phone).
//
// The two passes over raw data, Meter (pictures) and Ear (sound), stream: they
// are fed while the film is decoded and hold a few seconds of it at most. Their
// results, Motion and Sound, are compact, are stored beside the film, and carry
// the Version of the method that made them.
package trace

// Version is the version of the traces' method. Traces of another version are
// measured anew from the film.
const Version = 4

// FinderVersion is the version of what is made of traces: where the reps and their releases
// are, and whether a film looks slowed. It is raised with every change to what that says of
// some film, which is searched again then; its traces stay.
const FinderVersion = 1
