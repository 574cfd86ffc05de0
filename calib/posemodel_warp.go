package calib

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// What is believed of a sheet that does not lie flat, before its photo is
// measured (common practice).
const (
	warpReach = 0.4  // over what share of the side it keeps its height: waves of one to two sides
	usualWarp = 0.05 // mm; most sheets have less, a crumpled one several times as much
)

// warp is by how much a square's sheet stands off its mean plane, mm (rms), as
// its edges in the photo show it.
//
// Its height is taken for a random field of standard deviation w, and the mean
// of each part of an edge for the sum of what the pose's parameters, the
// noise and that field, seen at a slant, make of it: a normal vector, whose
// covariance hangs on w. So the photo gives each w a likelihood (Rasmussen and
// Williams, Gaussian Processes for Machine Learning, 2.2 and 5.4.1; the field's
// covariance is their squared exponential), a half-Cauchy prior holds it small
// (Gelman, Bayesian Analysis 1 (2006) 515), and the root of w²'s mean is
// returned. It needs no bend to be solved, and counts what a solved one leaves.
func (m poseModel) warp(res *lsq.Result, square int) float64 {
	parts := m.edgeParts(res, square)
	flat := mat.NewSymDense(len(parts), nil)
	field := mat.NewSymDense(len(parts), nil)
	off := mat.NewVecDense(len(parts), nil)
	for i, a := range parts {
		off.SetVec(i, a.off)
		for j, b := range parts[:i+1] {
			c := 0.0
			for k := range a.moves {
				c += a.moves[k] * b.moves[k]
			}
			if i == j {
				c += a.noise * a.noise
			}
			flat.SetSym(i, j, c)
			d := a.at.Dist(b.at) / (warpReach * m.a.SquareSize[0])
			field.SetSym(i, j, a.slant*b.slant*math.Exp(-d*d/2))
		}
	}
	// The mean over w, in steps of equal ratio from a hair to a fold.
	const least, ratio, steps = 0.005, 1.15, 45
	sum, norm, most := 0.0, 0.0, math.Inf(-1)
	for k := range steps {
		w := least * math.Pow(ratio, float64(k))
		var cov mat.SymDense
		cov.ScaleSym(w*w, field)
		cov.AddSym(&cov, flat)
		l, ok := logNormal(off, &cov)
		if !ok {
			continue
		}
		l += math.Log(w / (1 + w*w/(usualWarp*usualWarp)))
		if l > most {
			sum, norm, most = sum*math.Exp(most-l), norm*math.Exp(most-l), l
		}
		sum += w * w * math.Exp(l-most)
		norm += math.Exp(l - most)
	}
	if norm == 0 {
		return 0
	}
	return math.Sqrt(sum / norm)
}

// logNormal is the logarithm of the density of a normal vector of mean 0, but
// for a constant; false if the covariance is none.
func logNormal(v *mat.VecDense, cov *mat.SymDense) (float64, bool) {
	var chol mat.Cholesky
	if !chol.Factorize(cov) {
		return 0, false
	}
	var s mat.VecDense
	if err := chol.SolveVecTo(&s, v); err != nil {
		return 0, false
	}
	return -(chol.LogDet() + mat.Dot(v, &s)) / 2, true
}

// An edgePart is the mean of the points of a part of one edge.
type edgePart struct {
	off   float64   // px from where the pose has it, before anything was learnt of what has a prior
	noise float64   // px, standard deviation
	slant float64   // px that a rise of 1 mm moves it by
	moves []float64 // px that each of the pose's parameters may move it by
	at    Point     // in the square's own frame
}

// edgeParts returns those of one square that show enough points.
func (m poseModel) edgeParts(res *lsq.Result, square int) []edgePart {
	s, size := m.squares[square], m.size(res.X)
	cam := m.camera(res.X)
	centre, turn := m.whereabouts(res.X, square)
	first := 0
	for _, before := range m.squares[:square] {
		first += len(before.Edges)
	}
	const edges = 2
	var parts [4 * edges * waves]edgePart
	var count [len(parts)]float64
	member := make([]int, len(s.Edges)) // which part a point belongs to
	for k, e := range s.Edges {
		if member[k] = -1; res.Weights[first+k] == 0 {
			continue
		}
		aim, n := m.aims[square][k], outward[e.Side]
		i := (e.Side*edges)*waves + max(0, min(waves-1, int(waves*(aim.along/size[e.Side%2]+0.5))))
		if e.Inner {
			i += waves
		}
		member[k] = i
		across := edgePlace(e, s.Rectangle, size, 0)
		foot := Point{across*n.X - aim.along*n.Y, across*n.Y + aim.along*n.X}
		p := place(foot, centre, turn)
		rise := cam.Project(Vec3{p.X, p.Y, 0.5}).Sub(cam.Project(Vec3{p.X, p.Y, -0.5}))
		count[i]++
		parts[i].off += res.Residuals[first+k]
		parts[i].slant += aim.normal.Dot(rise)
		parts[i].at = parts[i].at.Add(foot)
	}
	few := stretch / 4.0
	alike := math.Max(m.leastAlike(), m.alikeOver(res, stretch))
	for i := range parts {
		if n := count[i]; n > 0 {
			parts[i].off /= n
			parts[i].slant /= n
			parts[i].at = parts[i].at.Mul(1 / n)
			parts[i].noise = res.Scale * math.Sqrt(alike/n)
		}
	}
	// A residual falls as its parameter explains it: what a prior held is put back.
	_, step := m.start()
	off := [2][]float64{make([]float64, m.points), make([]float64, m.points)}
	for j, v := range m.reach(res, square) {
		sums := [len(parts)]float64{}
		x := append([]float64(nil), res.X...)
		for k, sign := range []float64{-1, 1} {
			x[j] = res.X[j] + sign*step[j]
			m.edgeResiduals(x, off[k])
		}
		for k, i := range member {
			if i >= 0 {
				sums[i] += (off[1][first+k] - off[0][first+k]) / (2 * step[j])
			}
		}
		for i := range parts {
			if n := count[i]; n > 0 {
				parts[i].moves = append(parts[i].moves, v.u*sums[i]/n)
				parts[i].off -= v.solved * sums[i] / n
			}
		}
	}
	var out []edgePart
	for i, p := range parts {
		if count[i] > few {
			out = append(out, p)
		}
	}
	return out
}

// A span is how far a parameter may lie from 0, and how far it was found to.
type span struct{ u, solved float64 }

// reach is how far each parameter of the pose may move a square's edges. What no
// prior holds may go anywhere, and a bend is the field's own.
func (m poseModel) reach(res *lsq.Result, square int) []span {
	_, step := m.start()
	out := make([]span, len(step))
	for j := range out {
		out[j].u = 1e4 * step[j]
	}
	for _, p := range m.known {
		v := res.X[p.param]
		out[p.param] = span{p.u, v}
		if p.group == GroupDistortion {
			out[p.param].u = math.Hypot(p.u, v) // a lens that bends does so whatever was expected
		}
		if p.group == GroupFlat {
			out[p.param].u = 0
		}
	}
	return out
}
