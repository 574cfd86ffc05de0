package calib

import (
	"math"
	"slices"
)

// Candidate is a circle, or another outline, that may be a mounting hole or the
// grille, or the body of a tweeter.
type Candidate struct {
	Circle          // mm, in its own plane
	Kind    string  // KindHole, KindGrille or KindTweeter
	Quality float64 // log odds, from its edge alone, that it is a real opening
	Why     string  // its edge in words, for the survey

	Outline *Outline   // of what is not round, nil else; the circle is then its Round
	HalfU   [2]float64 // standard uncertainty, by its edge alone, of half its long and half its short width, mm
}

// Hints are what the user says of the panel. Zero values say nothing.
type Hints struct {
	Holes          int     // how many mounting holes there are
	HoleDiameter   float64 // roughly, mm
	GrilleDiameter float64 // roughly, mm
	Tweeter        float64 // diameter of a tweeter that sits in the opening, mm
	GrilleHeight   bool    // whether the height of the grille's edge is known
	Pick, Drop     []int   // candidates, by index, that are chosen, or not
}

// Choice is which candidates are the mounting holes and the grille.
type Choice struct {
	Holes  []int // indices of candidates, anticlockwise about the grille from its right
	Grille int   // index, or -1
	Odds   float64
	Doubts []string // sentences; empty when the choice is clear

	Missing []Point  // where holes may have been missed, mm
	Why     []string // of each candidate: why it was chosen, or why not

	// Mocked says that the tweeter itself is in the photo: its body, at index
	// Tweeter, is what the holes lie about.
	Mocked  bool
	Tweeter int
}

// The layout prior: how mounting holes usually lie about a grille. Each value
// is common practice in moulded trim, not a standard: holes of one kind are
// made by one core pin, and lie about the grille so that the part sits even.
const (
	sizeSpread  = 0.03 // of the log of hole diameters within one layout
	reachSpread = 0.18 // of the log of distances from the grille's centre
	angleSpread = 0.35 // of the angles against an even spacing, radians
	anyhow      = 0.2  // share of layouts whose angles follow no rule, as where only one side has room
	clearOdds   = 3.0  // log odds by which the best choice must beat the next
	leastOdds   = 2.0  // log odds, the grille's own aside, below which a layout is no layout
	mostHoles   = 4    // tried without being told
	mostTried   = 14   // hole candidates tried about one grille
)

// What a stray hole looks like, for the odds: its distance may be anything in
// the range searched, its angle anything. So may its size, but that one stray
// in five is made by the same core pin as the mounting holes; without those, a
// hole of the right size would be taken into a set in which it lies badly.
const sameKind = 0.2

var (
	straySize  = (1-sameKind)/math.Log(12.0/2) + sameKind*normalPeak(sizeSpread)
	strayReach = 1 / math.Log(4.0)
	strayAngle = 1 / (2 * math.Pi)
)

// Choose finds the holes and the grille that best fit the layout prior and
// the hints. Every subset of two to four holes about every grille is weighed
// by its log odds against being strays.
func Choose(cands []Candidate, h Hints) Choice {
	choose := chooseAboutGrille
	if h.Tweeter > 0 {
		choose = chooseAboutTweeter
	}
	c := choose(cands, h)
	c.Doubts = append(c.Doubts, shapeDoubts(cands, h, c)...)
	return c
}

func chooseAboutGrille(cands []Candidate, h Hints) Choice {
	grilles := usable(cands, h, KindGrille)
	options := []Choice{}
	if len(grilles) == 0 {
		options = append(options, layouts(cands, h, -1)...)
	}
	for _, g := range grilles {
		options = append(options, layouts(cands, h, g)...)
	}
	slices.SortStableFunc(options, func(a, b Choice) int {
		switch {
		case a.Odds > b.Odds:
			return -1
		case a.Odds < b.Odds:
			return 1
		}
		return 0
	})
	return decide(cands, h, options)
}

