package calib

import (
	"fmt"
	"math"
	"slices"
)

// How likely a mounting hole is not round, as log odds against a round one
// (common practice, not a standard): a bracket is often held by a round hole and
// one that is oblong by up to about its own width, to be adjusted; a D keeps
// a stud from turning; longer slots, and rectangles, are for clips.
const (
	oblongOdds    = -1.5
	dOdds         = -1.5
	rectangleOdds = -3.5
	mostOblong    = 2.2  // long to short width
	longerOdds    = -3.0 // for each short width that it is longer
	leastShape    = -6.0
	plainShape    = 3.0 // quality from which a hole's shape is plain
	plainOutline  = 5.0 // quality from which a grille's is
)

// shapeOdds is the log odds by its shape that a hole is for mounting.
func (c Candidate) shapeOdds() float64 {
	if c.Outline == nil {
		return 0
	}
	long, short := c.Outline.Widths()
	odds := oblongOdds
	switch c.Outline.Shape {
	case ShapeD:
		return dOdds
	case ShapeRectangle:
		odds = rectangleOdds
	}
	return math.Max(leastShape, odds+longerOdds*math.Max(0, long/short-mostOblong))
}

// shapeDoubts says what was chosen that is not round and not plainly seen, where
// nobody asked for it.
func shapeDoubts(cands []Candidate, h Hints, chosen Choice) (doubts []string) {
	if g := chosen.Grille; g >= 0 && cands[g].Outline != nil && cands[g].Quality < plainOutline && !slices.Contains(h.Pick, g) {
		doubts = append(doubts, fmt.Sprintf("the grille is %s, but not all of its outline is seen, so that its centre may be off; look at it in the overlay picture, and confirm it with --pick %d", shapeWords(cands[g].Outline.Shape), g+1))
	}
	for _, i := range chosen.Holes {
		c := cands[i]
		if c.Outline != nil && c.Quality < plainShape && !slices.Contains(h.Pick, i) {
			doubts = append(doubts, fmt.Sprintf("one mounting hole chosen, number %d, is %s and not plainly seen; settle it with --pick or --drop", i+1, shapeWords(c.Outline.Shape)))
		}
	}
	return doubts
}
