package main

import (
	"fmt"
	"slices"
	"strings"

	"trimscribe/cmd/internal/score"
)

// counts is what all rows come to.
type counts struct {
	rows, photos, skipped int

	// Rows that are to be measured and whose user gave no flag, and how many of
	// them gave the right features with status 0.
	plain, plainRight int

	doubtful, doubtExpected int // status 3
	refused, refusalsWanted int // status 1
	silent                  int
	asExpected              int

	expected, found, missed, invented int

	// Errors of rows whose features were all measured in their own planes.
	centres, distances         []score.Error
	diameters                  []score.Error
	centre, distance, diameter float64
	height                     float64
	solved                     int
	untold                     int // rows left out of the four above: a height was not told
}

func countAll(results []result) counts {
	c := counts{rows: len(results)}
	seen := map[string]bool{}
	for _, r := range results {
		if r.skipped {
			c.skipped++
			continue
		}
		for _, p := range r.truth.Photos {
			seen[p] = true
		}
		c.add(r)
	}
	c.photos = len(seen)
	return c
}

func (c *counts) add(r result) {
	count := func(n *int, when bool) {
		if when {
			*n++
		}
	}
	plain := r.truth.Status == 0 && len(r.truth.Args) == 0
	count(&c.plain, plain)
	count(&c.plainRight, plain && r.status == 0 && r.rightFeatures())
	count(&c.doubtful, r.status == 3)
	count(&c.doubtExpected, r.truth.Status == 3)
	count(&c.refused, r.status == 1)
	count(&c.refusalsWanted, r.truth.Status == 1)
	count(&c.silent, r.silent())
	count(&c.asExpected, r.asExpected())
	s := r.score
	c.expected += s.Expected
	c.found += s.Found
	c.missed += s.Missed
	c.invented += s.Invented
	c.height = max(c.height, s.Height)
	c.solved += s.Solved
	if s.Untold > 0 {
		c.untold++
		return
	}
	c.centres = append(c.centres, s.Centres...)
	c.distances = append(c.distances, s.Distances...)
	c.centre = max(c.centre, score.Worst(s.Centres).MM)
	c.distance = max(c.distance, score.Worst(s.Distances).MM)
	c.diameters = append(c.diameters, s.Diameters...)
	c.diameter = max(c.diameter, score.Worst(s.Diameters).MM)
}

// plainLimit is what a distance of a plain photo must be within, mm.
const plainLimit = 0.06

// String is the counts as one line under the table.
func (c counts) String() string {
	close := count(c.distances, func(e score.Error) bool { return e.MM <= plainLimit })
	inside := func(e score.Error) bool { return e.MM <= e.U95 }
	parts := []string{
		fmt.Sprintf("photos %d, rows %d", c.photos, c.rows-c.skipped),
		fmt.Sprintf("right at the first run without a flag %d of %d", c.plainRight, c.plain),
		fmt.Sprintf("doubtful (3) %d, expected %d", c.doubtful, c.doubtExpected),
		fmt.Sprintf("refused (1) %d, expected %d", c.refused, c.refusalsWanted),
		fmt.Sprintf("wrong with status 0 %s", orNone(c.silent)),
		fmt.Sprintf("invented %d, missed %d", c.invented, c.missed),
		fmt.Sprintf("distances within %.2f mm %d of %d", plainLimit, close, len(c.distances)),
		fmt.Sprintf("inside U95 %d of %d distances, %d of %d centres and %d of %d diameters",
			count(c.distances, inside), len(c.distances), count(c.centres, inside), len(c.centres), count(c.diameters, inside), len(c.diameters)),
		fmt.Sprintf("worst error/U95 %s, of a diameter %s", ratio(c.distances, c.centres), ratio(c.diameters)),
	}
	if c.solved > 0 {
		parts = append(parts, fmt.Sprintf("heights solved %d, to within %.2f mm", c.solved, c.height))
	}
	if c.untold > 0 {
		parts = append(parts, fmt.Sprintf("rows with a height not told, whose errors are not counted here: %d", c.untold))
	}
	if c.skipped > 0 {
		parts = append(parts, fmt.Sprintf("large photos left out (--large): %d", c.skipped))
	}
	return strings.Join(parts, "; ") + "."
}

func count(list []score.Error, is func(score.Error) bool) int {
	return len(slices.DeleteFunc(slices.Clone(list), func(e score.Error) bool { return !is(e) }))
}

func orNone(n int) string {
	if n == 0 {
		return "none"
	}
	return fmt.Sprint(n)
}
