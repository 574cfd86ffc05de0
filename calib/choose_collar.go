package calib

import (
	"fmt"
	"slices"
)

// Two circles about one axis, one inside the other, are seen with their centres
// apart when they lie at different heights.
const (
	collarWall  = 0.6  // least difference in radius, mm
	slantWall   = 1.0  // by how much a chamfer or a rounding may make a wall's far end narrower, mm (vision's too)
	collarApart = 0.15 // least distance of the centres that matters, mm
	collarAxis  = 0.06 // most distance of the centres, as a share of the radius
	collarOpens = 0.7  // least radius of its opening, likewise (vision looks no farther in); what is less lies in the opening
	faintest    = -2.0 // log odds below which an edge inside is taken for chance
	wallDeep    = 20.0 // mm; no opening's wall is deeper
)

// inCollar finds a circle inside the grille chosen that hardly shows, and is not where the
// grille's own axis would be: the grille may be the edge of a collar, at another height, and
// that the opening in it. It returns -1 where there is none, or where the user says what is meant.
func inCollar(cands []Candidate, h Hints, grille int) int {
	if grille < 0 || h.GrilleHeight || h.GrilleDiameter > 0 || slices.Contains(h.Pick, grille) {
		return -1
	}
	g := cands[grille]
	for i, c := range cands {
		apart := c.Centre.Dist(g.Centre)
		_, lower, _ := g.slideTo(c.Centre)
		if i == grille || c.Kind != KindGrille || c.Quality < faintest || slices.Contains(h.Drop, i) || g.wallEndsAt(c) {
			continue
		}
		if c.R < g.R-collarWall && c.R > collarOpens*g.R && lower >= 0 && apart > collarApart && apart < collarAxis*g.R {
			return i
		}
	}
	return -1
}

// collarDoubt says when the grille chosen may be the edge of a collar.
func collarDoubt(cands []Candidate, h Hints, grille int) string {
	i := inCollar(cands, h, grille)
	if i < 0 {
		return ""
	}
	return fmt.Sprintf("circle %d lies inside the grille's and at another height, as an opening in a collar does; say which is meant with --pick or --grille-diameter, and how high it stands with --grille-height", i+1)
}

// wallEndsAt tells whether another circle is seen where the far end of the opening's own
// wall is: which is as wide as the mouth, but for its edge's chamfer, and only farther off.
func (c Candidate) wallEndsAt(o Candidate) bool {
	deep, along, across := c.slideTo(o.Centre)
	asWide := c.R + deep*c.Shift.Diameter/2
	return deep > 0 && deep < wallDeep && across < collarApart+raisedAcross*along && o.R > asWide-slantWall && o.R < asWide+collarWall
}
