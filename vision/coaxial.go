package vision

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
)

// A grille often lies in a collar, and the collar's edges are plainer than the
// grille's: its inside ends on the face a millimetre or two outside the opening,
// in like plastic and in the collar's shade. All these circles share an axis.
// So, when one is found, the others need be sought among the circles about that
// axis alone: in one plane, their centres lie on the line through the camera's
// foot, moved by as much as they stand higher or lower. Few edges fall on such a
// circle by chance, so one is told by much less of its circumference.

// An edge is a circle of the coaxial search, as seen in the plane of the one
// that the search began with.
type coaxialEdge struct {
	calib.Circle
	share float64 // of the rays that meet an edge on it
	rise  float64 // how much higher it stands, mm
	slack float64 // of the rise, mm
}

const (
	coaxialFrom   = 0.70 // radii looked at, as shares of the first circle's
	coaxialTo     = 1.25
	coaxialHeight = 8.0  // most difference in height, mm
	coaxialOff    = 0.12 // most distance of the centres as seen, as a share of the first circle's radius
	coaxialShare  = 0.33 // least share of rays, above what chance gives
)

// coaxial finds the circles about a rim's axis, at any height near its own.
func coaxial(p *Photo, cam calib.Camera, rim Rim) []coaxialEdge {
	look := closeLook(cam, rim.Z, rim.Circle)
	look.grain = faceGrain(p, cam, rim.Z, rim.Circle, look)
	px := 1 / cam.PxPerMM(rim.Centre, rim.Z)
	v := vote{bin: 0.75 * px, low: coaxialFrom * rim.R, high: coaxialTo * rim.R}
	all := raysFrom(p, cam, rim.Z, rim.Centre, look.rays).crossings(v.low, v.high, look)

	line, perMM := parallax(cam, rim)
	most := clamp(coaxialHeight*perMM, 3*px, coaxialOff*rim.R)
	steps := int(most/v.bin) + 1
	shares := make([][]float64, 2*steps+1)
	chance, n := 0.0, 0.0
	for i := range shares {
		shares[i] = v.about(all, rim.Centre.Add(line.Mul(float64(i-steps)*v.bin)), look.rays)
		for _, share := range shares[i] {
			chance += share
			n++
		}
	}
	chance /= n

	var out []coaxialEdge
	for i := range shares {
		for b, share := range shares[i] {
			if share < chance+coaxialShare || !isPeak(shares, i, b) {
				continue
			}
			moved := float64(i-steps) * v.bin
			e := coaxialEdge{share: share, rise: moved / perMM, slack: 2 * v.bin / perMM}
			e.Circle = calib.Circle{Centre: rim.Centre.Add(line.Mul(moved)), R: v.low + float64(b)*v.bin}
			out = append(out, e)
		}
	}
	return out
}

// parallax is where a circle's centre seems to go when it is lifted out of its
// plane: in which direction, and how far per millimetre.
func parallax(cam calib.Camera, rim Rim) (line calib.Point, perMM float64) {
	eye := cam.Eye()
	off := rim.Centre.Sub(calib.Point{X: eye.X, Y: eye.Y})
	if d := off.Norm(); d > 1e-6 {
		return off.Mul(1 / d), math.Max(d, 1e-3*eye.Z) / (eye.Z - rim.Z)
	}
	return calib.Point{X: 1}, 1e-3
}

// split is how far a point is along a line, of length 1, and to its left.
func split(line, off calib.Point) (along, across float64) {
	return line.Dot(off), calib.Point{X: -line.Y, Y: line.X}.Dot(off)
}

// about returns, for each radius, the share of rays that cross an edge on the
// circle about the middle.
func (v vote) about(all []crossing, middle calib.Point, rays int) []float64 {
	bins := int((v.high-v.low)/v.bin) + 1
	share := make([]float64, bins)
	last := make([]int, bins) // the last ray counted, plus one
	for _, c := range all {
		at := int((c.at.Dist(middle)-v.low)/v.bin + 1)
		for b := max(0, at-2); b <= min(at-1, bins-1); b++ {
			if last[b] != c.ray+1 {
				last[b] = c.ray + 1
				share[b] += c.weight / float64(rays)
			}
		}
	}
	return share
}

// isPeak tells whether a share is the greatest of its radius and the four on
// either side, about any centre of the line.
func isPeak(shares [][]float64, i, b int) bool {
	const near = 4
	for j := range shares {
		for c := max(0, b-near); c <= min(len(shares[j])-1, b+near); c++ {
			other, first := shares[j][c], j < i || j == i && c < b
			if other > shares[i][b] || other == shares[i][b] && first {
				return false
			}
		}
	}
	return true
}

