package calib

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// The sides of a square, in its own frame.
const (
	Top = iota
	Right
	Bottom
	Left
)

// EdgePoint is a point on an edge of a square's frame, found in a photo to a
// few hundredths of a pixel.
type EdgePoint struct {
	Px    Point
	Side  int  // Top, Right, Bottom or Left
	Inner bool // on the frame's inner edge, not its outer one
}

// SquareEdges is one square as seen in a photo.
type SquareEdges struct {
	Number  int
	Corners [4]Point // outer corners, px, roughly: top left, top right, bottom right, bottom left
	Edges   []EdgePoint
}

// Assumptions are what is known before the photo is measured, each with its
// standard uncertainty.
type Assumptions struct {
	Lens        Lens       // fx = fy is the best guess; distortion is taken as exact
	FocalU      float64    // relative standard uncertainty of the focal length
	SquareSize  [2]float64 // outside size along x and y, mm
	SquareSizeU float64    // standard uncertainty of either, mm
	CentreU     float64    // standard uncertainty of the principal point, px each way
}

// Solution is the camera that one photo's squares give, with the joint
// covariance of all that was solved for.
type Solution struct {
	Camera   Camera
	Squares  []PlacedSquare
	EdgeRMS  float64 // robust rms of the edge points about the fitted frame, px
	EdgeSeen int     // edge points used

	model poseModel
	x     []float64
	cov   *mat.SymDense           // of x
	parts map[Group]*mat.SymDense // what each input contributes to it
}

// PlacedSquare is a square's place on the panel face.
type PlacedSquare struct {
	Number int
	Centre Point      // mm; the first square's is (0, 0)
	Turn   float64    // radians anticlockwise against the first square
	Size   [2]float64 // outside, mm
	RMS    float64    // of its edge points, mm
	Bloom  float64    // mean outward shift of the black edges, mm
}

// SolvePose finds the camera that puts every square's frame on its edge
// points: least squares on the distances along the edges' normals, robust,
// with the assumptions as priors. The first square gives the panel's frame;
// the others lie on the same face, anywhere.
//
// The outer and the inner edge of one side share a bloom (ink spread,
// threshold, blur), equal and opposite, that is solved too: so it is the
// frame's centre line that counts.
func SolvePose(squares []SquareEdges, a Assumptions) (*Solution, error) {
	if len(squares) == 0 {
		return nil, errors.New("no reference square")
	}
	start, err := poseFromCorners(squares[0].Corners, a)
	if err != nil {
		return nil, err
	}
	m := newPoseModel(squares, a, start)
	if m.points < 40 {
		return nil, errors.New("too little of the reference square's frame can be seen")
	}
	x0, steps := m.start()
	problem := lsq.Problem{Data: m.points, Priors: len(m.known), Eval: m.eval, Floor: 0.005, Alike: 1}
	res, err := problem.Solve(x0, steps)
	if err != nil {
		return nil, err
	}
	// Again, with each point's say reduced by how much its neighbours repeat it:
	// else the priors would be outvoted by one error told many times.
	problem.Alike = m.alike(res)
	if res, err = problem.Solve(res.X, steps); err != nil {
		return nil, err
	}
	s := &Solution{Camera: m.camera(res.X), EdgeRMS: res.Scale, model: m, x: res.X, cov: res.Cov, parts: contributions(res, m.known)}
	for i := range squares {
		s.Squares = append(s.Squares, m.placed(res, i))
	}
	for _, w := range res.Weights {
		if w > 0 {
			s.EdgeSeen++
		}
	}
	return s, nil
}

// poseModel maps a parameter vector to edge residuals. The vector holds
// changes against the start: the panel's tilt about the camera's x and y (2),
// its turn about the optical axis, the pixel where the origin is seen (2), the
// log of the scale there, the log of the focal length, the principal point
// (px), the size error along x and y (mm); then per square four blooms (mm), then per further square x, y
// and turn.
//
// The photo fixes the scale in pixels and how fast it changes over the
// square; distance and tilt follow from those only through the focal length
// and the size. So a longer focal length or a larger square takes distance and
// tilt along with it, and what the photo leaves open are straight directions
// for the solver.
type poseModel struct {
	squares []SquareEdges
	a       Assumptions
	tilt    Point   // of the start
	upright Mat3    // the start without its tilt
	origin  Point   // where the start sees the panel's origin, px
	scale   float64 // px per mm there: focal length over depth
	points  int
	normal  [][]Point // the photo's direction out of the square, at each edge point
	guess   []PlacedSquare
	known   []prior
}

const (
	iTilt   = 0
	iTurn   = 2
	iOrigin = 3
	iScale  = 5
	iFocal  = 6
	iCentre = 7
	iSize   = 9
	iBloom  = 11
	iOwn    = 11 // the camera ends here, and what is the squares' own begins
)

