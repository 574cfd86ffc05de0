package calib

import (
	"math"
)

// poseModel maps a parameter vector to edge residuals. The vector begins with
// the camera, as changes against the start: the panel's tilt about the camera's
// x and y (2), its turn about the optical axis, the pixel where the origin is
// seen (2), the log of the scale there, the log of the focal length, the
// principal point (px), the size error along x and y (mm), the radial
// distortion k1. Then come each square's own: four blooms (mm) and three bends
// (mm); then per further square its x, y and turn.
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
	aims    [][]aim // of each square's edge points
	guess   []PlacedSquare
	known   []prior
}

// An aim says how an edge point is compared with the model: where along its
// edge, and in which direction of the photo. Neither needs to be exact, for
// the edge is straight or nearly so.
type aim struct {
	along  float64 // mm from the middle of the side, anticlockwise round the square
	normal Point   // the photo's direction at right angles to the edge, out of the square
}

const (
	iTilt   = 0
	iTurn   = 2
	iOrigin = 3
	iScale  = 5
	iFocal  = 6
	iCentre = 7
	iSize   = 9
	iK1     = 11
	iOwn    = 12 // the camera ends here, and what is the squares' own begins

	ownBloom = 0 // within a square's own
	ownBend  = 4
	ownCount = 7
)

func (m poseModel) own(square int) int { return iOwn + ownCount*square }

func (m poseModel) iPlace(square int) int { return m.own(len(m.squares)) + 3*(square-1) }

// How a square may plausibly differ from its drawing, mm (standard
// uncertainties; common practice).
const (
	bloomU = 0.3  // a black edge out of place; both edges of the frame tell it
	flatU  = 0.03 // a taped sheet out of its plane; a curled one is out by much more
)

func newPoseModel(squares []SquareEdges, a Assumptions, start Camera) poseModel {
	m := poseModel{squares: squares, a: a, origin: start.Project(Vec3{}), scale: start.Fx / start.T.Z}
	m.tilt, m.upright = splitTilt(start.R)
	m.known = []prior{
		{iFocal, a.FocalU, GroupFocal, false},
		{iSize, a.SquareSizeU, GroupSize, false},
		{iSize + 1, a.SquareSizeU, GroupSize, false},
		{iCentre, a.CentreU, GroupCentre, false},
		{iCentre + 1, a.CentreU, GroupCentre, false},
		{iK1, math.Max(a.K1U, 1e-6), GroupDistortion, true},
	}
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
		for k := range 4 {
			m.known = append(m.known, prior{m.own(i) + ownBloom + k, bloomPrior(k, s.Rectangle, m.scale), GroupBloom, false})
		}
		for k := range 3 {
			m.known = append(m.known, prior{m.own(i) + ownBend + k, flatU, GroupFlat, !s.Rectangle})
		}
	}
	x, _ := m.start()
	m.aim(x)
	return m
}

// aim takes aim at every edge point from where x puts camera and squares.
func (m *poseModel) aim(x []float64) {
	cam := m.camera(x)
	m.aims = nil
	for i, s := range m.squares {
		centre, turn := m.whereabouts(x, i)
		aims := make([]aim, len(s.Edges))
		for k, e := range s.Edges {
			p := unplace(cam.ToPlane(e.Px, 0), centre, turn)
			n := outward[e.Side]
			t := Point{-n.Y, n.X}
			ahead := place(p.Add(t.Mul(0.1)), centre, turn)
			d := cam.Project(Vec3{ahead.X, ahead.Y, 0}).Sub(e.Px)
			// The photo is a mirror image of the panel's frame, its y being down.
			aims[k] = aim{p.Dot(t), Point{-d.Y, d.X}.Mul(1 / d.Norm())}
		}
		m.aims = append(m.aims, aims)
	}
}

// start returns the first guess and each parameter's natural step.
func (m poseModel) start() (x, steps []float64) {
	n := len(m.squares)
	x = make([]float64, m.iPlace(n))
	steps = make([]float64, len(x))
	for i := range steps {
		steps[i] = 1e-3 // mm
	}
	steps[iTilt], steps[iTilt+1], steps[iTurn] = 1e-5, 1e-5, 1e-5
	steps[iOrigin], steps[iOrigin+1] = 1e-2, 1e-2 // px
	steps[iScale] = 1e-5
	steps[iCentre], steps[iCentre+1] = 1e-2, 1e-2 // px
	steps[iFocal] = 1e-4
	steps[iK1] = 1e-5
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
	c.K1 += x[iK1]
	larger := 1 + (x[iSize]+x[iSize+1])/(m.a.SquareSize[0]+m.a.SquareSize[1])
	tilt := m.tilt.Add(Point{x[iTilt], x[iTilt+1]}).Mul(longer * larger)
	c.R = Rotation(Vec3{tilt.X, tilt.Y, 0}).Mul(Rotation(Vec3{0, 0, x[iTurn]})).Mul(m.upright)
	depth := c.Fx * larger / (m.scale * math.Exp(x[iScale]))
	at := m.origin.Add(Point{x[iOrigin], x[iOrigin+1]})
	ray := c.Ray(at)
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

// eval fills r with how far each edge point lies in the photo from the
// model's edge, along the edge's normal, and then with the priors' pulls. The
// distance is taken in the photo: taken on the panel it would shrink with the
// whole panel, and drag the scale down.
func (m poseModel) eval(x, r []float64) {
	m.edgeResiduals(x, r)
	k := m.points
	for _, p := range m.known {
		r[k] = p.residual(x[p.param])
		k++
	}
}

// size is the outside of every square, mm.
func (m poseModel) size(x []float64) [2]float64 {
	return [2]float64{m.a.SquareSize[0] + x[iSize], m.a.SquareSize[1] + x[iSize+1]}
}

// edgeResiduals is the first part of eval.
func (m poseModel) edgeResiduals(x, r []float64) {
	cam := m.camera(x)
	size := m.size(x)
	k := 0
	for i, s := range m.squares {
		centre, turn := m.whereabouts(x, i)
		own := x[m.own(i) : m.own(i)+ownCount]
		sin, cos := math.Sincos(turn)
		for j, e := range s.Edges {
			n := outward[e.Side]
			along, across := m.aims[i][j].along, edgePlace(e, s.Rectangle, size, bloomOf(own[ownBloom:], e.Side, s.Rectangle))
			foot := Point{across*n.X - along*n.Y, across*n.Y + along*n.X}
			at := Vec3{
				centre.X + cos*foot.X - sin*foot.Y,
				centre.Y + sin*foot.X + cos*foot.Y,
				bentBy(own[ownBend:], foot, size),
			}
			r[k] = m.aims[i][j].normal.Dot(e.Px.Sub(cam.Project(at)))
			k++
		}
	}
}
