package calib

import (
	"fmt"
	"math"
)

// K1 returns the radial distortion that was solved for, its standard
// uncertainty, and whether the squares' edges show it: whether it differs from
// what was assumed by more than three times that.
func (s *Solution) K1() (k1, u float64, shown bool) {
	u = math.Sqrt(s.cov.At(iK1, iK1))
	return s.Camera.K1, u, math.Abs(s.x[iK1]) > 3*u
}

// FocalU returns the relative standard uncertainty of the focal length.
func (s *Solution) FocalU() float64 { return math.Sqrt(s.cov.At(iFocal, iFocal)) }

// LensNotes returns what a user should know of the lens that was solved, when
// there is something: each a sentence or two. source is where its focal length
// comes from, one of the Focal constants.
func (s *Solution) LensNotes(source string) []string {
	var out []string
	k1, u, shown := s.K1()
	switch known := s.model.a.Lens.K1; {
	case shown && source == FocalLensFile:
		out = append(out, fmt.Sprintf("The edges of the reference square want k1 = %.3f +-%.3f, and the lens file says %.3f: check that it is of this camera at this zoom, and that the square lies flat.", k1, 2*u, known))
	case shown:
		out = append(out, fmt.Sprintf("The lens bends straight lines: the edges of the reference square show k1 = %.3f +-%.3f, and that much was taken out. A lens file knows it better (trimscribe lens).", k1, 2*u))
	}
	if source == FocalAssumed {
		out = append(out, fmt.Sprintf("The photo does not tell its focal length, and the square does not show it: %.0f px is a guess, good to +-%.0f %%. On the square's own face that hardly matters; what stands off it is corrected no better than that. Say it with --focal-equiv, or use --lens.", s.Camera.Fx, 200*s.FocalU()))
	}
	return out
}