// bloomU is how far a black edge may plausibly be out of place, mm.
const bloomU = 0.3

func newPoseModel(squares []SquareEdges, a Assumptions, start Camera) poseModel {
	m := poseModel{squares: squares, a: a, origin: start.Project(Vec3{}), scale: start.Fx / start.T.Z, known: priorsOf(a, len(squares))}
	m.tilt, m.upright = splitTilt(start.R)
	for i, s := range squares {
		m.points += len(s.Edges)
		g := PlacedSquare{Number: s.Number, Size: a.SquareSize}
		if i > 0 {
			var c [4]Point
			for k, px := range s.Corners {
				c[k] = start.ToPlane(px, 0)
				g.Centre = g.Centre.Add(c[k].Mul(0.25))
			}
			along := c[1].Sub(c[0]).Add(c[2].Sub(c[3]))
			g.Turn = math.Atan2(along.Y, along.X)
		}
		m.guess = append(m.guess, g)
		m.normal = append(m.normal, edgeNormals(start, s, g))
	}
	return m
}

// edgeNormals gives, at each edge point, the direction in the photo at right
// angles to the edge and out of the square.
func edgeNormals(cam Camera, s SquareEdges, g PlacedSquare) []Point {
	out := make([]Point, len(s.Edges))
	for i, e := range s.Edges {
		p := unplace(cam.ToPlane(e.Px, 0), g.Centre, g.Turn)
		n := outward[e.Side]
		along := place(p.Add(Point{n.Y, n.X}.Mul(0.1)), g.Centre, g.Turn)
		t := cam.Project(Vec3{along.X, along.Y, 0}).Sub(e.Px)
		off := place(p.Add(n.Mul(0.1)), g.Centre, g.Turn)
		q := Point{-t.Y, t.X}
		q = q.Mul(1 / q.Norm())
		if q.Dot(cam.Project(Vec3{off.X, off.Y, 0}).Sub(e.Px)) < 0 {
			q = q.Mul(-1)
		}
		out[i] = q
	}
	return out
}

func (m poseModel) iPlace(square int) int { return iBloom + 4*len(m.squares) + 3*(square-1) }

// start returns the first guess and each parameter's natural step.
func (m poseModel) start() (x, steps []float64) {
	n := len(m.squares)
	x = make([]float64, iBloom+4*n+3*(n-1))
	steps = make([]float64, len(x))
	for i := range steps {
		steps[i] = 1e-3 // mm
	}
	steps[iTilt], steps[iTilt+1], steps[iTurn] = 1e-5, 1e-5, 1e-5
	steps[iOrigin], steps[iOrigin+1] = 1e-2, 1e-2 // px
	steps[iScale] = 1e-5
	steps[iCentre], steps[iCentre+1] = 1e-2, 1e-2 // px
	steps[iFocal] = 1e-4
	for i := 1; i < n; i++ {
		p := m.iPlace(i)
		x[p], x[p+1], x[p+2] = m.guess[i].Centre.X, m.guess[i].Centre.Y, m.guess[i].Turn
		steps[p+2] = 1e-5
	}
	return x, steps
}

func (m poseModel) camera(x []float64) Camera {
	c := Camera{Lens: m.a.Lens}
	longer := math.Exp(x[iFocal])
	c.Fx *= longer
	c.Fy *= longer
	c.Cx += x[iCentre]
	c.Cy += x[iCentre+1]
	larger := 1 + (x[iSize]+x[iSize+1])/(m.a.SquareSize[0]+m.a.SquareSize[1])
	tilt := m.tilt.Add(Point{x[iTilt], x[iTilt+1]}).Mul(longer * larger)
	c.R = Rotation(Vec3{tilt.X, tilt.Y, 0}).Mul(Rotation(Vec3{0, 0, x[iTurn]})).Mul(m.upright)
	depth := c.Fx * larger / (m.scale * math.Exp(x[iScale]))
	at := m.origin.Add(Point{x[iOrigin], x[iOrigin+1]})
	ray := c.Undistort(Point{(at.X - c.Cx) / c.Fx, (at.Y - c.Cy) / c.Fy})
	c.T = Vec3{ray.X, ray.Y, 1}.Mul(depth)
	return c
}

// splitTilt takes a rotation apart: first upright, facing the camera squarely
// at some turn, then tilted about an axis in the picture's plane.
func splitTilt(r Mat3) (tilt Point, upright Mat3) {
	n := Vec3{r[0][2], r[1][2], r[2][2]} // the panel's normal, camera frame
	axis := Vec3{0, 0, -1}.Cross(n)
	if s := axis.Norm(); s > 1e-12 {
		angle := math.Atan2(s, -n.Z)
		tilt = Point{axis.X, axis.Y}.Mul(angle / s)
	}
	return tilt, Rotation(Vec3{-tilt.X, -tilt.Y, 0}).Mul(r)
}

