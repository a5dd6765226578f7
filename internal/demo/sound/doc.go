// Package sound makes what a phone hears of a bullpen: the glove's pop and what
// else sounds like it, over wind, hiss and people talking.
//
// Everything is made of noise through resonators. Levels are shares of full
// scale; the hiss in the band that pops are looked for in is the measure of all.
package sound
