package motion

import "math"

// Vec is a point or a direction in space, in metres.
type Vec struct{ X, Y, Z float64 }

// Add returns a + b.
func (a Vec) Add(b Vec) Vec { return Vec{a.X + b.X, a.Y + b.Y, a.Z + b.Z} }

// Sub returns a - b.
func (a Vec) Sub(b Vec) Vec { return Vec{a.X - b.X, a.Y - b.Y, a.Z - b.Z} }

// Mul returns a times k.
func (a Vec) Mul(k float64) Vec { return Vec{a.X * k, a.Y * k, a.Z * k} }

// Dot returns the inner product.
func (a Vec) Dot(b Vec) float64 { return a.X*b.X + a.Y*b.Y + a.Z*b.Z }

// Cross returns the outer product.
func (a Vec) Cross(b Vec) Vec {
	return Vec{a.Y*b.Z - a.Z*b.Y, a.Z*b.X - a.X*b.Z, a.X*b.Y - a.Y*b.X}
}

// Len returns the length.
func (a Vec) Len() float64 { return math.Sqrt(a.Dot(a)) }

// Unit returns a at length one; the zero vector stays.
func (a Vec) Unit() Vec {
	if n := a.Len(); n > 0 {
		return a.Mul(1 / n)
	}
	return a
}

// Lerp returns the point a share k of the way from a to b.
func (a Vec) Lerp(b Vec, k float64) Vec { return a.Add(b.Sub(a).Mul(k)) }

// level returns the horizontal unit vector of a yaw.
func level(yaw float64) Vec {
	s, c := math.Sincos(yaw)
	return Vec{c, s, 0}
}
