package calib

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// explain says of each candidate why it was chosen, or why not: how it sits in
// the layout that was chosen, and how much less likely the best layout with it
// would be.
func explain(cands []Candidate, h Hints, best Choice, options []Choice) []string {
	why := make([]string, len(cands))
	for i, c := range cands {
		switch {
		case slices.Contains(h.Pick, i):
			why[i] = "chosen, as picked"
		case slices.Contains(h.Drop, i):
			why[i] = "not chosen, as dropped"
		case i == best.Grille:
			why[i] = "chosen: " + grillePraise(cands, best)
		case slices.Contains(best.Holes, i):
			why[i] = "chosen: " + holePraise(cands, best, i)
		case c.Kind == KindGrille:
			why[i] = "not chosen: " + grilleFault(cands, h, best, i) + rating(best, bestWith(options, i))
		default:
			why[i] = "not chosen: " + holeFault(cands, h, best, i) + rating(best, bestWith(options, i))
		}
	}
	return why
}

// bestWith returns the likeliest of the options, which are in order, that
// takes a candidate; nil when none does.
func bestWith(options []Choice, i int) *Choice {
	for k, o := range options {
		if o.Grille == i || slices.Contains(o.Holes, i) {
			return &options[k]
		}
	}
	return nil
}

// rating is how likely the best choice with a candidate is, in words.
func rating(best Choice, o *Choice) string {
	if o == nil {
		return ""
	}
	switch d := best.Odds - o.Odds; {
	case d < 1:
		return " (about as likely)"
	case d < clearOdds:
		return " (a little less likely)"
	case d < 2*clearOdds:
		return " (unlikely)"
	}
	return " (most unlikely)"
}

func grillePraise(cands []Candidate, best Choice) string {
	switch n := len(best.Holes); n {
	case 0:
		return "the likeliest circle of a grille's size"
	case 1:
		return "a mounting hole lies by it"
	default:
		for _, i := range best.Holes[1:] {
			if !sameSize(cands[i], cands[best.Holes[0]]) {
				return fmt.Sprintf("%d holes lie about it", n)
			}
		}
		return fmt.Sprintf("%d holes of one size lie about it", n)
	}
}

// holePraise says how a chosen hole goes with the others.
func holePraise(cands []Candidate, best Choice, i int) string {
	if len(best.Holes) == 1 {
		return "the likeliest hole"
	}
	words := sizePraise(cands, best, i)
	if best.Grille < 0 {
		return words
	}
	hub := cands[best.Grille].Centre
	if len(best.Holes) == 2 {
		a, b := cands[best.Holes[0]].Centre.Sub(hub), cands[best.Holes[1]].Centre.Sub(hub)
		gap := degrees(math.Acos(math.Max(-1, math.Min(1, a.Dot(b)/(a.Norm()*b.Norm())))))
		if gap > 150 {
			return words + ", opposite side of the grille"
		}
		return words + fmt.Sprintf(", %.0f degrees on about the grille", gap)
	}
	return words + ", evenly about the grille with them"
}

// sizePraise compares a chosen hole's size with the others'.
func sizePraise(cands []Candidate, best Choice, i int) string {
	var same, narrower, wider []string
	for k, j := range best.Holes {
		id := fmt.Sprintf("H%d", k+1)
		switch {
		case j == i:
		case sameSize(cands[i], cands[j]):
			same = append(same, id)
		case cands[j].R < cands[i].R:
			narrower = append(narrower, id)
		default:
			wider = append(wider, id)
		}
	}
	var words []string
	for _, s := range []struct {
		how string
		of  []string
	}{{"same size as ", same}, {"wider than ", narrower}, {"narrower than ", wider}} {
		if len(s.of) > 0 {
			words = append(words, s.how+sentence(s.of))
		}
	}
	return strings.Join(words, ", ")
}

// alikeSize is by how much the log of two diameters may differ for words to
// call them the same size.
const alikeSize = 0.09

