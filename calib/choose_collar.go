package calib

import (
	"fmt"
	"slices"
)

// faintDoubt says when the grille's edge hardly shows: then it may be any of a
// grille's edges, or none.
func faintDoubt(cands []Candidate, h Hints, grille int) string {
	if grille < 0 || cands[grille].Quality >= 0 || h.GrilleDiameter > 0 || slices.Contains(h.Pick, grille) {
		return ""
	}
	return fmt.Sprintf("the grille's edge hardly shows (circle %d, %.1f mm wide); see in the overlay picture whether it is right, and say so with --pick or --grille-diameter", grille+1, 2*cands[grille].R)
}

// Two circles about one axis, one inside the other, are seen with their centres
// apart when they lie at different heights.
const (
	collarWall  = 0.6  // least difference in radius, mm
	collarApart = 0.15 // least distance of the centres that matters, mm
	collarAxis  = 0.06 // most distance of the centres, as a share of the radius
	faintest    = -2.0 // log odds below which an edge inside is taken for chance
)

// collarDoubt says when the grille chosen may be the edge of a collar, at
// another height: there is a circle inside it that hardly shows, and is not
// where the grille's own axis would be.
func collarDoubt(cands []Candidate, h Hints, grille int) string {
	if grille < 0 || h.GrilleHeight || h.GrilleDiameter > 0 || slices.Contains(h.Pick, grille) {
		return ""
	}
	g := cands[grille]
	for i, c := range cands {
		apart := c.Centre.Dist(g.Centre)
		if i == grille || c.Kind != KindGrille || c.Quality < faintest || slices.Contains(h.Drop, i) {
			continue
		}
		if c.R < g.R-collarWall && apart > collarApart && apart < collarAxis*g.R {
			return fmt.Sprintf("circle %d lies inside the grille's and at another height, as an opening in a collar does; say which is meant with --pick or --grille-diameter, and how high it stands with --grille-height", i+1)
		}
	}
	return ""
}
