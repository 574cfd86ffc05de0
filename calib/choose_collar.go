package calib

import (
	"fmt"
	"slices"
)

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
