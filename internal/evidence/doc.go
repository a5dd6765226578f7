// Package evidence says what reps let one say, and how surely.
//
// Reps of one pitch in one drill share a level; all reps of a bullpen share a slope, for
// she warms up or tires whatever she throws:
//
//	value = level(group) + slope * place + error
//
// LineOf takes the reps for it and what was known before them, and the Line answers: a
// group's level anywhere in the bullpen, how far two groups lie apart, what the next rep
// will be, whether she changed while she threw. Every answer is an Estimate, wide where
// the reps say little: one fastball early and one late pin the slope down, all of them
// first leave it open, and so leave open how far the change-ups after them lie.
//
// It is one small Bayesian linear model in closed form, the normal-inverse-gamma one
// (Gelman et al., Bayesian Data Analysis, 3rd ed., 2013, sections 3.3 and 14.2 to 14.8),
// in whatever unit the values have: mph of a ball, logarithms of a time of the body.
//
// It is pure and imports nothing else of this module.
package evidence
