package vision

import (
	"image"
	"image/color"
	"testing"

	"trimscribe/calib"
)

// Wood behind a grey grille of rings is as light as the face: its colour alone tells that the rings lie in the
// opening, and are no opening in a collar. Where what lies behind is grey too, it is a collar for all that the photo shows.
// The reference is the drawing.
func TestTheColourBehindARingTellsTheOpening(t *testing.T) {
	t.Parallel()
	cam := leaning()
	axis := calib.Point{X: 1, Y: -2}
	seen := func(r, share float64) Rim {
		return Rim{Circle: calib.Circle{Centre: axis, R: r}, Appearance: Appearance{Coverage: share, Contrast: 0.2, Agreement: 0.8}}
	}
	grey, wood := color.RGBA{120, 120, 120, 255}, color.RGBA{159, 112, 64, 255} // of one luminance
	for _, behind := range []color.RGBA{wood, grey} {
		p := coloured(cam, func(q calib.Point) color.RGBA {
			if r := q.Dist(axis); r < 20 && r > 14 || r < 11 {
				return behind
			}
			return grey
		})
		rims := []Rim{seen(20, 0.77), seen(14, 0.79), seen(11, 0.6)}
		holes := []Rim{{Circle: calib.Circle{Centre: calib.Point{X: -22, Y: 12}, R: 2}}, {Circle: calib.Circle{Centre: calib.Point{X: 24, Y: -14}, R: 2}}}
		markCollars(p, cam, rims)
		tells := behind == wood
		if rims[0].Collar == tells || rims[1].Within != tells || rims[2].Within != tells {
			t.Errorf("behind it %v: a collar %v, rings in the opening %v, %v", behind, rims[0].Collar, rims[1].Within, rims[2].Within)
		}
		if OffFace(p, cam, rims[1], holes) != tells || OffFace(p, cam, rims[0], holes) {
			t.Errorf("behind it %v: the ring is off the face: %v; the opening: %v", behind, !tells, OffFace(p, cam, rims[0], holes))
		}
	}
}

// A ring that lies deep in its opening is seen aside, as an opening on a collar's floor is. What is lighter round it than
// the face, or of another colour, is no such floor; what is darker may be one. The reference is the drawing.
func TestWhatIsLitFromBehindIsNoCollar(t *testing.T) {
	t.Parallel()
	cam := leaning()
	axis := calib.Point{X: 1, Y: -2}
	ring := cam.Carry(calib.Circle{Centre: axis, R: 14}, -4, 0)
	grey := color.RGBA{120, 120, 120, 255}
	for behind, within := range map[color.RGBA]bool{{40, 60, 130, 255}: true, {230, 230, 230, 255}: true, {60, 60, 60, 255}: false, grey: false} {
		p := coloured(cam, func(q calib.Point) color.RGBA {
			if q.Dist(axis) < 20 && q.Dist(ring.Centre) > ring.R {
				return behind
			}
			return grey
		})
		look := Appearance{Coverage: 0.95, Contrast: 0.3, Agreement: 0.9}
		rims := []Rim{{Circle: calib.Circle{Centre: axis, R: 20}, Appearance: look}, {Circle: ring, Appearance: look}}
		if rims[1].liesIn(rims[0]) {
			t.Fatal("the ring is not seen aside")
		}
		markCollars(p, cam, rims)
		if rims[1].Within != within || rims[0].Within {
			t.Errorf("behind it %v: the ring lies in the opening: %v", behind, rims[1].Within)
		}
	}
}

// coloured is a photo of what has the given colour in the plane z = 0.
func coloured(cam calib.Camera, of func(q calib.Point) color.RGBA) *Photo {
	p := pictured(cam, func(px calib.Point) float64 {
		c := of(cam.ToPlane(px, 0))
		return float64(wRed*linearOf8[c.R] + wGreen*linearOf8[c.G] + wBlue*linearOf8[c.B])
	})
	p.RGB = image.NewRGBA(image.Rect(0, 0, p.Width, p.Height))
	for y := range p.Height {
		for x := range p.Width {
			p.RGB.SetRGBA(x, y, of(cam.ToPlane(calib.Point{X: float64(x), Y: float64(y)}, 0)))
		}
	}
	return p
}
