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

// A mesh mostly has a frame, in the opening and some millimetres below the face, whose inner edge is as plain a circle as
// the opening's. That is round it then, about its axis, and seen nearer to the camera; a collar's foot is seen farther.
const (
	framedLeast = 0.25 // mm of slide that is told: of 30 edges round the right grille of rendered photos none had over 0.17
	framedDeep  = 8.0  // mm, the deepest that a frame lies
)

// framedIn finds a circle round the grille chosen, about its axis but higher, in which it may be a mesh's frame. It
// returns -1 where there is none, or where the user says what is meant.
func framedIn(cands []Candidate, h Hints, grille int) int {
	if grille < 0 || h.GrilleDiameter > 0 || slices.Contains(h.Pick, grille) {
		return -1
	}
	g := cands[grille]
	if g.Kind != KindGrille || g.Outline != nil {
		return -1
	}
	for i, c := range cands {
		if c.Kind != KindGrille || c.Outline != nil || c.R < g.R+collarWall || g.R < collarOpens*c.R || slices.Contains(h.Drop, i) {
			continue
		}
		up, along, across := g.slideTo(c.Centre)
		if along < -framedLeast && across < raisedAcross*-along && up > -framedDeep {
			return i
		}
	}
	return -1
}

// framedDoubt says when the grille chosen may be the frame of what lies in the opening.
func framedDoubt(cands []Candidate, h Hints, grille int) string {
	i := framedIn(cands, h, grille)
	if i < 0 {
		return ""
	}
	return fmt.Sprintf("circle %d lies round the grille's and higher, as the opening does round the frame of a mesh in it; see its picture, and settle it with --pick %d or --pick %d", i+1, grille+1, i+1)
}
