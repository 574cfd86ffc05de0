package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
)

// Many a grille is made of rings about its middle, held by spokes. Each ring's edges are as plain
// a circle as the opening's own, or plainer, for the opening's lies half in its wall's shadow.
// They are told by one another: they lie in one plane, so that one centre is seen for all of them;
// they go on inwards to less than the half of the opening, and outwards about as evenly to its edge,
// the next circle round them on their axis, which differs from the face about as plainly.
const (
	fewestBars = 3    // edges of rings
	barInmost  = 0.6  // of the opening's radius: the innermost edge's is less
	barGap     = 1.5  // most room round the outermost edge, as a share of the most between two
	barMouth   = 0.7  // least share of its circumference that the opening must show
	barPlain   = 0.5  // least contrast of the opening's edge, as a share of the rings'
	barMiddle  = 0.25 // most distance of two edges' centres, mm, or barPx if that is more
	barPx      = 2.0
	barDeep    = 15.0 // how deep rings may lie in an opening, mm
)

// markRingBars marks the edges of a grille's rings as what is in a mouth, where the mouth round them shows.
func markRingBars(cam calib.Camera, rims []Rim) {
	for _, o := range rims {
		if o.isHole() || o.Coverage < barMouth {
			continue
		}
		for _, r := range rims {
			bars := barsAbout(cam, rims, r, o)
			if !areBars(rims, bars, o) {
				continue
			}
			for _, b := range bars {
				rims[b].Within = true
			}
		}
	}
}

// barsAbout lists the circles that would be edges of an opening's rings if one of them is.
func barsAbout(cam calib.Camera, rims []Rim, bar, o Rim) (bars []int) {
	for i, r := range rims {
		if r.R < o.R-collarWall && r.isBarBeside(cam, bar) && r.liesDeeperIn(cam, o) {
			bars = append(bars, i)
		}
	}
	return bars
}

// isBarBeside tells whether two circles may be edges of rings about one centre.
func (r Rim) isBarBeside(cam calib.Camera, bar Rim) bool {
	return r.Agreement > 0.5 && r.Centre.Dist(bar.Centre) < math.Max(barMiddle, barPx/cam.PxPerMM(bar.Centre, bar.Z))
}

// liesDeeperIn tells whether a circle is about another's axis, in its plane or deeper.
func (r Rim) liesDeeperIn(cam calib.Camera, o Rim) bool {
	line, perMM := parallax(cam, o)
	slack := math.Max(offAxis, 3/cam.PxPerMM(o.Centre, o.Z))
	along, across := split(line, r.Centre.Sub(o.Centre))
	return math.Abs(across) < slack && along < slack && along > -barDeep*perMM-slack
}

// areBars tells whether circles of one centre are the edges of rings in an opening.
func areBars(rims []Rim, bars []int, o Rim) bool {
	if len(bars) < fewestBars {
		return false
	}
	slices.SortFunc(bars, func(a, b int) int { return cmp.Compare(rims[a].R, rims[b].R) })
	widest, plainest := 0.0, 0.0
	for i, b := range bars {
		plainest = math.Max(plainest, rims[b].plain())
		if i > 0 {
			widest = math.Max(widest, rims[b].R-rims[bars[i-1]].R)
		}
	}
	inmost, outmost := rims[bars[0]].R, rims[bars[len(bars)-1]].R
	return inmost < barInmost*o.R && o.R-outmost < barGap*widest && o.plain() > math.Max(barPlain*plainest, plainMouth)
}

// isBar tells whether a circle is about the centre of a grille's rings.
func (r Rim) isBar(cam calib.Camera, rims []Rim) bool {
	return slices.ContainsFunc(rims, func(o Rim) bool { return o.Within && r.isBarBeside(cam, o) })
}
