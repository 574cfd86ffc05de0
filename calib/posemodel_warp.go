package calib

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distmv"

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
	if len(parts) == 0 { // too few points a part
		return 0
	}
	flat := mat.NewSymDense(len(parts), nil)
	field := mat.NewSymDense(len(parts), nil)
	off, mean := make([]float64, len(parts)), make([]float64, len(parts))
	for i, a := range parts {
		off[i] = a.off
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
		var chol mat.Cholesky
		if !chol.Factorize(&cov) {
			continue
		}
		l := distmv.NormalLogProb(off, mean, &chol) + math.Log(w/(1+w*w/(usualWarp*usualWarp)))
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

// An edgePart is the mean of the points of a part of one edge.
type edgePart struct {
	off   float64   // px from where the pose has it, before anything was learnt of what has a prior
	noise float64   // px, standard deviation
	slant float64   // px that a rise of 1 mm moves it by
	moves []float64 // px that each of the pose's parameters may move it by
	at    Point     // in the square's own frame
}

// fewest is how many points a part must have to be one.
const fewest = stretch / 4

// edgeParts returns those of one square.
func (m poseModel) edgeParts(res *lsq.Result, square int) []edgePart {
	first := 0
	for _, before := range m.squares[:square] {
		first += len(before.Edges)
	}
	member := m.partsOf(res, square, first)
	mean := func(of func(k int) float64) []float64 { return meansOf(member, of) }

	s, size := m.squares[square], m.size(res.X)
	cam := m.camera(res.X)
	centre, turn := m.whereabouts(res.X, square)
	foot := func(k int) Point { // where a point stands in the square's own frame
		e, along := s.Edges[k], m.aims[square][k].along
		n, across := outward[e.Side], edgePlace(e, s.Rectangle, size, 0)
		return Point{across*n.X - along*n.Y, across*n.Y + along*n.X}
	}
	count := make([]float64, edgesParted)
	for _, i := range member {
		if i >= 0 {
			count[i]++
		}
	}
	off := mean(func(k int) float64 { return res.Residuals[first+k] })
	x, y := mean(func(k int) float64 { return foot(k).X }), mean(func(k int) float64 { return foot(k).Y })
	slant := mean(func(k int) float64 {
		p := place(foot(k), centre, turn)
		rise := cam.Project(Vec3{p.X, p.Y, 0.5}).Sub(cam.Project(Vec3{p.X, p.Y, -0.5}))
		return m.aims[square][k].normal.Dot(rise)
	})
	alike := math.Max(m.leastAlike(), m.alikeOver(res, stretch))
	parts := make([]edgePart, edgesParted)
	for i := range parts {
		parts[i] = edgePart{off: off[i], slant: slant[i], at: Point{x[i], y[i]}, noise: res.Scale * math.Sqrt(alike/math.Max(1, count[i]))}
	}

	// A residual falls as its parameter explains it: what a prior held is put back.
	_, step := m.start()
	above, below := make([]float64, m.points), make([]float64, m.points)
	for j, v := range m.reach(res) {
		moved := slices.Clone(res.X)
		moved[j] += step[j]
		m.edgeResiduals(moved, above)
		moved[j] -= 2 * step[j]
		m.edgeResiduals(moved, below)
		for i, slope := range mean(func(k int) float64 { return (above[first+k] - below[first+k]) / (2 * step[j]) }) {
			parts[i].moves = append(parts[i].moves, v.u*slope)
			parts[i].off -= v.solved * slope
		}
	}
	var out []edgePart
	for i, p := range parts {
		if count[i] > fewest {
			out = append(out, p)
		}
	}
	return out
}

// edgesParted is how many parts the outer and inner edges of a square have.
const edgesParted = 4 * 2 * waves

// partsOf tells which part each point of a square belongs to; -1 for an outlier.
func (m poseModel) partsOf(res *lsq.Result, square, first int) []int {
	size := m.size(res.X)
	member := make([]int, len(m.squares[square].Edges))
	for k, e := range m.squares[square].Edges {
		if res.Weights[first+k] == 0 {
			member[k] = -1
			continue
		}
		along := m.aims[square][k].along/size[e.Side%2] + 0.5
		member[k] = 2*e.Side*waves + max(0, min(waves-1, int(waves*along)))
		if e.Inner {
			member[k] += waves
		}
	}
	return member
}

// meansOf are the means of something of the points over each part.
func meansOf(member []int, of func(k int) float64) []float64 {
	sum, n := make([]float64, edgesParted), make([]float64, edgesParted)
	for k, i := range member {
		if i >= 0 {
			sum[i] += of(k)
			n[i]++
		}
	}
	for i := range sum {
		sum[i] /= math.Max(1, n[i])
	}
	return sum
}

// A span is how far a parameter may lie from 0, and how far it was found to.
type span struct{ u, solved float64 }

// reach is how far each parameter of the pose may move a square's edges. What no
// prior holds may go anywhere, and a bend is the field's own.
func (m poseModel) reach(res *lsq.Result) []span {
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
