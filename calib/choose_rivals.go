package calib

import (
	"math"
	"slices"
)

// A Rival is a circle that may be the grille, or the tweeter's body, in the place of the
// one that was chosen for it.
type Rival struct {
	Index int     // of the candidate
	Share float64 // how likely it is, 0 to 1
}

// evenShare is that of a rival of which nobody can say whether it is likelier.
const evenShare = 0.5

// leftOpen is what the choice, the best of the options, which are in order of their odds, leaves
// open of the grille: its rivals, and how loosely its centre is known where it hardly looks
// like one. All of it comes with a doubt, unless the rivals' centres are all but the chosen one's.
func leftOpen(cands []Candidate, h Hints, best Choice, options []Choice) (rivals []Rival, loose float64) {
	if best.Grille < 0 {
		return nil, 0
	}
	rivals = rivalGrilles(best, options)
	for _, i := range []int{inCollar(cands, h, best.Grille), framedIn(cands, h, best.Grille)} {
		if i >= 0 {
			rivals = slices.DeleteFunc(rivals, func(r Rival) bool { return r.Index == i })
			rivals = append(rivals, Rival{i, evenShare})
		}
	}
	if hardlyGrille(cands, h, best.Grille) {
		loose = looseHub(cands, best)
	}
	return rivals, loose
}

// rivalGrilles are the other grilles of options that are about as likely as the best. Those that
// are not are left out: the odds are not so well known that one in a thousand could be told from
// one in a million, and a circle at the other end of the panel would swamp a clear choice.
func rivalGrilles(best Choice, options []Choice) []Rival {
	weight := map[int]float64{}
	total := 0.0
	for _, o := range asLikely(best, options) {
		if _, seen := weight[o.Grille]; o.Grille >= 0 && !seen { // its likeliest option comes first
			weight[o.Grille] = math.Exp(o.Odds - best.Odds)
			total += weight[o.Grille]
		}
	}
	var out []Rival
	for _, g := range sortedKeys(weight) {
		if g != best.Grille {
			out = append(out, Rival{g, weight[g] / total})
		}
	}
	return out
}

// looseHub is the standard uncertainty of a centre, mm, of which no more is known than how
// loosely holes lie about a grille.
func looseHub(cands []Candidate, best Choice) float64 {
	sum := 0.0
	for _, i := range best.Holes {
		sum += cands[i].Centre.Dist(cands[best.Grille].Centre)
	}
	return looseSpread * sum / float64(max(1, len(best.Holes)))
}

// addChoice adds what the choice leaves open of the circle that the holes lie about: the mean
// square of how far those are from it that may be meant. It is taken about the value that is
// given and not about the mean of all, as of a value that is not corrected for what is
// known to be off (JCGM 100:2008, F.2.4.5).
func (m *Measured) addChoice(c Choice) {
	hub := c.Hub()
	if hub < 0 {
		return
	}
	at := m.Circles[hub]
	for _, r := range c.Rivals {
		o := m.Circles[r.Index]
		off := [3]float64{o.Centre.X - at.Centre.X, o.Centre.Y - at.Centre.Y, o.R - at.R}
		for a := range 3 {
			for b := a; b < 3; b++ {
				m.add(GroupChoice, 3*hub+a, 3*hub+b, r.Share*off[a]*off[b])
			}
		}
	}
	if c.Loose > 0 {
		for a := range 2 {
			m.add(GroupChoice, 3*hub+a, 3*hub+a, c.Loose*c.Loose)
		}
	}
}
