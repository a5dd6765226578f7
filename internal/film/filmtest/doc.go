// Package filmtest makes small films for tests, with ffmpeg, in which every frame
// carries its own number, and reads the numbers back off the pixels.
package filmtest
