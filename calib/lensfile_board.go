package calib

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// Board is a flat chessboard: its inner corners (where four cells meet) in
// Columns by Rows, its cells Cell mm wide.
type Board struct {
	Columns, Rows int
	Cell          float64
}

// Corners returns the inner corners row by row, mm, in the board's own
// plane.
func (b Board) Corners() []Point {
	out := make([]Point, 0, b.Columns*b.Rows)
	for r := range b.Rows {
		for c := range b.Columns {
			out = append(out, Point{float64(c), float64(r)}.Mul(b.Cell))
		}
	}
	return out
}

// BoardView is the board as one photo shows it, and how the lens fits it.
type BoardView struct {
	Corners []Point // px, in the order of Board.Corners
	Used    []bool  // false: lay too far off the fit to be a corner
	Pose    Pose    // of the board before the camera
}

// LensFit is a lens and the views it was calibrated from.
type LensFit struct {
	Board Board
	Lens  Lens
	U     Lens // standard uncertainties of the lens's parameters
	Views []BoardView
}

// Residual returns how far corner k of view v was found from where the lens
// puts it, px.
func (f *LensFit) Residual(v, k int) Point {
	c := f.Board.Corners()[k]
	view := f.Views[v]
	return view.Corners[k].Sub(Camera{f.Lens, view.Pose}.Project(Vec3{c.X, c.Y, 0}))
}

// ViewRMS returns the root of the mean squared distance of a view's used
// corners from the fit, px, and how many they are.
func (f *LensFit) ViewRMS(v int) (rms float64, n int) {
	sum := 0.0
	for k, used := range f.Views[v].Used {
		if used {
			r := f.Residual(v, k)
			sum += r.Dot(r)
			n++
		}
	}
	return math.Sqrt(sum / math.Max(1, float64(n))), n
}

// RMS returns the same of all views together.
func (f *LensFit) RMS() (rms float64, n int) {
	sum := 0.0
	for v := range f.Views {
		r, k := f.ViewRMS(v)
		sum += r * r * float64(k)
		n += k
	}
	return math.Sqrt(sum / math.Max(1, float64(n))), n
}

// Tilt returns the angle between the optical axis and the board's normal in
// a view, radians.
func (f *LensFit) Tilt(v int) float64 { return Camera{f.Lens, f.Views[v].Pose}.Tilt() }

// Distance returns how far the board's middle is from the camera in a view,
// mm.
func (f *LensFit) Distance(v int) float64 {
	b := f.Board
	mid := Vec3{float64(b.Columns-1) / 2, float64(b.Rows-1) / 2, 0}.Mul(b.Cell)
	p := f.Views[v].Pose
	return p.R.Apply(mid).Add(p.T).Norm()
}

// Values returns the lens's nine parameters: fx, fy, cx, cy, k1, k2, p1, p2,
// k3.
func (l Lens) Values() [9]float64 {
	return [9]float64{l.Fx, l.Fy, l.Cx, l.Cy, l.K1, l.K2, l.P1, l.P2, l.K3}
}

// With returns the lens with other parameters, in the order of Values.
func (l Lens) With(v [9]float64) Lens {
	l.Fx, l.Fy, l.Cx, l.Cy, l.K1, l.K2, l.P1, l.P2, l.K3 = v[0], v[1], v[2], v[3], v[4], v[5], v[6], v[7], v[8]
	return l
}

// lensSteps are natural steps of the parameters that are solved for: fx = fy,
// then the others in the order of Values.
var lensSteps = [8]float64{1e-2, 1e-2, 1e-2, 1e-4, 1e-4, 1e-5, 1e-5, 1e-4}

// vary returns the lens with one of those parameters changed by d.
func (l Lens) vary(i int, d float64) Lens {
	v := l.Values()
	if i == 0 {
		v[0] += d
	}
	v[i+1] += d
	return l.With(v)
}

// Spread returns the lens's standard uncertainties from the residuals alone:
// the covariance of the least-squares fit, linearised, each view's own pose
// eliminated, for corners that err independently (Z. Zhang, IEEE PAMI 22
// (2000), 3.3 for the model; the elimination is the Schur complement of
// bundle adjustment). fittedK3 tells whether k3 was solved for; when not, its
// uncertainty is 0. ok is false when the views leave the lens open.
func (f *LensFit) Spread(fittedK3 bool) (u Lens, ok bool) {
	n := len(lensSteps)
	if !fittedK3 {
		n-- // k3 is the last
	}
	normal := mat.NewDense(n, n, nil)
	views := 0
	for v := range f.Views {
		if f.addView(normal, v) {
			views++
		}
	}
	rms, corners := f.RMS()
	free := 2*corners - n - 6*views
	var inv mat.Dense
	if inv.Inverse(normal) != nil || free < 1 {
		return Lens{}, false
	}
	variance := rms * rms * float64(corners) / float64(free) // of one coordinate
	var each [9]float64
	for i := range n {
		each[i+1] = math.Sqrt(math.Max(0, variance*inv.At(i, i)))
	}
	each[0] = each[1]
	return Lens{}.With(each), true
}

// addView adds to the normal equations what a view says of the lens once its
// own pose is free; it tells whether that is anything.
func (f *LensFit) addView(normal *mat.Dense, v int) bool {
	n, _ := normal.Dims()
	view := f.Views[v]
	at := f.Board.Corners()
	_, used := f.ViewRMS(v)
	if used < 4 {
		return false
	}
	lens, pose := mat.NewDense(2*used, n, nil), mat.NewDense(2*used, 6, nil)
	fill := func(m *mat.Dense, j int, plus, minus Camera, step float64) {
		row := 0
		for k, c := range at {
			if view.Used[k] {
				q := Vec3{c.X, c.Y, 0}
				d := plus.Project(q).Sub(minus.Project(q)).Mul(1 / (2 * step))
				m.Set(row, j, d.X)
				m.Set(row+1, j, d.Y)
				row += 2
			}
		}
	}
	for i, step := range lensSteps[:n] {
		fill(lens, i, Camera{f.Lens.vary(i, step), view.Pose}, Camera{f.Lens.vary(i, -step), view.Pose}, step)
	}
	for j := range 6 {
		const turn, shift = 1e-5, 1e-2 // radians, mm
		step := shift
		if j < 3 {
			step = turn
		}
		fill(pose, j, Camera{f.Lens, view.Pose.nudged(j, step)}, Camera{f.Lens, view.Pose.nudged(j, -step)}, step)
	}
	var ll, lp, pp, solved, cut mat.Dense
	ll.Mul(lens.T(), lens)
	lp.Mul(lens.T(), pose)
	pp.Mul(pose.T(), pose)
	if solved.Solve(&pp, lp.T()) != nil {
		return false
	}
	cut.Mul(&lp, &solved)
	ll.Sub(&ll, &cut)
	normal.Add(normal, &ll)
	return true
}

// nudged returns the pose turned about (j from 0) or shifted along (j from 3)
// one of the camera's axes.
func (p Pose) nudged(j int, d float64) Pose {
	var step [6]float64
	step[j] = d
	turn := Rotation(Vec3{step[0], step[1], step[2]})
	p.R = turn.Mul(p.R)
	p.T = p.T.Add(Vec3{step[3], step[4], step[5]})
	return p
}
