package vision

import (
	"fmt"
	"math"
	"os"

	"trimscribe/calib"
)

// Light and shade change how light a face is, but hardly its colour: what is of another colour is another thing.

// foreign is by how much the share of red, green or blue in the light of an insert differs from the face's at
// least: of brass in two rendered panels, a grey and a white, it was 0.29 and 0.13, and of the slopes of three
// countersinks 0.02 at most.
const foreign = 0.08

// isForeign tells whether what lies between two circles is of another colour than the face, as brass is; a slope in
// the face is not, be it ever so dark.
func isForeign(p *Photo, cam calib.Camera, r, inner Rim) bool {
	px := 1 / cam.PxPerMM(r.Centre, r.Z)
	face, lit := shares(p, cam, r.Z, calib.Circle{Centre: r.Centre, R: r.R + 3*px})
	ring, too := shares(p, cam, r.Z, calib.Circle{Centre: r.Centre.Add(inner.Centre).Mul(0.5), R: (r.R + inner.R) / 2})
	for i := range face {
		if lit && too && math.Abs(face[i]-ring[i]) > foreign {
			return true
		}
	}
	return false
}

// allBlack is the light, red, green and blue together, below which nothing has a colour.
const allBlack = 0.01

// shares are those of red, green and blue in the light on a circle, in the middle all round; lit is false
// where most of it is all but black.
func shares(p *Photo, cam calib.Camera, z float64, c calib.Circle) (of [3]float64, lit bool) {
	var all [3][]float64
	for _, s := range stationsOn(c, compared) {
		rgb := p.colour(cam.Project(calib.Vec3{X: s.At.X, Y: s.At.Y, Z: z}))
		sum := rgb[0] + rgb[1] + rgb[2]
		if sum < allBlack {
			continue
		}
		for i, v := range rgb {
			all[i] = append(all[i], v/sum)
		}
	}
	if len(all[0]) < compared/2 {
		return of, false
	}
	for i := range of {
		of[i] = median(all[i])
	}
	return of, true
}

// faceAside is how far from a hole's edge the face is looked at, mm: beyond an insert's ring and a countersink.
const faceAside = 4.0

// OffFace tells whether what lies just round a grille's circle is of another colour than the face by the holes
// about it. Then the circle is one within the opening, a ring that guards it, say: what shows round that is what lies
// behind the panel.
func OffFace(p *Photo, cam calib.Camera, grille Rim, holes []Rim) bool {
	px := 1 / cam.PxPerMM(grille.Centre, grille.Z)
	round, lit := shares(p, cam, grille.Z, calib.Circle{Centre: grille.Centre, R: grille.R + 3*px})
	var face [3][]float64
	for _, h := range holes {
		if of, lit := shares(p, cam, h.Z, calib.Circle{Centre: h.Centre, R: h.R + faceAside}); lit {
			for c, v := range of {
				face[c] = append(face[c], v)
			}
		}
	}
	if !lit || len(face[0]) == 0 {
		return false
	}
	worst := 0.0
	for c, v := range face {
		worst = math.Max(worst, math.Abs(median(v)-round[c]))
	}
	if os.Getenv("TSDBG") != "" {
		fmt.Fprintf(os.Stderr, "OFFFACE %.3f\n", worst)
	}
	return worst > foreign
}
