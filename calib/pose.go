package calib

import (
	"errors"

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
	Inner bool // on the frame's inner edge, not its outer one; of a rectangle: the light lies inside
}

// SquareEdges is one square as seen in a photo, or a plain rectangle in its
// place, which has one edge a side.
type SquareEdges struct {
	Number    int // 0 for a rectangle
	Rectangle bool
	Corners   [4]Point // outer corners, px, roughly: top left, top right, bottom right, bottom left
	Edges     []EdgePoint
}

// Assumptions are what is known before the photo is measured, each with its
// standard uncertainty.
type Assumptions struct {
	Lens        Lens       // the best guess; of the distortion, all but k1 is taken as exact
	FocalU      float64    // relative standard uncertainty of the focal length
	K1U         float64    // standard uncertainty of k1; 0 takes it as exact too
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

	model   poseModel
	x       []float64
	cov     *mat.SymDense           // of x
	parts   map[Group]*mat.SymDense // what each input contributes to it
	weights []float64               // of the edge points
	alike   float64                 // how many of them tell one error
}

// Seen returns the squares' edges as the photo showed them.
func (s *Solution) Seen() []SquareEdges { return s.model.squares }

// PlacedSquare is a square's place on the panel face.
type PlacedSquare struct {
	Number    int
	Rectangle bool
	Centre    Point      // mm; the first square's is (0, 0)
	Turn      float64    // radians anticlockwise against the first square
	Size      [2]float64 // outside, mm
	RMS       float64    // of its edge points, mm
	Bloom     float64    // mean outward shift of the black edges, mm
	Warp      float64    // how far the sheet stands off its mean plane, mm (rms)
}

// SolvePose finds the camera that puts every square's frame on its edge
// points: least squares on the distances along the edges' normals, robust,
// with the assumptions as priors. The first square gives the panel's frame;
// the others lie on the same face, anywhere.
//
// The outer and the inner edge of one side share a bloom (ink spread,
// threshold, blur), equal and opposite, that is solved too: so it is the
// frame's centre line that counts.
//
// A lens's radial distortion (D. C. Brown, Photogrammetric Engineering 37
// (1971) 855: its first term) and a square's bent sheet are solved too, as far
// as the edges show them. One bows all lines of the photo about its middle, and
// the other those of its own square, so that one square's bowed edges alone
// pass for a bent sheet.
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
		return nil, errors.New("too little of its edges can be seen")
	}
	x, steps := m.start()
	problem := lsq.Problem{Data: m.points, Priors: len(m.known), Eval: m.eval, Floor: m.looseFloor(x), Alike: 1}
	res, err := problem.Solve(x, steps)
	if err != nil {
		return nil, err
	}
	// Again, aimed from where the camera was found, with the noise that there
	// is; and once more with each point's say reduced by how much its neighbours
	// repeat it: else the priors would be outvoted by one error told many times.
	m.aim(res.X)
	problem.Eval, problem.Floor = m.eval, m.floor()
	if res, err = problem.Solve(res.X, steps); err != nil {
		return nil, err
	}
	problem.Alike = m.alike(res)
	if res, err = problem.Solve(res.X, steps); err != nil {
		return nil, err
	}
	s := &Solution{Camera: m.camera(res.X), EdgeRMS: res.Scale, model: m, x: res.X, weights: res.Weights, alike: problem.Alike}
	s.parts = contributions(res, m.known)
	s.cov = sumOf(s.parts)
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
