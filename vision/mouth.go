package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// Of circles about one middle, which is the mouth: a collar and a boss stand round it, a bore
// lies in it.

// markCollars finds the circles that are no mouth, though they share one's axis.
// Where what lies between two has the face's light, the outer is the edge of a
// collar. Where it has not, the outer is the mouth, and the inner a ring of what
// guards the opening, or an edge behind it.
func markCollars(p *Photo, cam calib.Camera, rims []Rim) {
	for i := range rims {
		r := &rims[i]
		if r.isHole() {
			continue
		}
		isMouth, lit, round := false, false, false
		for _, o := range rims {
			switch {
			case o.isHole():
			case o.liesIn(*r):
				round = round || o.R > 0.6*r.R && o.Coverage > 0.8*r.Coverage && !darkBetween(p, cam, *r, o)
				isMouth = isMouth || opensBetween(p, cam, *r, o)
			case o.liesBelow(cam, *r):
				lit = lit || litBetween(p, cam, *r, o)
			}
		}
		r.Collar = round && !isMouth && !lit
		for k := range rims {
			o := &rims[k]
			if !o.isHole() && (isMouth && o.liesIn(*r) || lit && o.liesBelow(cam, *r)) {
				o.Within = true
			}
		}
	}
}

// markAround notes the next circle round each, about the same axis.
func markAround(rims []Rim) {
	for i := range rims {
		r := &rims[i]
		for _, o := range rims {
			if !r.isHole() && r.liesIn(o) && (r.around == 0 || o.R < r.around) {
				r.around = o.R
			}
		}
	}
}

// liesIn tells whether a circle lies in another about the same axis. What stands up throws
// a shadow, so that the edge round a collar mostly lies somewhat aside of its axis.
func (r Rim) liesIn(o Rim) bool {
	wall := o.R - r.R
	aside := math.Max(0.025*o.R, math.Min(0.5*wall, 0.04*o.R))
	return wall > collarWall && r.Centre.Dist(o.Centre) < aside
}

// opensBetween tells whether the light changes plainly at a circle's edge, as at a
// mouth's, or the colour: what lies between it and one inside it against the face.
func opensBetween(p *Photo, cam calib.Camera, r, inner Rim) bool {
	if r.Coverage > colourCoverage && isForeign(p, cam, r, inner) {
		return true
	}
	if r.Coverage < plainCoverage {
		return false
	}
	jumps := between(p, cam, r, inner, 4, 0)
	for i, far := range between(p, cam, r, inner, 4, collarStep) {
		jumps[i] = math.Min(math.Abs(jumps[i]), math.Abs(far)) // at a collar's foot the face is in its shade
	}
	return quantile(jumps, 0.25) > plainJump // all round but for a quarter, where a shadow may lie
}

// colourCoverage is the least share of a circle's edge that must show where the colour changes at it, which a
// collar's does not: where only the colour changes, little of the edge shows.
const colourCoverage = 0.7

// liesBelow tells whether a circle lies in another about the same axis, in its plane or deeper.
func (r Rim) liesBelow(cam calib.Camera, o Rim) bool {
	return r.R < o.R-collarWall && r.liesDeeperIn(cam, o)
}

// litBetween tells whether what lies between a circle and one below it is of another colour than the face, or
// plainly lighter all round: light from behind the panel. A collar's floor is of the face's plastic and
// under the same lamp, so it may be darker, but neither of those.
func litBetween(p *Photo, cam calib.Camera, r, inner Rim) bool {
	if r.Coverage < colourCoverage {
		return false
	}
	lighter := func(on float64) bool { return quantile(between(p, cam, r, inner, 4, on), 0.75) < -plainJump }
	return isForeign(p, cam, r, inner) || lighter(0) && lighter(collarStep)
}

// plainJump is a contrast that a face and a collar of one plastic do not have.
const plainJump = 0.25

// darkBetween tells whether what lies between two circles is plainly darker than the face: a
// wall, or its shadow on what lies behind. A collar's top has the face's light.
func darkBetween(p *Photo, cam calib.Camera, r, inner Rim) bool {
	return median(between(p, cam, r, inner, 3, collarStep)) > darkWall
}

