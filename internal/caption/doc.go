// Package caption is what a clip says and when: cues composed once from a rep's
// facts, written as ASS (burned into the picture), WebVTT (for the page) and SRT
// (beside the clip).
//
// It computes no number: gap and verdict arrive as facts.
package caption
