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
	plainShape    = 3.0 // quality from which a shape is plain
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

// shapeDoubts says which of the holes chosen are not round and not plainly seen,
// where nobody asked for them.
func shapeDoubts(cands []Candidate, h Hints, chosen []int) (doubts []string) {
	for _, i := range chosen {
		c := cands[i]
		if c.Outline != nil && c.Quality < plainShape && !slices.Contains(h.Pick, i) {
			doubts = append(doubts, fmt.Sprintf("one mounting hole chosen, number %d, is %s and not plainly seen; settle it with --pick or --drop", i+1, shapeWords(c.Outline.Shape)))
		}
	}
	return doubts
}