// usable lists the candidates of a kind that the hints leave open.
func usable(cands []Candidate, h Hints, kind string) []int {
	var out []int
	picked := slices.ContainsFunc(h.Pick, func(i int) bool { return i >= 0 && i < len(cands) && cands[i].Kind == kind })
	for i, c := range cands {
		if c.Kind != kind || slices.Contains(h.Drop, i) {
			continue
		}
		if picked && kind == KindGrille && !slices.Contains(h.Pick, i) {
			continue
		}
		if !fits(c, h) && !slices.Contains(h.Pick, i) {
			continue
		}
		out = append(out, i)
	}
	return out
}

// hintSpread is by how much the log of a diameter may differ from the one that
// the user gave: roughly is enough.
const hintSpread = 0.15

// fits tells whether a candidate is of the diameter that the user gave.
func fits(c Candidate, h Hints) bool {
	want := h.HoleDiameter
	if c.Kind == KindGrille {
		want = h.GrilleDiameter
	}
	return want == 0 || c.isAbout(want)
}

// isAbout tells whether a candidate, or one of its widths, is roughly so wide.
func (c Candidate) isAbout(want float64) bool {
	near := func(width float64) bool { return math.Abs(math.Log(width/want)) <= hintSpread }
	if c.Outline != nil {
		long, short := c.Outline.Widths()
		return near(long) || near(short)
	}
	return near(2 * c.R)
}

// layouts weighs the sets of holes about one grille (-1: none is seen).
func layouts(cands []Candidate, h Hints, grille int) []Choice {
	base := 0.0
	var near []int
	for _, i := range usable(cands, h, KindHole) {
		if grille >= 0 && !mayServe(cands[i], cands[grille]) && !slices.Contains(h.Pick, i) {
			continue
		}
		near = append(near, i)
	}
	if grille >= 0 {
		base = cands[grille].Quality
	}
	near = mostLikely(cands, near, h)
	var out []Choice
	least, most := 2, mostHoles
	if h.Holes > 0 {
		least, most = h.Holes, h.Holes
	}
	if n := pickedHoles(cands, h); n > 0 && h.Holes == 0 {
		least, most = max(1, min(n, least)), max(n, most)
	}
	for n := least; n <= most; n++ {
		subsets(near, n, func(set []int) {
			for _, p := range h.Pick {
				if slices.Contains(near, p) && !slices.Contains(set, p) {
					return
				}
			}
			odds := base + layoutOdds(cands, set, grille)
			out = append(out, Choice{Holes: slices.Clone(set), Grille: grille, Odds: odds})
		})
	}
	if grille >= 0 && (h.Holes == 0 || len(out) == 0) {
		out = append(out, Choice{Grille: grille, Odds: base - 2})
	}
	return out
}

func pickedHoles(cands []Candidate, h Hints) int {
	n := 0
	for _, p := range h.Pick {
		if p >= 0 && p < len(cands) && cands[p].Kind == KindHole {
			n++
		}
	}
	return n
}

// mayServe tells whether a hole can be a mounting hole of a grille: outside
// it, and near enough for an ear to reach.
func mayServe(hole, grille Candidate) bool {
	d := hole.Centre.Dist(grille.Centre)
	return d > grille.R+0.5*hole.R && d < 3.5*grille.R+20
}

// mostLikely keeps the hole candidates of best quality when there are too many
// to try all sets of them.
func mostLikely(cands []Candidate, near []int, h Hints) []int {
	if len(near) <= mostTried {
		return near
	}
	slices.SortStableFunc(near, func(a, b int) int {
		pa, pb := slices.Contains(h.Pick, a), slices.Contains(h.Pick, b)
		switch {
		case pa != pb && pa, pa == pb && cands[a].Quality > cands[b].Quality:
			return -1
		case pa != pb && pb, pa == pb && cands[a].Quality < cands[b].Quality:
			return 1
		}
		return 0
	})
	near = near[:mostTried]
	slices.Sort(near)
	return near
}

