// Package flight knows the ball between hand and glove: where it is, how fast it
// still is, how dense the air is, and which speed a measured time of flight means.
//
// The model is quadratic drag along a straight line, dv/dt = -k v^2 with constant
// k, so v(x) = v0 e^(-k x). Gravity and lift are left out: over 60 ft they make
// the path less than 1 % longer. The arrival time itself is bullpen.Way.Seconds,
// because bands may be set in milliseconds at the plate.
package flight
