package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
)

// Search says where circles and other openings are looked for. Zero values take
// the defaults.
type Search struct {
	HoleZ, GrilleZ float64 // heights of the holes' and the grille's planes, mm
	Reach          float64 // how far from the panel's origin, mm; default 320
	Papers         []Paper // what lies on the panel, whose print is no opening
	Closer         bool    // a second look, for holes whose edges hardly show
}

// reach is how far from the panel's origin is looked, mm.
func (s Search) reach() float64 { return cmp.Or(s.Reach, 320) }

// underPrint tells whether a place of the panel cannot be seen, as there is print.
func (s Search) underPrint(q calib.Point) bool {
	return slices.ContainsFunc(s.Papers, func(p Paper) bool { return p.hides(q) })
}

// onPaper tells whether a place lies on a sheet or card.
func (s Search) onPaper(q calib.Point) bool {
	return slices.ContainsFunc(s.Papers, func(p Paper) bool { return p.covers(q, 0) })
}

// The sizes looked for, as diameters in mm. A hole is at most MaxHole, a
// grille at least MinGrille.
const (
	MinHole, MaxHole     = 2.0, 12.0
	MinGrille, MaxGrille = 20.0, 110.0
)

// FindCircles returns the circles of a hole's or a grille's size that the
// photo shows, the likeliest first.
func FindCircles(p *Photo, cam calib.Camera, s Search) []Rim {
	view := flatten(p, cam, s.reach())
	guesses := guessCircles(view, 0.45*MinHole, 0.55*MaxGrille)
	guesses = append(guesses, guessCircles(texture(view), 0.4*MinGrille, 0.55*MaxGrille)...)
	levels := newPyramid(p, cam, s.Closer)
	out := findEach(len(guesses), func(i int) (Rim, bool) {
		g, z, trace := guesses[i].Circle, s.HoleZ, levels.traceRim
		switch {
		case 2*g.R > MaxHole*1.3:
			z = s.GrilleZ
		case s.Closer:
			trace = levels.traceHole
		}
		r, ok := trace(z, cam.Carry(g, 0, z), leastCoverage)
		return r, ok && sized(2*r.R) && !s.underPrint(r.Centre)
	})
	if !slices.ContainsFunc(out, func(r Rim) bool { return !r.isHole() && r.Odds() > sureGrille }) {
		out = append(out, s.grilles(p, cam, guesses)...)
	}
	out = append(out, s.plainer(p, cam, out)...)
	slices.SortStableFunc(out, func(a, b Rim) int { return cmp.Compare(b.Coverage, a.Coverage) })
	out = oneMouth(p, cam, withoutMesh(unlike(cam, out)))
	oneBoss(p, cam, out)
	oneBore(p, cam, out)
	markRings(p, cam, out)
	markCollars(p, cam, out)
	markRingBars(cam, out)
	out = withInside(p, cam, out, s.GrilleZ != 0)
	markAround(out)
	refine(p, cam, out)
	markChance(cam, out)
	markShared(cam, out)
	slices.SortStableFunc(out, func(a, b Rim) int { return cmp.Compare(b.Odds(), a.Odds()) })
	return unlike(cam, out) // two traces may have been of one rim
}

// grilles traces the guesses of a grille's size more patiently, for a photo in which none
// looked like one at first. In others it would trace more of the edges that go round with one.
func (s Search) grilles(p *Photo, cam calib.Camera, guesses []guess) []Rim {
	levels := newPyramid(p, cam, true)
	return findEach(len(guesses), func(i int) (Rim, bool) {
		g := guesses[i].Circle
		if 2*g.R <= MaxHole*1.3 {
			return Rim{}, false
		}
		r, ok := levels.traceGrille(s.GrilleZ, cam.Carry(g, 0, s.GrilleZ), leastCoverage/2)
		return r, ok && r.Coverage >= leastCoverage && s.mayBeGrille(r)
	})
}

// plainer traces circles that show all round where the likeliest of a grille's size does not, a
// little within it or round it. Of a collar the face's side is light, the other's shadow dark:
// a circle may be half the edge of the one, half the other's, and the mouth goes all round
// beside it.
func (s Search) plainer(p *Photo, cam calib.Camera, rims []Rim) []Rim {
	grilles := slices.DeleteFunc(slices.Clone(rims), Rim.isHole)
	if len(grilles) == 0 {
		return nil
	}
	r := slices.MaxFunc(grilles, func(a, b Rim) int { return cmp.Compare(a.Odds(), b.Odds()) })
	if r.Coverage > allRound {
		return nil
	}
	grain := faceGrain(p, cam, r.Z, r.Circle, closeLook(cam, r.Z, r.Circle))
	return findEach(2*besideSteps+1, func(i int) (Rim, bool) {
		g := r.Circle
		g.R += float64(i-besideSteps) * besideStep
		o, ok := traceNear(p, cam, r.Z, g, besideStep, grain, leastCoverage)
		return o, ok && o.Coverage > allRound && s.mayBeGrille(o)
	})
}

