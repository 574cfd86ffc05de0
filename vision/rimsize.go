package vision

import (
	"cmp"
	"math"
	"slices"
)

// Holes of one kind are made by one core pin or one drill. So what is plain on one, how
// wide it is, is worth knowing on the next, where a wall, a shadow or dust leaves room for
// more than one reading.
const (
	ofOneSize = 0.08 // most that the logarithms of two such holes' radii differ by, as first found
	otherSize = 0.5  // px; radii that differ by less agree,
	otherPin  = 0.03 // mm; and by less than this
	mostSizes = 3    // tried for the holes of one kind
	sizeWorth = 1.5  // by how much, for each ray, their size may make a fit the less likely (in left's unit)
	heldU     = 0.01 // by how much such holes differ in radius, mm (standard uncertainty; what a pin's wear and the plastic's shrinking leave)
)

// oneSize fits holes anew whose radius is not quite that of others of their kind, with the
// one that suits all best together. Each keeps the fit that it has where that is plainly
// better; and where sizes agree, there is nothing to ask.
func oneSize(fits []rimFit) {
	var of []int
	for i := range fits {
		if fits[i].isHole() {
			of = append(of, i)
		}
	}
	radius := func(i int) float64 { return fits[i].circle().R }
	slices.SortFunc(of, func(a, b int) int { return cmp.Compare(radius(a), radius(b)) })
	for len(of) > 0 {
		n := 1
		for n < len(of) && math.Log(radius(of[n])/radius(of[n-1])) < ofOneSize {
			n++
		}
		if n > 1 {
			shareSize(fits, of[:n])
		}
		of = of[n:]
	}
}

// shareSize is oneSize for holes, in order of size, that are of one kind.
func shareSize(fits []rimFit, of []int) {
	sizes := sizesOf(fits, of)
	if len(sizes) == 1 {
		return
	}
	held := make([]rimFit, len(sizes)*len(of))
	Parallel(len(held), func(k int) {
		held[k] = fits[of[k%len(of)]].heldAt(sizes[k/len(of)])
	})
	best, least := 0, math.Inf(1)
	for s := range sizes {
		lost := 0.0
		for k, i := range of {
			if o := held[s*len(of)+k]; o.Result != nil {
				lost += math.Min(sizeWorth, fits[i].over(o))
			} else {
				lost += sizeWorth
			}
		}
		if lost < least {
			best, least = s, lost
		}
	}
	for k, i := range of {
		o, r := held[best*len(of)+k], fits[i].circle().R
		if o.Result != nil && math.Abs(r-sizes[best]) > fits[i].otherSize() {
			fits[i] = fits[i].or(o, -sizeWorth)
		}
	}
}

// sizesOf lists the different radii of holes, which are in order of size.
func sizesOf(fits []rimFit, of []int) []float64 {
	var all []float64
	for _, i := range of {
		r := fits[i].circle().R
		if len(all) == 0 || r-all[len(all)-1] > fits[i].otherSize() {
			all = append(all, r)
		}
	}
	if len(all) <= mostSizes {
		return all
	}
	var some []float64
	for k := range mostSizes {
		some = append(some, all[k*(len(all)-1)/(mostSizes-1)])
	}
	return some
}

// otherSize is by how much radii differ that do not agree, mm.
func (f rimFit) otherSize() float64 { return math.Max(otherPin, otherSize*f.px) }

// over is by how much, for each ray, another fit is the less likely; negative when it
// is the likelier.
func (f rimFit) over(o rimFit) float64 {
	return (o.left(o.X) - f.left(f.X)) / float64(len(f.rays))
}

// heldAt fits a rim anew, in the form it has, with its radius held near r. Its Result
// is nil when that leads nowhere.
func (f rimFit) heldAt(r float64) rimFit {
	m := f.rimProfile
	m.held = r
	own := slices.Clone(f.X)
	own[pR] = r - m.start.R
	tries := []try{{own, m.few(18).left(own)}}
	if m.lip == sharp {
		tries = append(tries, m.tries(own[pR]/m.px)...)
	} else {
		tries = append(tries, m.lipsAbout(r, f.X[pNarrow], f.X)...)
	}
	sortTries(tries)
	fit, err := fitModel(m, m.shortFits(tries, 16), 0)
	if err != nil || m.strays(fit.X) || !m.isLit(fit.X) || !m.shows(fit.X) {
		return rimFit{}
	}
	return rimFit{rimProfile: m, Result: fit, plain: f.plain}
}
