package vision

import (
	"image/color"
	"math"
	"testing"

	"trimscribe/calib"
)

// Of brass inserts the ring is light all round, and of the bore in it one side alone is dark, as its
// wall is as bright on the other. The hole is the bore, where its ring is; the reference is the drawing. A hole
// that light comes through is as wide as it looks.
func TestAnInsertsHoleIsItsBore(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const ring, bore = 2.8, 1.7
	places := []calib.Point{{X: -9, Y: -7}, {X: 8, Y: -6}, {X: -7, Y: 8}}
	for _, brass := range []bool{true, false} {
		p := pictured(cam, func(px calib.Point) float64 {
			for _, c := range places {
				q := cam.ToPlane(px, 0).Sub(c)
				switch r := q.Norm(); {
				case r > ring:
				case brass && r < bore && q.X < 0.6*bore:
					return 0.03
				default:
					return 0.6
				}
			}
			return 0.12
		})
		rims := make([]Rim, len(places))
		for i, c := range places {
			var ok bool
			if rims[i], ok = traceRim(p, cam, 0, calib.Circle{Centre: c, R: ring}, leastCoverage); !ok {
				t.Fatalf("ring %d is not traced", i+1)
			}
		}
		markRings(p, cam, rims)
		for i, r := range rims {
			if (r.bore > 0) != brass || brass && math.Abs(r.bore-bore) > 0.12 {
				t.Errorf("brass %v, hole %d: a bore of radius %.3f", brass, i+1, r.bore)
			}
		}
		if !brass || !*sweep {
			continue
		}
		fitted := rims[0].Refined(p, cam)
		for _, got := range []Rim{fitted, fitted.Retrace(p, cam, 0)} {
			if !got.Fitted || got.Centre.Dist(places[0]) > 0.03 || math.Abs(got.R-bore) > 0.12 || got.Boss == 0 {
				t.Errorf("fitted %v, %.3f mm off, radius %.3f, boss %.2f", got.Fitted, got.Centre.Dist(places[0]), got.R, got.Boss)
			}
		}
	}
}

// Light comes through the bores of brass inserts in bosses, over the half of each, and is lighter than the brass: by
// its colour that is a ring all the same. A bare hole that light comes through, in a boss too, is as wide as it looks.
// The reference is the drawing.
func TestALitInsertsHoleIsItsBore(t *testing.T) {
	t.Parallel()
	cam := leaning()
	const boss, ring, bore = 4.4, 2.8, 1.7
	places := []calib.Point{{X: -9, Y: -7}, {X: 8, Y: -6}, {X: -7, Y: 8}}
	face, shade, white := color.RGBA{70, 70, 70, 255}, color.RGBA{20, 20, 20, 255}, color.RGBA{240, 240, 240, 255}
	for _, metal := range []color.RGBA{{235, 205, 110, 255}, white} {
		p := coloured(cam, func(at calib.Point) color.RGBA {
			for _, c := range places {
				q := at.Sub(c)
				switch r := q.Norm(); {
				case r < bore && q.X > 0.3*bore && metal != white:
					return shade
				case r < bore:
					return white
				case r < ring:
					return metal
				case r > boss && r < boss+0.5:
					return shade
				}
			}
			return face
		})
		rims := make([]Rim, len(places))
		for i, c := range places {
			var ok bool
			if rims[i], ok = traceRim(p, cam, 0, calib.Circle{Centre: c, R: ring}, leastCoverage); !ok {
				t.Fatalf("ring %d is not traced", i+1)
			}
			rims[i].Boss = boss
		}
		markRings(p, cam, rims)
		for i, r := range rims {
			if brass := metal != white; (r.bore > 0) != brass || brass && math.Abs(r.bore-bore) > 0.12 {
				t.Errorf("metal %v, hole %d: a bore of radius %.3f", metal, i+1, r.bore)
			}
		}
	}
}

// Some pixels outside a bore its ring ends. What is beyond is not the ring's light, and makes the bore no narrower: it
// was 0.06 mm. The reference is the drawing.
func TestARingsEndMovesNoBore(t *testing.T) {
	t.Parallel()
	cam := leaning()
	middle := calib.Point{X: 1.02, Y: 2.03}
	const bore, ring = 2.1, 2.6
	p := pictured(cam, func(px calib.Point) float64 {
		switch r := cam.ToPlane(px, 0).Dist(middle); {
		case r < bore:
			return 0.02
		case r < ring:
			return 0.6
		}
		return 0.12
	})
	got := Rim{Circle: calib.Circle{Centre: middle.Add(calib.Point{X: 0.05}), R: bore}, Boss: ring}.Refined(p, cam)
	u := math.Sqrt(got.Cov[2][2])
	if d := got.Centre.Dist(middle); !got.Fitted || d > 0.02 || math.Abs(got.R-bore) > 0.02 || u > 0.02 {
		t.Errorf("fitted %v, centre %.3f mm off, radius %+.3f, standard uncertainty %.3f", got.Fitted, d, got.R-bore, u)
	}
}
