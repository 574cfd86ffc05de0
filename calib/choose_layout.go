package calib

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"
)

// The layout prior: how mounting holes usually lie about a grille. Each value
// is common practice in moulded trim, not a standard: holes of one kind are
// made by one core pin, and lie about the grille so that the part sits even.
const (
	sizeSpread  = 0.004 // of the log of hole diameters within one layout, as they are measured
	reachSpread = 0.05  // of the log of distances from the grille's centre, where all are meant to be one
	looseSpread = 0.25  // of the same, where each hole lies where there was room
	inLoose     = 0.5   // share of layouts in which they do
	angleSpread = 0.35  // of the angles against an even spacing, radians
	anyhow      = 0.2   // share of layouts whose angles follow no rule, as where only one side has room
	mostHoles   = 4     // tried without being told
	mostTried   = 14    // hole candidates tried about one grille
)

// What a stray hole looks like, for the odds: it may lie anywhere and be of any
// size, but that one stray in five is made by the same core pin as the mounting
// holes; without those, a hole of the right size would be taken into a set in
// which it lies badly.
const sameKind = 0.2

// straySize is the density of strays' logarithms of diameters, from 2 to 12 mm.
var straySize = 1 / math.Log(12.0/2)

const strayAngle = 1 / (2 * math.Pi)

// A logSize is the logarithm of a hole's diameter, and its standard uncertainty besides sizeSpread.
type logSize struct{ v, u float64 }

// No reading of a hole is wrong by more than a factor of two, as where its boss's edge is taken for it.
var mostMisread = math.Log(2)

// unlike is the density of what is not of one size at all: as good as none.
const unlike = 1e-12

// density is how the sizes of one layout lie about their middle. Most are
// measured well (in 87 rendered sets to 0.24 % in the median); but what light does to a rim, or
// the wrong reading of one, makes some far off, so the tails are heavy.
func (s logSize) density(middle float64) float64 {
	if math.Abs(s.v-middle) > mostMisread {
		return unlike
	}
	return distuv.StudentsT{Mu: middle, Sigma: math.Hypot(sizeSpread, s.u), Nu: 3}.Prob(s.v)
}

// sizeOdds is the log odds that holes of these sizes are of one layout.
// One of them sets the size. The others round the grille are strays then, and some of them may be by
// the same pin: that several are of one size says that it is the mounting holes', be they all
// in the set or not. With the set's own, one more than the largest set has is counted: so many that a
// hole can be changed for another, and so few that the clips' holes, of which there may be a dozen, do not win by number.
func sizeOdds(size, others []logSize) float64 {
	middle, odds := middleSize(size), 0.0
	density := func(s logSize) float64 { return s.density(middle) / straySize }
	for _, s := range size {
		odds += math.Log(density(s))
	}
	odds *= float64(len(size)-1) / float64(len(size))
	alike := make([]float64, len(others))
	for k, s := range others {
		alike[k] = math.Log(1 - sameKind + sameKind*density(s))
	}
	slices.Sort(alike)
	slices.Reverse(alike)
	for _, more := range alike[:min(len(alike), max(0, mostHoles+1-len(size)))] {
		odds += more
	}
	return odds
}

// middleSize is the likeliest logarithm of the layout's size, of those that are its holes': one that was
// read wrongly, or is only loosely known, has little say. What is not round (its u is 0) sets it: a slot
// is one of a set whose round holes are as wide as it, and lies among others of another width.
func middleSize(size []logSize) float64 {
	odds := func(middle float64) (sum float64) {
		for _, s := range size {
			sum += math.Log(s.density(middle))
		}
		return sum
	}
	of := slices.DeleteFunc(slices.Clone(size), func(s logSize) bool { return s.u > 0 })
	if len(of) == 0 {
		of = size
	}
	return slices.MaxFunc(of, func(a, b logSize) int { return cmp.Compare(odds(a.v), odds(b.v)) }).v
}

// strays is how many stray holes there are to a square millimetre: three on the back of
// a panel of 200 by 200.
const strays = 3.0 / (200 * 200)

// strayReach is the density, in the mean, of strays at these logarithms of distances from a
// grille's centre: as they may lie anywhere, there are fewer near to it.
func strayReach(reach []float64) float64 {
	mean := 0.0
	for _, r := range reach {
		mean += 2 * r / float64(len(reach))
	}
	return 2 * math.Pi * strays * math.Exp(mean)
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
			odds := base + layoutOdds(cands, set, grille) + sizeOdds(logSizes(cands, near, set))
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
	return d > grille.R+0.5*hole.R && d < earReach(grille.R)
}

// earReach is how far from the middle of a grille of radius r a plate's ear may reach, mm.
func earReach(r float64) float64 { return 3.5*r + 20 }

