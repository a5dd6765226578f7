// Package demo makes bullpens that nobody threw: a film, its sound, and the
// exact truth about both.
//
// A pitcher of two dozen limbs throws windmill deliveries in a drawn ball park;
// the ball flies by the drag model of package flight and pops into a glove. The
// program shows such a bullpen to a newcomer, and the tests of everything that
// looks at film or listens to sound take their truth from here.
//
// Plan decides everything and knows the truth before a pixel is drawn; a Take is
// then drawn as often as wanted: as small gray frames and samples straight into
// memory (Take.Gray, Take.Sound), as one picture (Take.Picture), or as a film
// that ffmpeg encodes (Take.Write). The same Options give the same bullpen, to
// the pixel and the sample.
//
// On two free cores of 2026 Gray draws about 2,000 frames of 160 x 90 a second, and
// the newcomer's 81 seconds at 1280 x 720 and 60 frames a second are drawn and
// encoded in under 40 seconds (53 seconds of processor time).
//
// What is not modelled: loose clothes, rolling shutter, autofocus and changing
// exposure; and there is one skeleton with one style. Whoever passes on these
// films alone has not yet passed on film.
//
// The delivery's key times and the body's measures are ours, chosen to look
// right and to last as long as the few published figures say (top of the circle
// to release 0.13 s, plant to release 0.11 s); they are not taken from a source.
package demo

// Drawing is the version of what is drawn and heard. It is raised with every change after
// which the same Options give another film, other sound or another truth: what was measured
// of one of an older version is not taken for this one's.
const Drawing = 1