// collarStep is the most that a collar's edges lie apart, mm, and its inner one
// from the opening; a perforated field's outermost holes lie farther in.
const collarStep = 4.0

// insideShare is how much of an opening's edge must show, as a share of what shows of the
// circle about it, to be told from chance: in the collars of seven rendered panels none showed
// less than 0.83, and a mesh's chance circles 0.51 and 0.67.
const insideShare = 0.75

// insideTried is the same of what is traced at all: the first look for a circle finds less of it than the trace.
const insideTried = 0.6

// ringMesh is how many circles inside a grille make it a mesh of rings.
const ringMesh = 4

// withInside adds to the rims that may be a grille what lies inside them about
// the same axis, and marks the outer ones as collars. The height of the plane
// is taken for the mouth's, when the user gave it.
func withInside(p *Photo, cam calib.Camera, rims []Rim, given bool) []Rim {
	for i := range rims {
		if r := rims[i]; !r.isHole() && r.Odds() > -2 {
			inside := r.inner(coaxial(p, cam, r), cam, given)
			if inside == nil {
				continue
			}
			px := 1 / cam.PxPerMM(inside.Centre, r.Z)
			mouth, ok := traceNear(p, cam, r.Z, inside.Circle, 2*px, leastJump, math.Max(coaxialShare, insideTried*r.Coverage))
			if !ok || mouth.Coverage < insideShare*r.Coverage || math.Abs(mouth.R-inside.R) > 4*px || mouth.Centre.Dist(inside.Centre) > 4*px || mouth.isBar(cam, rims) || opensBetween(p, cam, r, mouth) || darkBetween(p, cam, r, mouth) {
				continue
			}
			rims[i].Collar = true
			mouth.Told = math.Max(r.Odds(), r.Told)
			if k := slices.IndexFunc(rims, func(o Rim) bool { return same(mouth, o) }); k >= 0 {
				rims[k].Told = math.Max(rims[k].Told, mouth.Told)
			} else {
				rims = append(rims, mouth)
			}
		}
	}
	return rims
}

// slantWall is by how much the far end of a mouth's wall may be narrower in radius, mm, for a
// chamfer or a rounding and the mould's draft. (common practice, from memory: a chamfer stays
// below it)
const slantWall = 1.0

// inner returns the innermost of the circles that is another opening than the
// rim itself: not the far end of its wall, which is as wide, only farther off;
// nil when there is none.
func (r Rim) inner(edges []coaxialEdge, cam calib.Camera, given bool) *coaxialEdge {
	away := cam.Eye().Z - r.Z
	var inside []coaxialEdge
	for _, e := range edges {
		if given && math.Abs(e.rise) > e.slack+0.5 {
			continue
		}
		deep, wall := clamp(e.rise-e.slack, -coaxialHeight, 0), collarWall
		if e.rise+e.slack < 0 {
			wall = slantWall
		}
		if e.R*(away-deep)/away < r.R-wall {
			inside = append(inside, e)
		}
	}
	if len(inside) >= ringMesh {
		return nil
	}
	slices.SortFunc(inside, func(a, b coaxialEdge) int { return cmp.Compare(b.R, a.R) })
	var best *coaxialEdge
	next := r.R
	for i, e := range inside {
		if next-e.R > collarStep {
			break
		}
		best, next = &inside[i], e.R
	}
	return best
}

// offAxis is how far off the line that circles about one axis lie on, mm, one's
// centre is when it is not about that axis.
const offAxis = 0.4

// markChance marks the circles in a plainer one that would share its axis but for
// lying where nothing about that axis can be seen, at whatever height, and those in
// one side of one that shows all round. In a mesh there are such by chance.
func markChance(cam calib.Camera, rims []Rim) {
	for i := range rims {
		r := &rims[i]
		for _, o := range rims {
			off := r.Centre.Sub(o.Centre)
			r.Within = r.Within || r.isContent(o)
			if r.isHole() || r.R >= o.R-collarWall || r.Coverage > 0.8*o.Coverage || off.Norm() > coaxialOff*o.R {
				continue
			}
			line, _ := parallax(cam, o)
			_, across := split(line, off)
			px := 1 / cam.PxPerMM(o.Centre, o.Z)
			r.Within = r.Within || math.Abs(across) > math.Max(offAxis, 3*px)
		}
	}
}

// isContent tells whether a circle lies within one side of a grille's circle that shows all
// round, or nearly, and shows plainly less of itself.
func (r Rim) isContent(o Rim) bool {
	off := r.Centre.Dist(o.Centre)
	return !r.isHole() && o.Coverage > allRound && r.Coverage < 0.9*o.Coverage && off > 0.15*o.R && off+r.R < 1.1*o.R
}
