// Package tells finds what gives an off-speed pitch away: where in her delivery, and how
// long before release, it looks otherwise than her fastball's by more than her fastballs
// look otherwise among themselves. It is pure: two groups of deliveries in, each a set of
// looks (a measure of her body, or a place in the picture, at a moment), tells out.
//
// Looking in a thousand places finds something in any bullpen, so the whole of it is one
// test: deliveries are relabelled, which was a fastball and which was not, and the largest
// difference anywhere is what counts each time (Nichols & Holmes 2002, Nonparametric
// permutation tests for functional neuroimaging, Hum. Brain Mapp. 15, 1-25). A bullpen in
// which nothing differs gives a false tell in one of twenty at most.
package tells
