// Package posture says how a pitcher's body moves, from where her joints are in the
// picture: how far her trunk leans, how her hips open, how long her stride is. It is
// pure: joints in, measures out, each with how far it can be off.
//
// One camera sees a shadow of the body. What is measured here is that shadow's, so a
// delivery is compared only with others of the same pitcher that were filmed from the
// same place.
package posture
