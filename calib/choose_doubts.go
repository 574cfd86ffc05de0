package calib

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
)

// The log odds, from its edge alone, below which a circle is doubted even
// though it completes a set: about those of one that counts for nothing, and for a grille
// those to which the best of many chance circles comes: of 132 found on rendered photos
// 97 of the 104 above are right, and one of the 28 below.
const (
	weakHole   = -2.0
	weakGrille = 1.25
)

// The log odds by which the best choice must beat the next to be clear, and those
// below which, the grille's own aside, a layout is no layout; where the number of holes is
// known, they may lie as they like.
const (
	clearOdds  = 3.0
	leastOdds  = 4.0
	leastKnown = 0.0
)

// HasSet tells whether there is a set of holes among the candidates that looks like
// one, whether or not it is the right one.
func HasSet(cands []Candidate) bool {
	c := Choose(cands, Hints{})
	return len(c.Holes) > 1 && c.layoutOdds(cands) >= leastOdds &&
		!slices.ContainsFunc(c.Holes, func(i int) bool { return isWeak(cands, c.Holes, i) })
}

// isWeak tells whether one of a set hardly looks like a hole. That it is as light inside as the face
// is no weakness where another of them is not: light falls on the floor of the one.
func isWeak(cands []Candidate, set []int, i int) bool {
	quality := cands[i].Quality
	if slices.ContainsFunc(set, func(k int) bool { return cands[k].AsFace == 0 && cands[k].Quality > 0 }) {
		quality -= cands[i].AsFace
	}
	return quality < weakHole
}

// layoutOdds are the odds of the holes, the grille's own aside.
func (c Choice) layoutOdds(cands []Candidate) float64 { return c.Odds - qualityOf(cands, c.Grille) }

// doubtsOf says what is in doubt about the best of the options, which are in
// order of their odds.
func doubtsOf(cands []Candidate, h Hints, best Choice, options []Choice) []string {
	var doubts []string
	say := func(format string, a ...any) { doubts = append(doubts, fmt.Sprintf(format, a...)) }
	picked := allPicked(best.Holes, h)
	least := leastOdds
	if h.Holes > 0 {
		least = leastKnown
	}
	switch {
	case len(best.Holes) == 0:
		say("no set of mounting holes was found")
	case !picked && len(best.Holes) > 1 && best.layoutOdds(cands) < least:
		say("the holes chosen hardly look like a set of mounting holes")
	}
	for k, i := range best.Holes {
		if isWeak(cands, best.Holes, i) && !slices.Contains(h.Pick, i) {
			say("H%d (circle %d) hardly looks like a hole; see its picture, and settle it with --pick %d or --drop %d", k+1, i+1, i+1, i+1)
		}
	}
	for _, d := range sizeDoubts(cands, h, best.Holes) {
		say("%s", d)
	}
	switch g := best.Grille; {
	case g < 0:
		say("no grille was found, so there is no tweeter centre")
	case hardlyGrille(cands, h, g):
		say("circle %d hardly looks like the grille's edge; see its picture, and settle it with --pick or --grille-diameter", g+1)
	}
	if h.Holes > 0 && len(best.Holes) > 0 && len(best.Holes) != h.Holes {
		say("%d mounting holes were expected and %d found", h.Holes, len(best.Holes))
	}
	for _, o := range asLikely(best, options) {
		if d := difference(cands, best, o); d != "" {
			say("%s", d)
			break
		}
	}
	if len(best.Missing) > 0 {
		say("%s", missingDoubt(cands, best))
	}
	for _, d := range []string{collarDoubt(cands, h, best.Grille), raisedDoubt(cands, h, best), cmp.Or(loweredDoubt(cands, h, best), framedDoubt(cands, h, best.Grille))} {
		if d != "" {
			say("%s", d)
		}
	}
	return doubts
}

