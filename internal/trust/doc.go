// Package trust looks across a pitcher's bullpens: is the gap steady, does the body
// stay fast, does she hit her spots, can the pitch be trusted in a game by the
// instructor's own rule, and how much was thrown.
//
// It is pure. Only full pitches count for trend and rule; drills have baselines of
// their own. Everything thrown counts for the load.
package trust
