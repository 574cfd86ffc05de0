package calib

import (
	"fmt"
	"slices"
)

// Where an opening's wall is as light as what is round it, and light comes through, its far end is what shows.
// That is seen slid towards where the camera sees depth go. A collar's edge is not, nor are the holes, where
// the height of the mouth is told.
const loweredLeast = 0.5 // mm of slide that is told

// loweredDoubt says when the grille chosen seems to be the far end of an opening's wall: a circle round it has the
// holes' middle for its own, and the grille would have it if it lay deeper.
func loweredDoubt(cands []Candidate, h Hints, best Choice) string {
	if best.Grille < 0 || h.GrilleDiameter > 0 || slices.Contains(h.Pick, best.Grille) || len(best.Holes) < 2 {
		return ""
	}
	g := cands[best.Grille]
	if g.Kind != KindGrille || g.Outline != nil {
		return "" // a tweeter's body has no wall, and an outline is not a circle seen from its end
	}
	middle, _ := middleOf(cands, best.Holes)
	for i, c := range cands {
		if c.Kind != KindGrille || c.Outline != nil || c.R < g.R+collarWall || slices.Contains(h.Drop, i) || c.Centre.Dist(middle) > g.Centre.Dist(middle)/2 {
			continue
		}
		up, along, across := g.slideTo(c.Centre)
		if along > -loweredLeast || across > raisedAcross*-along || up < -wallDeep {
			continue
		}
		return fmt.Sprintf("the grille's circle may be the far end of its wall, about %.1f mm beside its mouth, for circle %d round it and the holes lie about another centre; see its picture, and settle it with --pick %d or --pick %d",
			-along, i+1, best.Grille+1, i+1)
	}
	return ""
}
