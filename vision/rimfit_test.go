package vision

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib"
	"trimscribe/calib/lsq"
)

// Of two fits that explain a hole about as well, one is taken and by how much they differ is
// counted as uncertainty; of one that explains it far worse, nothing is.
func TestTheFitNotTakenIsUncertainty(t *testing.T) {
	t.Parallel()
	cam := leaning()
	hole := calib.Circle{Centre: calib.Point{X: 2, Y: -1}, R: 3}
	p := pictured(cam, func(px calib.Point) float64 {
		if cam.ToPlane(px, 0).Dist(hole.Centre) < hole.R {
			return 0.03
		}
		return 0.3
	})
	m := newRimProfile(p, cam, Rim{Circle: hole}, 1/cam.PxPerMM(hole.Centre, 0))
	at := func(x, r float64) rimFit {
		to := make([]float64, m.params())
		to[pX], to[pR] = x, r
		return rimFit{rimProfile: m, Result: &lsq.Result{X: to, Cov: mat.NewSymDense(len(to), nil)}}
	}
	here := at(0, 0)
	for name, c := range map[string]struct {
		o           rimFit
		least, most float64 // of its distance that is counted
	}{
		"as likely":         {at(0.001, 0.002), 0.45, 0.5},
		"far less likely":   {at(0.6, 0.4), 0, 0.01},
		"not worth its way": {at(0, 0), 0, 0},
	} {
		got := here.or(c.o, 0)
		x, r := math.Sqrt(got.cov()[0][0]), math.Sqrt(got.cov()[2][2])
		dx, dr := c.o.X[pX], c.o.X[pR]
		if x < c.least*dx || x > c.most*dx || r < c.least*dr || r > c.most*dr {
			t.Errorf("%s: standard uncertainty %.5f mm of %.3f in x, %.5f of %.3f in the radius", name, x, dx, r, dr)
		}
	}
}

// Of rings about one middle, each is a peak of the vote, the one that shows on most rays first.
func TestPeaksOfAVote(t *testing.T) {
	t.Parallel()
	middle := calib.Point{X: 3, Y: 4}
	const rays = 60
	var all []crossing
	for k := range rays {
		s, c := math.Sincos(2 * math.Pi * float64(k) / rays)
		for _, ring := range []struct {
			r    float64
			seen bool
		}{{20, k%4 != 0}, {23, k%2 == 0}, {26, k%8 == 0}} {
			if ring.seen {
				all = append(all, crossing{ray: k, at: middle.Add(calib.Point{X: ring.r * c, Y: ring.r * s}), weight: 1})
			}
		}
	}
	v := vote{bin: 0.5, low: 18, high: 28, reach: 1, prefer: 1}
	got := v.peaks(all, middle, rays, 0.3)
	if len(got) != 2 || math.Abs(got[0].circle.R-20) > 0.5 || math.Abs(got[1].circle.R-23) > 0.5 {
		t.Errorf("peaks %v", got)
	}
	if c, share := v.consensus(all, middle, rays); c != got[0].circle || share != got[0].share {
		t.Errorf("the consensus %v of %.2f is not the first peak", c, share)
	}
}

// Where the floor is plainer than the face, a trace follows a chamfer's inner edge, which may lie
// farther within than the band about the trace reaches: the mouth is then looked for in another.
func TestAMouthOutOfTheBandIsFound(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const r, width = 5.0, 0.9
	mouth := calib.Point{X: 1.02, Y: 2.03}
	p := pictured(cam, lipped(cam, calib.Circle{Centre: mouth, R: r}, width, func(in float64) float64 { return in }, func(out calib.Point, in float64) float64 {
		return 0.2 - 0.15*out.X
	}))
	rim := Rim{Circle: calib.Circle{Centre: mouth.Add(calib.Point{X: 0.1}), R: r - width}}
	got, ok := fitRim(p, cam, rim)
	if !ok {
		t.Fatal("no fit")
	}
	fit := got.circle()
	if d := fit.Centre.Dist(mouth); d > 0.05 || math.Abs(fit.R-r) > 0.05 {
		t.Errorf("centre %.3f mm off, radius %+.3f", d, fit.R-r)
	}
}