// subsets calls f with every set of n of the items.
func subsets(items []int, n int, f func(set []int)) {
	set := make([]int, 0, n)
	var walk func(from int)
	walk = func(from int) {
		if len(set) == n {
			f(set)
			return
		}
		for i := from; i <= len(items)-(n-len(set)); i++ {
			set = append(set, items[i])
			walk(i + 1)
			set = set[:len(set)-1]
		}
	}
	walk(0)
}

// layoutOdds is the log odds that holes form a layout about a grille against
// that each is a stray. One hole's size, distance and angle set the layout;
// the others must follow.
func layoutOdds(cands []Candidate, set []int, grille int) float64 {
	odds := 0.0
	size := make([]float64, len(set))
	for k, i := range set {
		// That it is plainly a hole says nothing for its being a mounting hole:
		// strays are as plain. That it hardly looks like one speaks against it.
		odds += math.Min(0, cands[i].Quality) + cands[i].shapeOdds()
		size[k] = math.Log(cands[i].R)
	}
	odds += likeness(size, sizeSpread, straySize)
	if grille < 0 {
		return odds
	}
	reach, angle := make([]float64, len(set)), make([]float64, len(set))
	for k, i := range set {
		d := cands[i].Centre.Sub(cands[grille].Centre)
		reach[k] = math.Log(d.Norm())
		angle[k] = math.Atan2(d.Y, d.X)
	}
	even := math.Exp(likeness(evenness(angle), angleSpread, strayAngle))
	return odds + likeness(reach, reachSpread, strayReach) + math.Log((1-anyhow)*even+anyhow)
}

// likeness is the log odds that the values are normal about their own mean
// with the given spread, against a stray's even density.
func likeness(v []float64, spread, stray float64) float64 {
	if len(v) < 2 {
		return 0
	}
	mean := 0.0
	for _, x := range v {
		mean += x / float64(len(v))
	}
	odds := 0.0
	for _, x := range v {
		u := (x - mean) / spread
		odds -= u * u / 2
	}
	return odds + float64(len(v)-1)*math.Log(normalPeak(spread)/stray)
}

// normalPeak is the greatest density of a normal distribution.
func normalPeak(spread float64) float64 { return 1 / (spread * math.Sqrt(2*math.Pi)) }

// evenness returns by how much each angle is off an even spacing, up to a
// common turn.
func evenness(angle []float64) []float64 {
	a := slices.Clone(angle)
	slices.Sort(a)
	for i := range a {
		a[i] -= 2 * math.Pi * float64(i) / float64(len(a))
	}
	return a
}

// decide turns the weighed options, the likeliest first, into a choice, and
// says why it is one and what is in doubt.
func decide(cands []Candidate, h Hints, options []Choice) Choice {
	best := Choice{Grille: -1}
	if len(options) > 0 {
		best = options[0]
	}
	sortAbout(cands, &best)
	if h.Holes == 0 && !allPicked(best.Holes, h) {
		best.Missing = missing(cands, best.Holes, best.Grille)
	}
	best.Doubts = doubtsOf(cands, h, best, options)
	best.Why = explain(cands, h, best, options)
	return best
}

// sortAbout puts the holes in order of angle about the grille, or about their
// own middle when there is none.
func sortAbout(cands []Candidate, c *Choice) {
	var middle Point
	for _, i := range c.Holes {
		middle = middle.Add(cands[i].Centre.Mul(1 / float64(len(c.Holes))))
	}
	if c.Grille >= 0 {
		middle = cands[c.Grille].Centre
	}
	angle := func(i int) float64 {
		d := cands[i].Centre.Sub(middle)
		a := math.Atan2(d.Y, d.X)
		if a < 0 {
			a += 2 * math.Pi
		}
		return a
	}
	slices.SortFunc(c.Holes, func(a, b int) int {
		if angle(a) < angle(b) {
			return -1
		}
		return 1
	})
}
