package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// An Appearance is how an opening looks: how much of its edge shows, and its light
// against that round it.
type Appearance struct {
	Coverage  float64 // share of its edge that is seen, 0 to 1
	Contrast  float64 // middle over the edge of (outside - inside) / (outside + inside) luminance; negative: lighter inside
	Agreement float64 // share of the edge whose contrast has that sign and is plain
	Core      float64 // contrast of the middle of the opening with what is outside, likewise
	Hue       float64 // how far the middle of the opening differs from what is outside in one of red, green and blue, 0 to 1
	Open      float64 // share of the edge beyond which it looks as inside: a slot's end
}

// compare sets Contrast, Agreement, Core, Hue and Open: the luminance just outside
// the edge against that just inside, all round, and against the middle's. The
// edge is in the plane at height z; r is the opening's half width, mm.
func (a *Appearance) compare(p *Photo, cam calib.Camera, z float64, centre calib.Point, r float64, edge []calib.Station) {
	px := 1 / cam.PxPerMM(centre, z)
	near := 2 * px
	far := near + math.Max(2*px, 0.15*r)
	project := func(q calib.Point) calib.Point { return cam.Project(calib.Vec3{X: q.X, Y: q.Y, Z: z}) }
	n := len(edge)
	all, outside, inmost := make([]float64, n), make([]float64, n), make([]float64, n)
	var inHue, outHue [3][]float64
	see := func(at calib.Point, hue *[3][]float64) float64 { // its luminance; its colour is noted
		for c, v := range p.colour(at) {
			hue[c] = append(hue[c], v)
		}
		return p.At(at)
	}
	for k, s := range edge {
		const n = 5
		var in float64
		for i := range n {
			d := near + (far-near)*float64(i)/(n-1)
			in += p.At(project(s.At.Sub(s.Out.Mul(math.Min(d, r))))) / n
			outside[k] += see(project(s.At.Add(s.Out.Mul(d))), &outHue) / n
			share := 0.6 * math.Sqrt((float64(i)+0.5)/n)
			inmost[k] += see(project(centre.Add(s.At.Sub(centre).Mul(share))), &inHue) / n
		}
		all[k] = ratio(outside[k], in)
	}
	a.Contrast = median(all)
	face, core := median(outside), median(inmost)
	a.Core = ratio(face, core)
	for c := range inHue {
		a.Hue = math.Max(a.Hue, math.Abs(ratio(median(outHue[c]), median(inHue[c]))))
	}
	for k, v := range all {
		if v*a.Contrast > 0 && math.Abs(v) > 0.08 {
			a.Agreement += 1 / float64(n)
		}
		if math.Abs(ratio(face, outside[k])) > math.Abs(ratio(outside[k], core)) {
			a.Open += 1 / float64(n)
		}
	}
}

// compared is at how many places of its edge an opening is compared.
const compared = 180

// openShare is how much of a hole's surroundings may look like its inside. A
// shadow or a rib takes less; where a slot goes on takes more.
const openShare = 0.15

// isOpen tells whether a hole's edge is the rounded end of a slot, or a notch.
func (a Appearance) isOpen() bool { return math.Abs(a.Core) > 0.2 && a.Open > openShare }

// isBackLit tells whether light comes through the opening. Then the wall, whether or not
// it shows, hides some of it.
func (a Appearance) isBackLit() bool {
	return a.Contrast < -0.25 && a.Agreement > 0.6 && a.Core < -0.25
}

// plain is how plainly the inside differs from the face.
func (a Appearance) plain() float64 { return math.Abs(a.Contrast) * a.Agreement }

// words says how an opening looks, for a person.
func (a Appearance) words() string {
	switch {
	case a.Contrast > 0.25 && a.Agreement > 0.6:
		return "dark inside"
	case a.Contrast < -0.25 && a.Agreement > 0.6:
		return "light inside"
	case a.Contrast > 0.08 && a.Agreement > 0.5:
		return "a little darker inside"
	case a.Contrast < -0.08 && a.Agreement > 0.5:
		return "a little lighter inside"
	case a.Hue > plainMouth:
		return "of another colour inside"
	}
	return "hardly differs from the face"
}

// ratio is the contrast of two luminances, -1 to 1; what is nearly black
// counts as black.
func ratio(outside, inside float64) float64 {
	return (outside - inside) / math.Max(outside+inside, 0.01)
}

func median(v []float64) float64 { return quantile(v, 0.5) }

// quantile is the value that a share of the values is below.
func quantile(v []float64, share float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[int(share*float64(len(s)))]
}
