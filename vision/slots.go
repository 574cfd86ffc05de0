package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
)

// The slots looked for: as wide as holes are, and up to so long. Longer ones
// are gaps and ribs.
const mostSlot = 30.0 // mm

const (
	slotScale   = 2.5  // px per mm of the view in which they are looked for
	mostTraced  = 48   // blobs traced, the plainest first
	leastRound  = 0.04 // roundness above which a blob is not a round hole
	plainSlot   = 0.75 // least coverage
	enclosing   = 0.6  // coverage from which a circle round an opening may be the hole
	plainCircle = 0.88 // coverage from which a circle needs no second look
	roundHole   = 0.12 // by how much more of its outline an opening must show than a circle does
)

// FindSlots returns the openings of a hole's width that are not round: slots,
// D-holes and rectangles, the likeliest first. The circles are what FindCircles
// found: where one shows about as much of its edge, the hole is round.
func FindSlots(p *Photo, cam calib.Camera, s Search, circles []Rim) []Opening {
	view := flattenAt(p, cam, s.reach(), slotScale)
	found := s.notRound(blobs(view, blobSize{0.8 * MinHole, 1.15 * MaxHole, mostSlot}), leastRound, circles, mostTraced)
	shapes := []string{calib.ShapeSlot, calib.ShapeD, calib.ShapeRectangle}
	out := findEach(len(found), func(i int) (Opening, bool) {
		o, round, ok := traceOutline(p, cam, s.HoleZ, found[i], shapes)
		for _, r := range circles {
			if o.Replaces(r) && r.R > 0.8*o.Round().R {
				round = math.Max(round, r.Coverage)
			}
			ok = ok && !o.isInside(p, cam, r)
		}
		return o, ok && o.Coverage > plainSlot && o.Coverage > round+roundHole && o.distinct(1/cam.PxPerMM(o.Centre, s.HoleZ)) && o.isHole()
	})
	slices.SortStableFunc(out, func(a, b Opening) int { return cmp.Compare(b.Coverage, a.Coverage) })
	out = notMesh(apart(out))
	Parallel(len(out), func(i int) {
		o := &out[i]
		px := 1 / cam.PxPerMM(o.Centre, o.Z)
		outlineTrace{p, cam, o.Z, px, leastJump}.refine(o)
	})
	return out
}

// notRound returns the blobs, at most so many of the plainest, that may be an
// opening of another shape: they stand out, and are farther from round than least.
func (s Search) notRound(all []blob, least float64, circles []Rim, most int) []blob {
	all = slices.DeleteFunc(all, func(b blob) bool {
		return b.seen < 2 || b.roundness() < least || b.isRound(circles) || s.onPaper(b.box.centre)
	})
	return all[:min(len(all), most)]
}

// isInside tells whether an opening is but the dark part of a round hole whose
// wall the light falls on: a circle goes round it that shows most of its edge.
// That is so with a D too; but there the face goes on between the circle and the
// flat.
func (o Opening) isInside(p *Photo, cam calib.Camera, r Rim) bool {
	if !r.isHole() || r.Coverage < enclosing || r.R > 1.6*o.Round().R {
		return false
	}
	px := 1 / cam.PxPerMM(o.Centre, o.Z)
	for _, s := range o.Stations(36) {
		if s.At.Dist(r.Centre) > r.R+1.5*px {
			return false
		}
	}
	if o.Shape != calib.ShapeD {
		return true
	}
	s, c := math.Sincos(o.Turn)
	across := calib.Point{X: -s, Y: c}
	var face, gap []float64
	for i := range 9 {
		side := across.Mul(0.3 * o.Half[0] * (float64(i) - 4) / 4)
		see := func(out float64) float64 {
			q := o.Centre.Add(calib.Point{X: c, Y: s}.Mul(out)).Add(side)
			return p.At(cam.Project(calib.Vec3{X: q.X, Y: q.Y, Z: o.Z}))
		}
		gap = append(gap, see((o.Half[0]+o.Half[1])/2))
		face = append(face, see(o.Half[0]+3*px))
	}
	return math.Abs(ratio(median(face), median(gap))) > 0.06
}

// isRound tells whether a circle that plainly shows is what the blob is of.
func (b blob) isRound(circles []Rim) bool {
	return slices.ContainsFunc(circles, func(r Rim) bool {
		return r.Coverage > plainCircle && r.Centre.Dist(b.box.centre) < 0.5*r.R && b.box.half[0] < 1.15*r.R && b.box.half[1] > 0.5*r.R
	})
}

// refine fits an opening's profiles; where they tell nothing the trace stands.
func (t outlineTrace) refine(o *Opening) {
	if !t.fit(o) {
		t.unrefined(o)
	}
}

// unrefined gives an opening the uncertainty that a trace has.
func (t outlineTrace) unrefined(o *Opening) {
	u := 0.3 * t.px
	o.Cov, o.LongU = traceCov(u), u
}

// distinct tells an opening from a round one seen with its wall.
func (o Opening) distinct(px float64) bool {
	long, short := o.Widths()
	if o.Shape == calib.ShapeD {
		return o.Half[1] > 0 && o.Half[1] < 0.85*o.Half[0]
	}
	if o.Shape == calib.ShapeRectangle && o.Corner > 0.8*o.Half[1] && long < 1.1*short {
		return false
	}
	return o.Shape == calib.ShapeRectangle || o.Shape == calib.ShapeRoundedSquare || o.Shape == calib.ShapeFree || long-short > math.Max(0.08*short, 3*px)
}

// isHole tells whether its width is a hole's.
func (o Opening) isHole() bool {
	long, short := o.Widths()
	return short >= MinHole && short <= MaxHole && long <= mostSlot
}

// apart drops openings that lie on a better one before them.
func apart(all []Opening) []Opening {
	var out []Opening
	for _, o := range all {
		if !slices.ContainsFunc(out, func(k Opening) bool {
			return k.Distance(o.Centre) < 0 || o.Distance(k.Centre) < 0
		}) {
			out = append(out, o)
		}
	}
	return out
}

// Replaces tells whether a circle is a part of the opening, such as a slot's end,
// an oval's middle or a circle of chance in a mesh, and no feature by itself.
func (o Opening) Replaces(r Rim) bool {
	if o.isGrille() {
		return !r.isHole() && (o.overlaps(r) || o.hasAside(r))
	}
	return r.isHole() && o.Distance(r.Centre) < -0.4*math.Min(r.R, o.Round().R) && r.R < 1.5*o.Round().R
}

// notMesh drops the openings of a mesh, as withoutMesh does round ones.
func notMesh(all []Opening) []Opening {
	var out []Opening
	for i, o := range all {
		near := 0
		for j, k := range all {
			if i != j && math.Abs(math.Log(k.Round().R/o.Round().R)) < 0.15 && k.Centre.Dist(o.Centre) < meshReach*o.Half[0] {
				near++
			}
		}
		if near < meshNeighbours {
			out = append(out, o)
		}
	}
	return out
}