func (m poseModel) whereabouts(x []float64, square int) (centre Point, turn float64) {
	if square == 0 {
		return Point{}, 0
	}
	p := m.iPlace(square)
	return Point{x[p], x[p+1]}, x[p+2]
}

func (m poseModel) eval(x, r []float64) {
	cam := m.camera(x)
	size := [2]float64{m.a.SquareSize[0] + x[iSize], m.a.SquareSize[1] + x[iSize+1]}
	k := 0
	for i, s := range m.squares {
		centre, turn := m.whereabouts(x, i)
		bloom := x[iBloom+4*i : iBloom+4*i+4]
		for j, e := range s.Edges {
			// The distance is taken in the photo, between the point and the
			// model's edge nearest to it: taken on the panel, it would shrink
			// with the whole panel, and drag the scale down.
			p := unplace(cam.ToPlane(e.Px, 0), centre, turn)
			foot := p.Sub(outward[e.Side].Mul(edgeDistance(p, e, size, bloom[e.Side])))
			foot = place(foot, centre, turn)
			r[k] = m.normal[i][j].Dot(e.Px.Sub(cam.Project(Vec3{foot.X, foot.Y, 0})))
			k++
		}
	}
	for _, p := range m.known {
		r[k] = x[p.param] / p.u
		k++
	}
}

// unplace takes a point of the panel into a square's own frame.
func unplace(p, centre Point, turn float64) Point {
	d := p.Sub(centre)
	c, s := math.Cos(turn), math.Sin(turn)
	return Point{c*d.X + s*d.Y, -s*d.X + c*d.Y}
}

// place is the inverse of unplace.
func place(p, centre Point, turn float64) Point {
	c, s := math.Cos(turn), math.Sin(turn)
	return centre.Add(Point{c*p.X - s*p.Y, s*p.X + c*p.Y})
}

// outward is each side's direction out of the square, in its own frame.
var outward = [4]Point{Top: {0, 1}, Right: {1, 0}, Bottom: {0, -1}, Left: {-1, 0}}

// edgeDistance is how far p (the square's own frame, mm) lies outside its
// edge; bloom moves the outer edge outward and the inner edge inward.
func edgeDistance(p Point, e EdgePoint, size [2]float64, bloom float64) float64 {
	along := p.Dot(outward[e.Side])
	full := size[(e.Side+1)%2] // top and bottom lie across y
	if e.Inner {
		return along - full*(0.5-1.0/SquareGrid) + bloom
	}
	return along - full*0.5 - bloom
}

// alike is how many edge points tell the same error, because neighbours err
// together (grain of the paper, JPEG blocks, a wavy sheet): the variance of
// means over stretches of an edge against what independent points would give.
func (m poseModel) alike(res *lsq.Result) float64 {
	const stretch = 16
	var sum, count float64
	k := 0
	for _, s := range m.squares {
		for j := 0; j+stretch <= len(s.Edges); j += stretch {
			if s.Edges[j].Side != s.Edges[j+stretch-1].Side || s.Edges[j].Inner != s.Edges[j+stretch-1].Inner {
				continue
			}
			mean, n := 0.0, 0.0
			for i := range stretch {
				if res.Weights[k+j+i] > 0 {
					mean += res.Residuals[k+j+i]
					n++
				}
			}
			if n < stretch/2 {
				continue
			}
			sum += mean * mean / n
			count++
		}
		k += len(s.Edges)
	}
	if count == 0 {
		return 1
	}
	return math.Max(1, sum/count/(res.Scale*res.Scale))
}

func (m poseModel) placed(res *lsq.Result, square int) PlacedSquare {
	out := PlacedSquare{Number: m.squares[square].Number}
	out.Size = [2]float64{m.a.SquareSize[0] + res.X[iSize], m.a.SquareSize[1] + res.X[iSize+1]}
	out.Centre, out.Turn = m.whereabouts(res.X, square)
	for b := range 4 {
		out.Bloom += res.X[iBloom+4*square+b] / 4
	}
	scale := m.camera(res.X).PxPerMM(out.Centre, 0)
	k, sum, n := 0, 0.0, 0.0
	for i, s := range m.squares {
		for range s.Edges {
			if i == square && res.Weights[k] > 0 {
				d := res.Residuals[k] / scale
				sum += d * d
				n++
			}
			k++
		}
	}
	out.RMS = math.Sqrt(sum / math.Max(1, n))
	return out
}

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