func sameSize(a, b Candidate) bool { return math.Abs(math.Log(a.R/b.R)) < alikeSize }

// holeFault says what speaks against a hole that was not chosen.
func holeFault(cands []Candidate, h Hints, best Choice, i int) string {
	c := cands[i]
	var faults []string
	if h.HoleDiameter > 0 && !fits(c, h) {
		faults = append(faults, "not of the diameter given")
	}
	if c.Quality < 0 {
		faults = append(faults, "hardly looks like a hole")
	}
	if g := best.Grille; g >= 0 {
		d := c.Centre.Dist(cands[g].Centre)
		switch {
		case !mayServe(c, cands[g]) && d < 2*cands[g].R:
			faults = append(faults, "within the grille")
		case !mayServe(c, cands[g]):
			faults = append(faults, fmt.Sprintf("too far, %.0f mm from the grille's centre", d))
		}
	}
	if len(best.Holes) == 0 {
		return sentence(append(faults, secondOfKind(cands, i)))
	}
	first := cands[best.Holes[0]]
	if !sameSize(c, first) {
		word := "wider"
		if c.R < first.R {
			word = "narrower"
		}
		faults = append(faults, fmt.Sprintf("%s than H1", word), secondOfKind(cands, i))
	} else if len(faults) == 0 || c.Quality < 0 {
		faults = append(faults, "same size as H1, "+misplaced(cands, best, i))
	}
	return sentence(faults)
}

// secondOfKind says whether another hole of a candidate's size is there.
func secondOfKind(cands []Candidate, i int) string {
	for j, o := range cands {
		if j != i && o.Kind == KindHole && o.Quality >= 0 && sameSize(o, cands[i]) {
			return fmt.Sprintf("of circle %d's kind", j+1)
		}
	}
	return "no second of its kind"
}

// misplaced says how a hole of the right size lies off the layout chosen.
func misplaced(cands []Candidate, best Choice, i int) string {
	if best.Grille < 0 {
		return "not so like the others"
	}
	hub := cands[best.Grille].Centre
	near, far := math.Inf(1), 0.0
	for _, j := range best.Holes {
		d := cands[j].Centre.Dist(hub)
		near, far = math.Min(near, d), math.Max(far, d)
	}
	switch d := cands[i].Centre.Dist(hub); {
	case d > far*(1+looseSpread):
		return fmt.Sprintf("but %.0f mm from the grille's centre and H1 %.0f", d, cands[best.Holes[0]].Centre.Dist(hub))
	case d < near*(1-looseSpread):
		return fmt.Sprintf("but only %.0f mm from the grille's centre", d)
	}
	return "but not evenly about the grille with the others"
}

// grilleFault says what speaks against a grille that was not chosen.
func grilleFault(cands []Candidate, h Hints, best Choice, i int) string {
	c := cands[i]
	var faults []string
	if h.GrilleDiameter > 0 && !fits(c, h) {
		faults = append(faults, "not of the diameter given")
	}
	if c.Quality < 0 {
		faults = append(faults, "hardly looks like an opening's edge")
	}
	if g := best.Grille; g >= 0 {
		chosen := cands[g]
		switch d := c.Centre.Dist(chosen.Centre); {
		case d < 0.1*chosen.R && c.R > chosen.R:
			faults = append(faults, "round the grille's, as a collar's edge")
		case d < 0.1*chosen.R:
			faults = append(faults, "inside the grille's, as a mesh's edge")
		case len(best.Holes) > 0:
			faults = append(faults, "the holes do not lie so evenly about it")
		}
	}
	if len(faults) == 0 {
		faults = append(faults, "less plain than the one chosen")
	}
	return sentence(faults)
}

// sentence joins words as a sentence does: "a, b and c".
func sentence(words []string) string {
	if n := len(words) - 1; n > 0 {
		return strings.Join(words[:n], ", ") + " and " + words[n]
	}
	return strings.Join(words, "")
}