// darkWall is a contrast that a collar's top and the face do not have: of the circles of six
// rendered panels that an opening was found in, five collars' rings were within 0.03 of the face's
// light, in the middle all round, and a wall and a mark's were 0.29 and 0.51 darker.
const darkWall = 0.15

// sinksBetween tells whether what lies between two circles is a slope or a floor
// below the face: darker than that, if not where a lamp falls on a slope, from the one to
// the other. A boss is not, which has the face's light, though its shadow lie within the
// outer, nor one with a counterbore, whose floor has it too; an insert neither, which is lighter or of another colour.
func sinksBetween(p *Photo, cam calib.Camera, r, inner Rim) bool {
	if isForeign(p, cam, r, inner) {
		return false
	}
	for _, share := range []float64{0.5, 0.7, 0.85} {
		jumps := betweenAt(p, cam, r, inner, 3, 0, share)
		if median(jumps) < sunk || quantile(jumps, 0.25) < -0.1 {
			return false
		}
	}
	return true
}

// sunk is the least contrast of the face with a countersink's slope or a counterbore's floor.
const sunk = 0.15

// between is the contrast, all round, of what is outside a circle, just so or so many mm
// on, with what lies between it and one inside it; zeros when that is narrower than so
// many pixels.
func between(p *Photo, cam calib.Camera, r, inner Rim, least, on float64) []float64 {
	return betweenAt(p, cam, r, inner, least, on, 0.5)
}

// betweenAt is the same with what lies such a share of the way from the outer to the inner.
func betweenAt(p *Photo, cam calib.Camera, r, inner Rim, least, on, share float64) []float64 {
	out := make([]float64, compared)
	px := 1 / cam.PxPerMM(r.Centre, r.Z)
	if r.R-inner.R < least*px {
		return out
	}
	see := func(q calib.Point) float64 { return p.At(cam.Project(calib.Vec3{X: q.X, Y: q.Y, Z: r.Z})) }
	amid := stationsOn(calib.Circle{
		Centre: r.Centre.Mul(1 - share).Add(inner.Centre.Mul(share)), R: r.R + share*(inner.R-r.R),
	}, compared)
	for k, s := range stationsOn(calib.Circle{Centre: r.Centre, R: r.R + 3*px + on}, compared) {
		out[k] = ratio(see(s.At), see(amid[k].At))
	}
	return out
}

// isMouthOf tells whether another circle is the far end of this one's wall: as wide, but
// farther from the camera, so smaller and seen moved towards the camera's foot. From a way
// off the axis the end can be the plainer of the two all round: on the near side it is
// hidden, but there the mouth's own edge passes close by.
func (r Rim) isMouthOf(cam calib.Camera, o Rim) bool {
	line, perMM := parallax(cam, r)
	px := 1 / cam.PxPerMM(r.Centre, r.Z)
	depth := -line.Dot(o.Centre.Sub(r.Centre)) / perMM
	end := shaft{mouth: r.Circle, depth: depth, sink: line.Mul(-perMM), shrink: 1 / (cam.Eye().Z - r.Z)}.end()
	near := 2 * onRim * px
	return depth*perMM > near && depth < mostDepth && o.Centre.Dist(end.Centre) < near && math.Abs(o.R-end.R) < near &&
		r.Coverage > mouthShare*o.Coverage
}

// mouthShare is how much of a mouth's edge must show to be one, as a share of what shows of
// its wall's far end.
const mouthShare = 0.8

// collarWall is the least difference in radius, mm, that makes two circles the
// edges of a collar, and not one edge with its rounding.
const collarWall = 0.6

// oneMouth keeps, of hole-sized circles about one middle, the likeliest: a
// hole's mouth, and not its boss or the far end of its wall. Where what lies
// between two is darker than the face, as a countersink or a counterbore is, that
// is the outer.
func oneMouth(p *Photo, cam calib.Camera, rims []Rim) []Rim {
	rims = slices.Clone(rims)
	for _, s := range sunkHoles(p, cam, rims) {
		mouth, bore := &rims[s.mouth], &rims[s.bore]
		bore.Within, mouth.Told = true, math.Max(mouth.Told, bore.Odds())
	}
	var out []Rim
	for _, r := range rims {
		if !r.Within && !slices.ContainsFunc(rims, func(o Rim) bool {
			return r.isHole() && o.isHole() && o.Odds() > r.Odds() &&
				r.Centre.Dist(o.Centre) < 0.5*math.Max(r.R, o.R)
		}) {
			r.Boss = r.bossAmong(rims)
			out = append(out, r)
		}
	}
	return out
}