// mayBeGrille tells whether a circle has a grille's size and a place for one.
func (s Search) mayBeGrille(r Rim) bool {
	return sized(2*r.R) && !r.isHole() && !s.underPrint(r.Centre)
}

// How far from a circle, mm, a plainer one is looked for, and in which steps: as far as a
// collar is wide. One over allRound of whose circumference shows an edge has nothing to gain.
const (
	besideStep  = 1.0
	besideSteps = 3
	allRound    = 0.9
)

// sureGrille are the odds below which a grille's circle is mostly chance: of 132 found on
// rendered photos 97 of the 104 above are right, and of the 28 below one is, which a
// mocked-up tweeter half hides. calib doubts such a one if nothing better is found.
const sureGrille = 1.25

// leastCoverage is the least share of a circle's circumference that must show
// an edge.
const leastCoverage = 0.5

func sized(d float64) bool {
	return d >= MinHole && d <= MaxHole || d >= MinGrille && d <= MaxGrille
}

// unlike drops circles that trace the same rim as a better one before them, or the far
// end of its wall, though that be plainer.
func unlike(cam calib.Camera, rims []Rim) []Rim {
	var out []Rim
	for _, r := range rims {
		k := slices.IndexFunc(out, func(o Rim) bool { return same(r, o) || r.isMouthOf(cam, o) || o.isMouthOf(cam, r) })
		switch {
		case k < 0:
			out = append(out, r)
		case r.isMouthOf(cam, out[k]):
			out[k] = r
		}
	}
	return out
}

// same tells whether two circles trace one rim.
func same(a, b Rim) bool {
	near := math.Max(0.3, 0.03*b.R)
	return a.Centre.Dist(b.Centre) < near && math.Abs(a.R-b.R) < near
}

// A hole with this many of its own size within this many diameters is one of
// a mesh's openings. They show their edges about as plainly: what hardly shows
// beside a plain hole is grain.
const (
	meshNeighbours = 4
	meshReach      = 5.0
	meshAlike      = 0.75 // least coverage, as a share of its own
)

// withoutMesh drops the openings of a mesh.
func withoutMesh(rims []Rim) []Rim {
	var out []Rim
	for i, r := range rims {
		near := 0
		for j, o := range rims {
			alike := math.Abs(math.Log(o.R/r.R)) < 0.15 && o.Coverage > meshAlike*r.Coverage
			if i != j && r.isHole() && alike && o.Centre.Dist(r.Centre) < meshReach*2*r.R {
				near++
			}
		}
		if near < meshNeighbours {
			out = append(out, r)
		}
	}
	return out
}

// How many rims of each kind are fitted by their profiles, the likeliest: more
// than are ever chosen.
const (
	refinedHoles   = 10
	refinedGrilles = 3
	refinedOdds    = -1.5 // the least, in log odds; the round end of something longer has less
)

// refine fits the profiles of the rims that may be chosen.
func refine(p *Photo, cam calib.Camera, rims []Rim) {
	order := make([]int, len(rims))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(rims[b].Odds(), rims[a].Odds()) })
	left := map[bool]int{true: refinedHoles, false: refinedGrilles}
	order = slices.DeleteFunc(order, func(i int) bool {
		left[rims[i].isHole()]--
		return left[rims[i].isHole()] < 0 || rims[i].Odds() < refinedOdds
	})
	fits := make([]rimFit, len(order)) // without a result where the profiles tell no more than the trace
	Parallel(len(order), func(i int) {
		if f, ok := fitRim(p, cam, rims[order[i]]); ok {
			fits[i] = f
		}
	})
	kinFromNear(fits)
	agreedLip(fits)
	oneLip(fits)
	alone := slices.Clone(fits)
	Parallel(len(order), func(i int) {
		for _, o := range alone {
			if fits[i].isHole() && o.isHole() && o.plain > 0 {
				fits[i] = fits[i].like(o)
			}
		}
	})
	noLoneLip(fits)
	oneSize(fits)
	fitAnew(p, cam, rims, order, fits)
	Parallel(len(fits), func(i int) {
		if r := &rims[order[i]]; fits[i].Result != nil {
			r.fit(fits[i].within(p, cam, *r))
		}
	})
}
