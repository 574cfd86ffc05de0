package calib

import (
	"errors"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// poseFromCorners is the first guess: the plane homography of the four
// corners, taken apart with the assumed focal length (Z. Zhang, IEEE PAMI 22
// (2000), 3.1).
func poseFromCorners(corners [4]Point, a Assumptions) (Camera, error) {
	w, h := a.SquareSize[0]/2, a.SquareSize[1]/2
	plane := [4]Point{{-w, h}, {w, h}, {w, -h}, {-w, -h}}
	var rays [4]Point
	for i, c := range corners {
		rays[i] = a.Lens.Undistort(Point{(c.X - a.Lens.Cx) / a.Lens.Fx, (c.Y - a.Lens.Cy) / a.Lens.Fy})
	}
	hm, err := Homography(plane[:], rays[:])
	if err != nil {
		return Camera{}, err
	}
	if hm[2][2] < 0 {
		for i := range 3 {
			for j := range 3 {
				hm[i][j] = -hm[i][j]
			}
		}
	}
	c1 := Vec3{hm[0][0], hm[1][0], hm[2][0]}
	c2 := Vec3{hm[0][1], hm[1][1], hm[2][1]}
	t := Vec3{hm[0][2], hm[1][2], hm[2][2]}
	scale := 2 / (c1.Norm() + c2.Norm())
	r1 := c1.Mul(1 / c1.Norm())
	r2 := c2.Sub(r1.Mul(r1.Dot(c2)))
	r2 = r2.Mul(1 / r2.Norm())
	r3 := r1.Cross(r2)
	return Camera{Lens: a.Lens, Pose: Pose{
		R: Mat3{{r1.X, r2.X, r3.X}, {r1.Y, r2.Y, r3.Y}, {r1.Z, r2.Z, r3.Z}},
		T: t.Mul(scale),
	}}, nil
}

// Homography returns the matrix that maps the plane points from to the plane
// points to, up to scale: the direct linear transform (Hartley and Zisserman,
// Multiple View Geometry, 2nd ed., 4.1), without normalisation, for four or
// more points of moderate size.
func Homography(from, to []Point) (Mat3, error) {
	if len(from) != len(to) || len(from) < 4 {
		return Mat3{}, errors.New("a homography needs four pairs of points")
	}
	a := mat.NewDense(2*len(from), 9, nil)
	for i, p := range from {
		q := to[i]
		a.SetRow(2*i, []float64{p.X, p.Y, 1, 0, 0, 0, -q.X * p.X, -q.X * p.Y, -q.X})
		a.SetRow(2*i+1, []float64{0, 0, 0, p.X, p.Y, 1, -q.Y * p.X, -q.Y * p.Y, -q.Y})
	}
	var svd mat.SVD
	if !svd.Factorize(a, mat.SVDFull) {
		return Mat3{}, lsq.ErrNoSolution
	}
	values := svd.Values(nil)
	if values[7] < 1e-9*values[0] {
		return Mat3{}, errors.New("three of the four points lie on one line")
	}
	var v mat.Dense
	svd.VTo(&v)
	var h Mat3
	for i := range 9 {
		h[i/3][i%3] = v.At(i, 8)
	}
	return h, nil
}

// Apply2 maps a plane point by m as a homography.
func (m Mat3) Apply2(p Point) Point {
	v := m.Apply(Vec3{p.X, p.Y, 1})
	return Point{v.X / v.Z, v.Y / v.Z}
}
