package vision

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"trimscribe/calib"
)

// drawnFace is a photo of a face whose luminance at each place (mm) is given,
// blurred by a Gaussian and noisy, as bytes would have it.
func drawnFace(cam calib.Camera, light func(q calib.Point) float64) *Photo {
	p := &Photo{Width: cam.Width, Height: cam.Height, Lin: make([]float32, cam.Width*cam.Height),
		RGB: image.NewRGBA(image.Rect(0, 0, cam.Width, cam.Height))}
	const n = 3
	Parallel(p.Height, func(y int) {
		noise := rand.New(rand.NewPCG(5, uint64(y)))
		for x := range p.Width {
			sum := 0.0
			for range n * n { // a lens's spot of 0.7 px, by chance: it is noise too
				px := calib.Point{X: float64(x) + 0.7*noise.NormFloat64(), Y: float64(y) + 0.7*noise.NormFloat64()}
				sum += light(cam.ToPlane(px, 0)) / (n * n)
			}
			v := encodeSRGB(float32(sum * (1 + 0.01*noise.NormFloat64())))
			p.Lin[y*p.Width+x] = linearOf8[v]
			p.RGB.SetRGBA(x, y, color.RGBA{v, v, v, 255})
		}
	})
	return p
}

// offRect is how far a place is from the outline of an upright rectangle round
// a middle, negative inside.
func offRect(q, mid calib.Point, w, h float64) float64 {
	x, y := math.Abs(q.X-mid.X)-w/2, math.Abs(q.Y-mid.Y)-h/2
	return math.Min(math.Max(x, y), 0) + math.Hypot(math.Max(x, 0), math.Max(y, 0))
}

// A slot's outline is traced where it was drawn, all round, and nothing else
// is: not the known circle, not what is gradual, not the wood beyond the
// panel, not the noise. The reference is the drawing.
func TestEdgesAreWhereTheyWereDrawn(t *testing.T) {
	cam := tiltedCamera(1000, 800)
	cam.Fx, cam.Fy = 2400, 2400
	known := calib.Circle{Centre: calib.Point{X: -20, Y: 5}, R: 12}
	slot := calib.Point{X: 14, Y: 12}
	const w, h = 18.0, 7.0
	p := drawnFace(cam, func(q calib.Point) float64 {
		switch {
		case q.X > 48: // what the panel lies on
			return 0.05 + 0.03*math.Copysign(1, math.Sin(q.Y*1.5))
		case offRect(q, slot, w, h) < 0, q.Dist(known.Centre) < known.R:
			return 0.02
		}
		return 0.3 - 0.12/(1+math.Exp((q.Y+25)/0.8)) // a soft shadow below y = -25
	})
	edges := TraceEdges(p, cam, EdgeSearch{Centre: known.Centre, Radius: 75, Known: []calib.Circle{known}})
	var atBorder, squares, points float64
	covered := map[int]bool{}
	for _, e := range edges {
		for _, px := range e.Points {
			q := cam.ToPlane(px, 0)
			step := 1 / cam.PxPerMM(q, 0)
			corner := math.Min(math.Abs(math.Abs(q.X-slot.X)-w/2)+math.Abs(math.Abs(q.Y-slot.Y)-h/2), 1)
			switch d := math.Abs(offRect(q, slot, w, h)); {
			case d < 0.5:
				covered[int(math.Atan2(q.Y-slot.Y, q.X-slot.X)*20/math.Pi)] = true
				if corner == 1 {
					squares += d * d
					points++
					if d > 0.15 { // nearly a pixel
						t.Errorf("(%.2f, %.2f) is %.3f mm off the slot's edge", q.X, q.Y, d)
					}
				}
			case math.Abs(q.X-48) < 1:
				atBorder += step
			default:
				t.Errorf("(%.2f, %.2f) lies on nothing that was drawn sharp", q.X, q.Y)
			}
		}
	}
	if rms := math.Sqrt(squares / points); !(rms < 0.04) {
		t.Errorf("the slot's points are %.3f mm off, rms", rms)
	}
	if len(covered) < 38 {
		t.Errorf("the slot's outline was seen in %d of 40 directions", len(covered))
	}
	if atBorder < 40 {
		t.Errorf("%.0f mm of the panel's edge was traced", atBorder)
	}
}

// On a plain face there is nothing to trace, however noisy or dark.
func TestNoiseHasNoEdges(t *testing.T) {
	cam := tiltedCamera(480, 360)
	for _, light := range []float64{0.5, 0.05, 0.004} {
		p := drawnFace(cam, func(calib.Point) float64 { return light })
		if e := TraceEdges(p, cam, EdgeSearch{Radius: 60, Known: []calib.Circle{{R: 5}}}); len(e) > 0 {
			t.Errorf("luminance %g: %d edges", light, len(e))
		}
	}
}

// A stray hole of a ray-traced photo is traced whole where the ray tracer cut
// it; nothing is traced on the squares' paper or on the chosen circles.
func TestEdgesOfARayTracedPanel(t *testing.T) {
	p, tr := testPhoto(t, "dash-pod-light")
	cam := tr.camera()
	s := EdgeSearch{Centre: calib.Point{X: tr.Grille.X, Y: tr.Grille.Y}, Radius: 70,
		Papers: []Paper{NewPaper(calib.PlacedSquare{Size: tr.Square.Size})}}
	for _, c := range append(tr.Holes, tr.Grille) {
		s.Known = append(s.Known, calib.Circle{Centre: calib.Point{X: c.X, Y: c.Y}, R: c.Diameter / 2})
	}
	edges := TraceEdges(p, cam, s)
	for _, e := range edges {
		for _, px := range e.Points {
			q := cam.ToPlane(px, 0)
			if s.known(q) || math.Abs(q.X) < 40 && math.Abs(q.Y) < 40 {
				t.Fatalf("an edge runs through (%.1f, %.1f)", q.X, q.Y)
			}
		}
	}
	for _, hole := range tr.Others {
		mid, whole := calib.Point{X: hole.X, Y: hole.Y}, false
		if hole.Kind != "hole" || mid.Dist(s.Centre) > s.Radius-5 {
			continue
		}
		for _, e := range edges {
			worst := 0.0
			for _, px := range e.Points {
				worst = math.Max(worst, math.Abs(cam.ToPlane(px, 0).Dist(mid)-hole.Diameter/2))
			}
			whole = whole || e.Closed && worst < 0.12
		}
		if !whole {
			t.Errorf("the hole of %g mm at (%g, %g) was not traced whole", hole.Diameter, hole.X, hole.Y)
		}
	}
}
