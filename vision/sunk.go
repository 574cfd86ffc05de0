package vision

import (
	"math"

	"trimscribe/calib"
)

// A bore that ends in a countersink, or in a counterbore, lies deeper than the face of its boss, and
// so is seen aside from where it is: by as much as the circles about its axis that lie in that face
// are not. What made one hole made its kin: so their depth is one, and the circles round them, of one
// radius, are looked for in all of them together. Which depth that is tells how their centres lie off one
// another, along the line of sight (the parallax of a depth d seen from a height H and a distance off
// the camera's foot: d * off / (H - z)).
const (
	sunkFrom   = 1.15 // radii looked at, as shares of the hole's
	sunkTo     = 2.4
	mostSunk   = 2.5  // mm; a boss's screw has its head in no deeper a recess (common practice)
	mostHigh   = 1.0  // mm, how much deeper than the bore such a circle may lie: a boss's foot
	sunkStep   = 0.1  // mm
	sunkShare  = 0.45 // least share of rays that meet an edge on such a circle, above what chance gives
	sunkTraced = 0.6  // least share of its circumference that is traced
	leastSunk  = 0.35 // mm; what is less is a chamfer, or in the uncertainty of the height
	sunkSure   = 3.0  // so many standard uncertainties
	sunkAside  = 0.08 // standard deviation of two circles' centres about one axis, mm, as moulded and as traced
)

// Sunk measures the holes of one kind, which were taken to lie in a face, as deep in it as the circles
// about them tell that they are. ok is false where nothing tells that they are any deeper.
func Sunk(p *Photo, cam calib.Camera, holes []Rim) (sunk []Rim, ok bool) {
	depth, u := sunkDepth(p, cam, holes)
	if depth == 0 {
		return holes, false
	}
	for _, h := range holes {
		h.Sunk, h.SunkU = depth, u
		sunk = append(sunk, h.Retrace(p, cam, h.Z-depth))
	}
	return sunk, true
}

// sunkDepth is how deep they are, mm, and its standard uncertainty; 0 where nothing tells.
func sunkDepth(p *Photo, cam calib.Camera, holes []Rim) (depth, u float64) {
	if len(holes) == 0 {
		return 0, 0
	}
	for _, ring := range ringsRound(p, cam, holes) {
		if d, du := ring.depth(p, cam, holes); d > math.Max(leastSunk, sunkSure*du) && d > depth {
			depth, u = d, du
		}
	}
	return depth, u
}

// A sunkRing is a circle round each hole of a kind, of one radius, so much higher.
type sunkRing struct {
	r, rise float64 // mm
}

// ringsRound lists the circles that lie round all the holes at one height.
func ringsRound(p *Photo, cam calib.Camera, holes []Rim) (out []sunkRing) {
	r := holes[0].R
	px := 1 / cam.PxPerMM(holes[0].Centre, holes[0].Z)
	v := vote{bin: 0.75 * px, low: sunkFrom * r, high: sunkTo * r}
	shares := make([][]float64, int((mostSunk+mostHigh)/sunkStep)+1)
	chance := 0.0
	for _, h := range holes {
		look := closeLook(cam, h.Z, calib.Circle{Centre: h.Centre, R: 1.5 * h.R})
		all := raysFrom(p, cam, h.Z, h.Centre, look.rays).crossings(v.low-2*px, v.high+2*px, look)
		line, perMM := parallax(cam, h)
		for i := range shares {
			share := v.about(all, h.Centre.Add(line.Mul((float64(i)*sunkStep-mostHigh)*perMM)), look.rays)
			if shares[i] == nil {
				shares[i] = make([]float64, len(share))
			}
			for b, s := range share {
				shares[i][b] += s / float64(len(holes))
			}
		}
	}
	for _, share := range shares {
		chance += mean(share) / float64(len(shares))
	}
	for i := range shares {
		for b, s := range shares[i] {
			if s > chance+sunkShare && isPeak(shares, i, b) {
				out = append(out, sunkRing{v.low + float64(b)*v.bin, float64(i)*sunkStep - mostHigh})
			}
		}
	}
	return out
}

// depth is how much deeper than such circles the holes lie, by where the circles are traced.
func (s sunkRing) depth(p *Photo, cam calib.Camera, holes []Rim) (depth, u float64) {
	var along, across, arm []float64
	for _, h := range holes {
		line, perMM := parallax(cam, h)
		px := 1 / cam.PxPerMM(h.Centre, h.Z)
		at := calib.Circle{Centre: h.Centre.Add(line.Mul(s.rise * perMM)), R: s.r}
		ring, ok := traceSized(p, cam, h.Z, at, 3*px, 2*px, leastJump, sunkTraced)
		if !ok {
			continue
		}
		on, beside := split(line, ring.Centre.Sub(h.Centre))
		along, across, arm = append(along, on), append(across, beside), append(arm, perMM)
	}
	sum, weight := 0.0, 0.0
	for i, a := range arm {
		sum += a * along[i]
		weight += a * a
	}
	if weight == 0 {
		return 0, 0
	}
	depth = sum / weight
	scatter := 0.0
	for i, a := range arm {
		rest := along[i] - a*depth
		scatter += (rest*rest + across[i]*across[i]) / float64(2*len(arm)-1)
	}
	return depth, math.Max(sunkAside, math.Sqrt(scatter)) / math.Sqrt(weight)
}
