package calib

import (
	"gonum.org/v1/gonum/mat"

	"trimscribe/calib/lsq"
)

// Group is an input of the measurement, by which its uncertainty is told.
type Group string

// The inputs of a pose. GroupEdges is the photo's own noise; each other one is
// known before the photo is measured, as a prior.
const (
	GroupEdges      Group = "edges"      // of the squares, as found in the photo
	GroupSize       Group = "size"       // of the squares as printed and measured
	GroupFlat       Group = "flatness"   // of the squares' paper
	GroupBloom      Group = "bloom"      // ink spread, blur and light over the edges
	GroupFocal      Group = "focal"      // length
	GroupCentre     Group = "centre"     // the principal point
	GroupDistortion Group = "distortion" // of the lens
)

// prior is what is known of one parameter before the photo is measured: it is
// 0, with standard uncertainty u.
type prior struct {
	param int
	u     float64
	group Group
}

// priorsOf lists what is known of the pose's parameters.
func priorsOf(a Assumptions, squares int) []prior {
	known := []prior{
		{iFocal, a.FocalU, GroupFocal},
		{iSize, a.SquareSizeU, GroupSize},
		{iSize + 1, a.SquareSizeU, GroupSize},
		{iCentre, a.CentreU, GroupCentre},
		{iCentre + 1, a.CentreU, GroupCentre},
	}
	for i := range 4 * squares {
		known = append(known, prior{iBloom + i, bloomU, GroupBloom})
	}
	return known
}

// contributions returns what each input contributes to the covariance of a
// solution; together they are the covariance. The solution is linear in the
// edges' errors and the priors', so with the normal equations' inverse C and
// an input's own part S of them, that is C S C (JCGM 100:2008, 5.1.3, with the
// sensitivities of weighted least squares).
func contributions(res *lsq.Result, known []prior) map[Group]*mat.SymDense {
	n := len(res.X)
	edges := mat.NewSymDense(n, nil) // what the priors do not contribute: C - C P C
	edges.CopySym(res.Cov)
	parts := map[Group]*mat.SymDense{GroupEdges: edges}
	for _, p := range known {
		if parts[p.group] == nil {
			parts[p.group] = mat.NewSymDense(n, nil)
		}
		column := mat.NewVecDense(n, nil)
		for i := range n {
			column.SetVec(i, res.Cov.At(i, p.param))
		}
		w := 1 / (p.u * p.u)
		parts[p.group].SymRankOne(parts[p.group], w, column)
		edges.SymRankOne(edges, -w, column)
	}
	return parts
}
