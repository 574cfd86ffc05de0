package vision

import (
	"math"
	"math/rand/v2"
	"testing"

	"trimscribe/calib"
)

// A chamfer that noise hides on each of two holes is told by both, as wide and with as wide a
// mouth; the reference is the drawing. Sharp holes are not given one.
func TestALipIsToldByHolesThatAgree(t *testing.T) {
	if !*sweep {
		t.Skip("run with -sweep")
	}
	t.Parallel()
	cam := leaning()
	const r, width, noise = 2.6, 0.4, 0.022
	places := []calib.Point{{X: -9, Y: -7}, {X: 8, Y: 6}}
	for _, chamfered := range []bool{true, false} {
		p := pictured(cam, func(px calib.Point) float64 {
			for _, c := range places {
				if cam.ToPlane(px, 0).Dist(c) < r+1 {
					light := func(out calib.Point, in float64) float64 { return 0.26 - 0.12*out.X }
					mouth, lip := calib.Circle{Centre: c, R: r}, width
					if !chamfered {
						mouth.R, lip = r-width, 0.01
					}
					return lipped(cam, mouth, lip, func(in float64) float64 { return in }, light)(px)
				}
			}
			return 0.3
		})
		rnd := rand.New(rand.NewPCG(7, 1))
		for i := range p.Lin {
			p.Lin[i] += float32(noise * rnd.NormFloat64())
		}
		fits := make([]rimFit, len(places))
		for i, c := range places {
			var ok bool
			if fits[i], ok = fitRim(p, cam, Rim{Circle: calib.Circle{Centre: c, R: r - width/2}}); !ok {
				t.Fatalf("hole %d: no fit", i+1)
			}
			if fits[i].lip != sharp {
				t.Fatalf("hole %d: its own lip shows: %d", i+1, fits[i].lip)
			}
		}
		alone := []rimFit{fits[0]}
		agreedLip(alone)
		if alone[0].lip != sharp {
			t.Error("one hole agrees with itself")
		}
		for _, l := range lipsOf(fits) {
			t.Logf("hole %d: lip %d, R %.3f, width %.3f, gain %.1f", l.of+1, l.fit.lip, l.fit.circle().R, l.width(), l.gain)
		}
		agreedLip(fits)
		for i, c := range places {
			got, want := fits[i].circle(), r
			if !chamfered {
				want = r - width
			}
			if d := got.Centre.Dist(c); d > 0.06 || math.Abs(got.R-want) > 0.08 || (fits[i].lip == chamfer) != chamfered {
				t.Errorf("chamfered %v, hole %d: centre %.3f mm off, radius %+.3f, lip %d", chamfered, i+1, d, got.R-want, fits[i].lip)
			}
		}
	}
}
