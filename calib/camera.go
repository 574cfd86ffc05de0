package calib

import "math"

// Lens is a pinhole with Brown's distortion, in OpenCV's terms: focal lengths
// and principal point in pixels, radial k1, k2, k3 and tangential p1, p2 on
// normalised coordinates (D. C. Brown, Photogrammetric Engineering 32 (1966)).
type Lens struct {
	Width, Height int // the photo it is for, px
	Fx, Fy        float64
	Cx, Cy        float64
	K1, K2, K3    float64
	P1, P2        float64
}

// Distort maps normalised coordinates of an ideal pinhole (x/z, y/z) to the
// normalised coordinates where this lens puts them.
func (l Lens) Distort(p Point) Point {
	r2 := p.Dot(p)
	radial := 1 + r2*(l.K1+r2*(l.K2+r2*l.K3))
	return Point{
		p.X*radial + 2*l.P1*p.X*p.Y + l.P2*(r2+2*p.X*p.X),
		p.Y*radial + l.P1*(r2+2*p.Y*p.Y) + 2*l.P2*p.X*p.Y,
	}
}

// Undistort is the inverse of Distort, by Newton's method.
func (l Lens) Undistort(d Point) Point {
	if l.K1 == 0 && l.K2 == 0 && l.K3 == 0 && l.P1 == 0 && l.P2 == 0 {
		return d
	}
	p := d
	for range 20 {
		e := l.Distort(p).Sub(d)
		if math.Abs(e.X)+math.Abs(e.Y) < 1e-13 {
			break
		}
		const h = 1e-6
		gx := l.Distort(Point{p.X + h, p.Y}).Sub(l.Distort(Point{p.X - h, p.Y})).Mul(1 / (2 * h))
		gy := l.Distort(Point{p.X, p.Y + h}).Sub(l.Distort(Point{p.X, p.Y - h})).Mul(1 / (2 * h))
		det := gx.X*gy.Y - gy.X*gx.Y
		if math.Abs(det) < 1e-9 {
			break // folded over: far outside any photo
		}
		p = p.Sub(Point{(gy.Y*e.X - gy.X*e.Y) / det, (gx.X*e.Y - gx.Y*e.X) / det})
	}
	return p
}

// Ray returns the normalised coordinates (x/z, y/z) of a pixel's line of sight.
func (l Lens) Ray(px Point) Point {
	return l.Undistort(Point{(px.X - l.Cx) / l.Fx, (px.Y - l.Cy) / l.Fy})
}

// Pixel returns where the lens puts a line of sight: the inverse of Ray.
func (l Lens) Pixel(ray Point) Point {
	d := l.Distort(ray)
	return Point{l.Fx*d.X + l.Cx, l.Fy*d.Y + l.Cy}
}

// Pose places the panel before the camera: X_camera = R X_panel + T, mm.
type Pose struct {
	R Mat3
	T Vec3
}

// Camera is one photo's lens and pose.
type Camera struct {
	Lens
	Pose
}

// Project returns the pixel where the camera sees a point of the panel's
// space. The point must lie before the camera.
func (c Camera) Project(v Vec3) Point {
	q := c.R.Apply(v).Add(c.T)
	return c.Pixel(Point{q.X / q.Z, q.Y / q.Z})
}

// ToPlane returns where the line of sight of a pixel meets the plane at
// height z, in panel millimetres.
func (c Camera) ToPlane(px Point, z float64) Point {
	u := c.Ray(px)
	rt := c.R.Transpose()
	ray := rt.Apply(Vec3{u.X, u.Y, 1})
	eye := c.Eye()
	s := (z - eye.Z) / ray.Z
	return Point{eye.X + s*ray.X, eye.Y + s*ray.Y}
}

// Eye returns the camera's centre in panel millimetres.
func (c Camera) Eye() Vec3 {
	return c.R.Transpose().Apply(c.T).Mul(-1)
}

// Tilt returns the angle between the optical axis and the panel's normal,
// radians; 0 is straight on.
func (c Camera) Tilt() float64 {
	return math.Acos(math.Min(1, math.Abs(c.R[2][2])))
}

// PxPerMM returns the scale of the photo at a point of the plane z: the
// geometric mean over directions.
func (c Camera) PxPerMM(p Point, z float64) float64 {
	const h = 0.01
	a := c.Project(Vec3{p.X + h, p.Y, z}).Sub(c.Project(Vec3{p.X - h, p.Y, z}))
	b := c.Project(Vec3{p.X, p.Y + h, z}).Sub(c.Project(Vec3{p.X, p.Y - h, z}))
	return math.Sqrt(math.Abs(a.X*b.Y-a.Y*b.X)) / (2 * h)
}

// Around returns where the camera sees points all round a circle in the plane
// at height z.
func (c Camera) Around(circle Circle, z float64) []Point {
	const n = 90
	out := make([]Point, n)
	for i := range out {
		s, co := math.Sincos(2 * math.Pi * float64(i) / n)
		out[i] = c.Project(Vec3{circle.Centre.X + circle.R*co, circle.Centre.Y + circle.R*s, z})
	}
	return out
}