// bossAmong is the radius of the boss that a hole stands in, 0 when none of the rims is one's edge.
func (r Rim) bossAmong(rims []Rim) float64 {
	if k := slices.IndexFunc(rims, r.standsIn); k >= 0 {
		return rims[k].R
	}
	return 0
}

// bossAs is the radius of the boss that a hole stands in, if that is such a one as another hole's;
// 0 when none is seen, or the other stands in none. That a circle just so wide goes round it
// is hardly chance, so little of it need show.
func (r Rim) bossAs(p *Photo, cam calib.Camera, kin Rim) float64 {
	if kin.Boss == 0 {
		return 0
	}
	boss, ok := traceRim(p, cam, r.Z, calib.Circle{Centre: r.Centre, R: kin.Boss}, coaxialShare)
	if !ok || math.Abs(boss.R-kin.Boss) > expectedRadius+0.02*kin.Boss || !r.standsIn(boss) {
		return 0
	}
	return boss.R
}

// oneBoss looks for bosses about holes of such a size as others have that stand in one.
func oneBoss(p *Photo, cam calib.Camera, rims []Rim) {
	found := slices.Clone(rims)
	Parallel(len(rims), func(i int) {
		for _, o := range found {
			if r := &rims[i]; r.isHole() && r.Boss == 0 && math.Abs(math.Log(r.R/o.R)) < ofOneSize {
				r.Boss = r.bossAs(p, cam, o)
			}
		}
	})
}

// oneBore looks for holes in circles as wide as the boss that another hole stands in: of a brass
// insert, whose ring is the plainest thing there is, the bore may hardly show.
func oneBore(p *Photo, cam calib.Camera, rims []Rim) {
	found := slices.Clone(rims)
	Parallel(len(rims), func(i int) {
		boss := found[i]
		for _, kin := range found {
			if !boss.isHole() || kin.Boss == 0 || math.Abs(math.Log(boss.R/kin.Boss)) > ofOneSize {
				continue
			}
			bore, ok := traceRim(p, cam, boss.Z, calib.Circle{Centre: boss.Centre, R: kin.R}, leastCoverage)
			if ok && math.Abs(bore.R-kin.R) < expectedRadius+0.02*kin.R && bore.standsIn(boss) {
				bore.Boss = boss.R
				rims[i] = bore
			}
		}
	})
}

// standsIn tells whether another circle is the edge of a boss that a hole stands in.
func (r Rim) standsIn(boss Rim) bool {
	return r.isHole() && boss.isHole() && boss.R > r.R+collarWall && r.Centre.Dist(boss.Centre) < 0.1*boss.R
}

// A sunkHole is a hole whose mouth is wider than its bore, by the indices of both rims.
type sunkHole struct{ mouth, bore int }

// sunkHoles finds the holes whose bore is the plainer circle, though the outer is the mouth.
// What makes one makes the next: of those of two sizes that are plain somewhere, the mouth
// need not be as plain elsewhere.
func sunkHoles(p *Photo, cam calib.Camera, rims []Rim) []sunkHole {
	var plain, faint []sunkHole
	for i, o := range rims {
		odds := o.Odds()
		if !o.isHole() || odds < refinedOdds {
			continue
		}
		for k, r := range rims {
			if r.R >= o.R || r.Centre.Dist(o.Centre) >= 0.3*o.R || r.Odds() <= odds || !sinksBetween(p, cam, o, r) {
				continue
			}
			if odds >= 0 {
				plain = append(plain, sunkHole{i, k})
			} else {
				faint = append(faint, sunkHole{i, k})
			}
		}
	}
	alike := func(a, b sunkHole) bool {
		near := func(a, b float64) bool { return math.Abs(math.Log(a/b)) < ofOneSize }
		return near(rims[a.mouth].R, rims[b.mouth].R) && near(rims[a.bore].R, rims[b.bore].R)
	}
	for _, s := range faint {
		if slices.ContainsFunc(plain, func(o sunkHole) bool { return alike(s, o) }) {
			plain = append(plain, s)
		}
	}
	return plain
}
