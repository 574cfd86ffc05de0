package calib

import "math"

// Point is a place in a plane: pixels in a photo, or millimetres on the panel.
type Point struct{ X, Y float64 }

// Add returns p + q.
func (p Point) Add(q Point) Point { return Point{p.X + q.X, p.Y + q.Y} }

// Sub returns p - q.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled by f.
func (p Point) Mul(f float64) Point { return Point{p.X * f, p.Y * f} }

// Dot returns the scalar product of p and q.
func (p Point) Dot(q Point) float64 { return p.X*q.X + p.Y*q.Y }

// Norm returns the length of p.
func (p Point) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Dist returns the distance from p to q.
func (p Point) Dist(q Point) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// Vec3 is a place or direction in space, in millimetres.
type Vec3 struct{ X, Y, Z float64 }

// Add returns v + w.
func (v Vec3) Add(w Vec3) Vec3 { return Vec3{v.X + w.X, v.Y + w.Y, v.Z + w.Z} }

// Sub returns v - w.
func (v Vec3) Sub(w Vec3) Vec3 { return Vec3{v.X - w.X, v.Y - w.Y, v.Z - w.Z} }

// Mul returns v scaled by f.
func (v Vec3) Mul(f float64) Vec3 { return Vec3{v.X * f, v.Y * f, v.Z * f} }

// Dot returns the scalar product of v and w.
func (v Vec3) Dot(w Vec3) float64 { return v.X*w.X + v.Y*w.Y + v.Z*w.Z }

// Cross returns the vector product of v and w.
func (v Vec3) Cross(w Vec3) Vec3 {
	return Vec3{v.Y*w.Z - v.Z*w.Y, v.Z*w.X - v.X*w.Z, v.X*w.Y - v.Y*w.X}
}

// Norm returns the length of v.
func (v Vec3) Norm() float64 { return math.Sqrt(v.Dot(v)) }

// Mat3 is a 3 x 3 matrix, rows first.
type Mat3 [3][3]float64

// Apply returns m v.
func (m Mat3) Apply(v Vec3) Vec3 {
	return Vec3{
		m[0][0]*v.X + m[0][1]*v.Y + m[0][2]*v.Z,
		m[1][0]*v.X + m[1][1]*v.Y + m[1][2]*v.Z,
		m[2][0]*v.X + m[2][1]*v.Y + m[2][2]*v.Z,
	}
}

// Mul returns m n.
func (m Mat3) Mul(n Mat3) Mat3 {
	var r Mat3
	for i := range 3 {
		for j := range 3 {
			r[i][j] = m[i][0]*n[0][j] + m[i][1]*n[1][j] + m[i][2]*n[2][j]
		}
	}
	return r
}

// Transpose returns m with rows and columns exchanged.
func (m Mat3) Transpose() Mat3 {
	var r Mat3
	for i := range 3 {
		for j := range 3 {
			r[i][j] = m[j][i]
		}
	}
	return r
}

// Rotation returns the matrix of a turn about the axis w by |w| radians
// (Rodrigues' formula).
func Rotation(w Vec3) Mat3 {
	a := w.Norm()
	if a < 1e-12 {
		return Mat3{{1, -w.Z, w.Y}, {w.Z, 1, -w.X}, {-w.Y, w.X, 1}}
	}
	k := w.Mul(1 / a)
	c, s := math.Cos(a), math.Sin(a)
	v := 1 - c
	return Mat3{
		{c + k.X*k.X*v, k.X*k.Y*v - k.Z*s, k.X*k.Z*v + k.Y*s},
		{k.Y*k.X*v + k.Z*s, c + k.Y*k.Y*v, k.Y*k.Z*v - k.X*s},
		{k.Z*k.X*v - k.Y*s, k.Z*k.Y*v + k.X*s, c + k.Z*k.Z*v},
	}
}

// Rect is an upright rectangle, mm.
type Rect struct{ Min, Max Point }

// Width returns the extent along x.
func (r Rect) Width() float64 { return r.Max.X - r.Min.X }

// Height returns the extent along y.
func (r Rect) Height() float64 { return r.Max.Y - r.Min.Y }
