package vision

import (
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/mat"

	"trimscribe/calib"
)

// An opening whose wall shows on one side and whose shadow lies on the other:
// the mouth is found, though the trace may have followed either, and wherever
// it began. The reference is the picture's own geometry, drawn by the camera model.
func TestAMouthIsToldFromItsWallAndShadow(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const r, depth = 21.0, 1.8
	mouth := calib.Point{X: 0.31, Y: -0.22}
	shadow := calib.Point{X: 0.45, Y: 0.35} // of its centre on the floor, from the mouth's
	walls := map[string]float64{"a wall nearly as light as the face": 0.25}
	if *sweep {
		walls["a darker wall"], walls["a lighter wall"] = 0.12, 0.36
	}
	for name, wall := range walls {
		p := pictured(cam, func(px calib.Point) float64 {
			floor := cam.ToPlane(px, -depth)
			switch {
			case cam.ToPlane(px, 0).Dist(mouth) > r:
				return 0.3
			case floor.Dist(mouth) > r:
				return wall
			case floor.Dist(mouth.Add(shadow)) > r:
				return 0.05
			}
			return 0.5
		})
		for _, off := range []calib.Point{{X: 0.25, Y: 0.2}, {X: -0.2, Y: 0.2}} {
			rim := Rim{Circle: calib.Circle{Centre: mouth.Add(off), R: r - off.Norm()/2}}
			got, ok := fitRim(p, cam, rim)
			if !ok {
				t.Errorf("%s, from %v: no fit", name, off)
				continue
			}
			fit := got.circle()
			if d := fit.Centre.Dist(mouth); d > 0.03 || math.Abs(fit.R-r) > 0.03 {
				t.Errorf("%s, from %v: centre %.3f mm off, radius %+.3f", name, off, d, fit.R-r)
			}
		}
	}
}

// Light from behind ends at the mouth on one side and at the wall's far end on the
// other, where the wall is as dark as the face: together they are no circle, and the
// mouth is the one that both follow from. The reference is the drawing.
func TestAMouthLitFromBehind(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const depth = 1.8
	mouth := calib.Circle{Centre: calib.Point{X: 0.31, Y: -0.22}, R: 21}
	p := pictured(cam, func(px calib.Point) float64 {
		at, floor := cam.ToPlane(px, 0), cam.ToPlane(px, -depth)
		if at.Dist(mouth.Centre) > mouth.R || floor.Dist(mouth.Centre) > mouth.R {
			return 0.02
		}
		if math.Mod(at.Y+60, 1.5) < 0.3 { // a bar before the light
			return 0.02
		}
		return 0.8
	})
	rim, ok := traceRim(p, cam, 0, mouth, leastCoverage)
	if !ok {
		t.Fatal("not traced")
	}
	if !rim.isBackLit() {
		t.Errorf("it does not look lit from behind: %+v", rim.Appearance)
	}
	if d := rim.Centre.Dist(mouth.Centre); d < 0.1 {
		t.Errorf("the drawing is too easy: traced %.3f mm off", d)
	}
	got, ok := fitRim(p, cam, rim)
	if !ok {
		t.Fatal("no fit")
	}
	fit := got.circle()
	if d := fit.Centre.Dist(mouth.Centre); d > 0.1 || math.Abs(fit.R-mouth.R) > 0.1 {
		t.Errorf("centre %.3f mm off, radius %+.3f", d, fit.R-mouth.R)
	}
}

// The derivatives of a rim's residuals are those that differences of the residuals
// show (central, of second order).
func TestRimSlopesAgainstDifferences(t *testing.T) {
	cam := leaning()
	p := pictured(cam, func(px calib.Point) float64 {
		switch at := cam.ToPlane(px, 0); {
		case at.Norm() > 3:
			return 0.3
		case at.Norm() > 2.6:
			return 0.2 + 0.03*at.X
		case at.X > 0.8:
			return 0.05
		}
		return 0.12
	})
	base := newRimProfile(p, cam, Rim{Circle: calib.Circle{R: 2.9}}, 1/cam.PxPerMM(calib.Point{}, 0))
	for _, l := range []lip{sharp, chamfer, fillet} {
		m := base
		m.lip = l
		x := []float64{pX: 0.013, pY: -0.021, pR: 0.08, pBlur: 0.1, pHalo: 0.2, pStreak: 0.05, pStreak2: -0.03,
			pDepth: 0.91, pU: 0.23, pV: 0.17, pNarrow: 0.31, pLit: 0.7, 0.1, 0.05, 0.02, -0.04}[:m.params()]
		rows := m.samples() + m.priors()
		got := mat.NewDense(rows, len(x), nil)
		m.slopes(x, got)
		hi, lo := make([]float64, rows), make([]float64, rows)
		for j := range x {
			const h = 1e-5
			y := slices.Clone(x)
			y[j] += h
			m.eval(y, hi)
			y[j] -= 2 * h
			m.eval(y, lo)
			off, size := 0.0, 0.0
			for i := range rows {
				if k := i / m.perRay(); k < len(m.rays) && m.fitRay(m.rays[k], x, nil).eq.held != [mostLevels]bool{} {
					continue // its bound moves too, which the slopes leave out
				}
				want := (hi[i] - lo[i]) / (2 * h)
				off = math.Hypot(off, got.At(i, j)-want)
				size = math.Hypot(size, want)
			}
			if off > 0.01*size {
				t.Errorf("lip %d, parameter %d: off by %.3g of %.3g", l, j, off, size)
			}
		}
	}
}