// sizeDoubts names the holes that are plainly not of the others' size: a hole of another
// kind may stand where one of theirs was not seen. What is not round has no size to compare, and
// what is picked is meant.
func sizeDoubts(cands []Candidate, h Hints, holes []int) (doubts []string) {
	if len(holes) < 2 {
		return nil
	}
	size, _ := logSizes(cands, holes, holes)
	middle := middleSize(size)
	for k, i := range holes {
		if cands[i].Outline == nil && !slices.Contains(h.Pick, i) && math.Abs(math.Log(cands[i].R)-middle) > hintSpread {
			doubts = append(doubts, fmt.Sprintf("H%d (circle %d) is %.1f mm wide and the others about %.1f, so it may be another hole; see its picture, and settle it with --pick %d or --drop %d",
				k+1, i+1, 2*cands[i].R, 2*math.Exp(middle), i+1, i+1))
		}
	}
	return doubts
}

// hardlyGrille tells whether a circle hardly looks like the grille's edge, and nobody says that it is.
func hardlyGrille(cands []Candidate, h Hints, g int) bool {
	return cands[g].Quality < weakGrille && h.GrilleDiameter == 0 && !slices.Contains(h.Pick, g)
}

func qualityOf(cands []Candidate, grille int) float64 {
	if grille < 0 {
		return 0
	}
	return cands[grille].Quality
}

// allPicked tells whether the user picked every one of the holes.
func allPicked(holes []int, h Hints) bool {
	return !slices.ContainsFunc(holes, func(i int) bool { return !slices.Contains(h.Pick, i) })
}

// difference says in words how another choice differs from the best, and what
// settles it; nothing when the difference does not matter.
func difference(cands []Candidate, best, o Choice) string {
	if !sameSet(best.Holes, o.Holes) {
		switch {
		case len(best.Holes) == 0:
			return fmt.Sprintf("that %s is nearly as likely; if so, say --pick %s", areHoles(o.Holes), picks(o.Holes))
		case len(o.Holes) == 0:
			return fmt.Sprintf("that %s is about as likely as that none is; settle it with --pick %s, or --pick, --near or --drop others",
				areHoles(best.Holes), picks(best.Holes))
		}
		return fmt.Sprintf("circles %s are about as likely the mounting holes as circles %s, which were chosen; settle it with %s",
			circles(o.Holes), circles(best.Holes), settlers(cands, best.Holes, o.Holes))
	}
	a, b := best.Grille, o.Grille
	if a != b && a >= 0 && b >= 0 && cands[a].Centre.Dist(cands[b].Centre) > 0.05*cands[a].R {
		words := fmt.Sprintf("circle %d is about as likely the grille as circle %d, which was chosen; settle it with --pick %d or --pick %d", b+1, a+1, a+1, b+1)
		if math.Abs(math.Log(cands[a].R/cands[b].R)) > hintSpread {
			words += fmt.Sprintf(", or --grille-diameter %.0f or %.0f", 2*cands[a].R, 2*cands[b].R)
		}
		return words
	}
	return ""
}

// areHoles says of circles that they are mounting holes.
func areHoles(of []int) string {
	if len(of) == 1 {
		return "circle " + circles(of) + " is a mounting hole"
	}
	return "circles " + circles(of) + " are mounting holes"
}

// settlers names the flags that tell one set of holes from another.
func settlers(cands []Candidate, a, b []int) string {
	ways := []string{"--pick " + picks(a) + " or --pick " + picks(b)}
	if len(a) != len(b) {
		// A pick alone leaves room for more.
		ways = []string{fmt.Sprintf("--holes %d or --holes %d", len(a), len(b))}
	}
	da, db := 2*cands[a[0]].R, 2*cands[b[0]].R
	if math.Abs(math.Log(da/db)) > hintSpread {
		ways = append(ways, fmt.Sprintf("--hole-diameter %.1f or %.1f", da, db))
	}
	return strings.Join(ways, ", or ")
}

func sameSet(a, b []int) bool {
	a, b = slices.Sorted(slices.Values(a)), slices.Sorted(slices.Values(b))
	return slices.Equal(a, b)
}

// circles lists circles by the numbers that users know them by.
func circles(of []int) string { return sentence(numbersOf(of)) }

// picks lists them as --pick takes them.
func picks(of []int) string { return strings.Join(numbersOf(of), ",") }

func numbersOf(of []int) []string {
	var words []string
	for _, i := range slices.Sorted(slices.Values(of)) {
		words = append(words, fmt.Sprint(i+1))
	}
	return words
}