// mostLikely keeps the hole candidates of best quality when there are too many
// to try all sets of them.
func mostLikely(cands []Candidate, near []int, h Hints) []int {
	if len(near) <= mostTried {
		return near
	}
	slices.SortStableFunc(near, func(a, b int) int {
		pa, pb := slices.Contains(h.Pick, a), slices.Contains(h.Pick, b)
		switch {
		case pa == pb:
			return cmp.Compare(cands[b].Quality, cands[a].Quality)
		case pa:
			return -1
		}
		return 1
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

// logSizes are the sizes of a set, and of the others near.
func logSizes(cands []Candidate, near, set []int) (in, others []logSize) {
	for _, i := range near {
		if s := (logSize{math.Log(cands[i].R), cands[i].RU / cands[i].R}); slices.Contains(set, i) {
			in = append(in, s)
		} else {
			others = append(others, s)
		}
	}
	return in, others
}

// layoutOdds is the log odds that holes form a layout about a grille against
// that each is a stray, sizes aside. One hole's distance and angle set the layout;
// the others must follow.
func layoutOdds(cands []Candidate, set []int, grille int) float64 {
	odds := 0.0
	for _, i := range set {
		// That it is plainly a hole says nothing for its being a mounting hole:
		// strays are as plain. That it hardly looks like one speaks against it.
		odds += math.Min(0, cands[i].Quality-cands[i].AsFace) + cands[i].shapeOdds()
	}
	odds += asFaceOdds(cands, set) + insideOdds(cands, set) + bossOdds(cands, set)
	if grille < 0 {
		return odds
	}
	odds += groundOdds(cands, set, grille)
	reach, angle, at := make([]float64, len(set)), make([]float64, len(set)), make([]Point, len(set))
	for k, i := range set {
		at[k] = cands[i].Centre
		d := cands[i].Centre.Sub(cands[grille].Centre)
		reach[k] = math.Log(d.Norm())
		angle[k] = math.Atan2(d.Y, d.X)
	}
	even := math.Exp(likeness(evenness(angle), angleSpread, strayAngle))
	stray := strayReach(reach)
	alike := math.Exp(likeness(reach, reachSpread, stray))
	loose := math.Exp(likeness(reach, looseSpread, stray))
	roughly := ((1-inLoose)*alike + inLoose*loose) * ((1-anyhow)*even + anyhow)
	if ofOneSize(cands, set) {
		roughly = (1-inEven)*roughly + inEven*math.Exp(evenOdds(at, cands[grille].Centre))
	}
	return odds + math.Log(roughly) + gapOdds(cands, set, grille)
}

// gapSpread is how far from the grille's edge the nearest hole of a set lies, edge to edge, mm: two
// in three are nearer, for a short ear bends less (common practice). anyGap is the
// share of sets that lie anywhere an ear can reach.
const (
	gapSpread = 16.0
	anyGap    = 0.15
)

// gapOdds is the log odds of how far from the grille a set lies, by its nearest hole: how far
// the others do follows from it.
func gapOdds(cands []Candidate, set []int, grille int) float64 {
	g := cands[grille]
	near, gap := math.Inf(1), math.Inf(1)
	for _, i := range set {
		r := cands[i].Centre.Dist(g.Centre)
		near, gap = math.Min(near, r), math.Min(gap, r-g.R-cands[i].R)
	}
	reach := earReach(g.R)
	stray, anywhere := 2*math.Pi*near*strays, 2*near/(reach*reach)
	short := 2 * normalPeak(gapSpread) * math.Exp(-gap*gap/(2*gapSpread*gapSpread))
	return math.Log(((1-anyGap)*short + anyGap*anywhere) / stray)
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

// Holes of one kind look alike inside, unless a screw, dirt or a ray of light is
// in one: by how much their contrast with the face may differ, and the most that
// a difference speaks against a hole.
const (
	insideSpread = 0.12
	mostUnlike   = 1.5
)

// insideOdds is the log odds of how alike the holes look inside. Most do: so one
// that does not is told from the middle of them, and not from their mean.
func insideOdds(cands []Candidate, set []int) float64 {
	v := make([]float64, len(set))
	for k, i := range set {
		v[k] = cands[i].Inside
	}
	middle := median(v)
	odds := 0.0
	for _, inside := range v {
		u := (inside - middle) / insideSpread
		odds -= math.Min(u*u/2, mostUnlike)
	}
	return odds
}

// lightOnDark is what it speaks against a set of holes that they are light inside where the
// grille's opening is not. It is set by hand: a hole's floor may lie in the light.
const lightOnDark = 1.5

// groundOdds is the log odds of what the holes show against what the grille's opening does. What
// the panel lies on shows through all that goes through it: so where the grille is no lighter
// than the face, what is plainly lighter is mostly a screw's head and no hole. The other way
// round says nothing, for many holes end in a boss.
func groundOdds(cands []Candidate, set []int, grille int) float64 {
	if cands[grille].Inside < 0 {
		return 0
	}
	for _, i := range set {
		if cands[i].Inside > -plainInside {
			return 0
		}
	}
	return -lightOnDark
}

// plainInside is a contrast with the face that makes an inside plainly lighter than it.
const plainInside = 0.2

// asFaceOdds is the log odds of the holes' insides being as light as the face. What lies behind
// one lies behind all: so the set is charged for it once, and not hole by hole.
func asFaceOdds(cands []Candidate, set []int) (odds float64) {
	for _, i := range set {
		odds = math.Min(odds, cands[i].AsFace)
	}
	return odds
}

// offBoss is what it speaks against a hole that it stands in a boss and the others do not, or
// the other way round. It is set by hand: of 21 mounting bosses in eight rendered photos each
// one's edge was found, and round six holes in the face of two others none; but an edge may be
// missed, and a plate may rest on both.
const offBoss = 2.5

// bossOdds is the log odds of whether the holes stand in bosses: all do, or none. Round
// what is not round nobody has looked.
func bossOdds(cands []Candidate, set []int) float64 {
	on, off := 0, 0
	for _, i := range set {
		switch {
		case cands[i].Outline != nil:
		case cands[i].Boss:
			on++
		default:
			off++
		}
	}
	return -offBoss * float64(min(on, off))
}
