package plate

import (
	"math"
	"math/rand/v2"
	"testing"
)

func near(t *testing.T, what string, got, want, tol float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tol) {
		t.Errorf("%s: got %.9f, want %.9f within %g", what, got, want, tol)
	}
}

// Two ears in line, by triangles and sectors: the fillet's centre is r+f from
// the ring's centre and w+f from the ears' axis, so it lies at the angle a
// with sin a = (w+f)/(r+f), x = (r+f) cos a along the axis. In a quarter of
// the plate are the ring's sector beyond a, the triangle to the fillet's centre
// less the fillet's sector, the strip beyond x, and a quarter of a disc.
func TestTwoEarsClosedForm(t *testing.T) {
	for _, c := range []struct{ r, w, f, l float64 }{{27.95, 9, 3, 44.1}, {30, 6.75, 1.5, 38.2}, {12, 11, 8, 60}} {
		a := math.Asin((c.w + c.f) / (c.r + c.f))
		x := (c.r + c.f) * math.Cos(a)
		b := math.Pi/2 - a
		area := 4 * (c.r*c.r*b/2 + (c.w+c.f)*x/2 - c.f*c.f*b/2 + c.w*(c.l-x) + math.Pi*c.w*c.w/4)
		length := 4 * (c.r*b + c.f*b + c.l - x + math.Pi/2*c.w)
		for _, turn := range []float64{0, 0.3, 2.5, -1.2} {
			centre := point{X: 14.2, Y: -33.1}
			p := Outline(centre, c.r, []Ear{{polar(centre, c.l, turn), c.w}, {polar(centre, c.l, turn+math.Pi), c.w}}, c.f)
			near(t, "area", p.Area(), area, 1e-6)
			near(t, "perimeter", p.Length(), length, 1e-6)
			if err := p.Check(); err != nil {
				t.Error(err)
			}
			if len(p) != 12 {
				t.Errorf("%d pieces, want 12: two arcs of the ring, and for each ear two fillets, two sides and an end", len(p))
			}
		}
	}
}

func randomEars(rnd *rand.Rand, centre point, r float64) []Ear {
	ears := make([]Ear, 1+rnd.IntN(6))
	half := 3 + rnd.Float64()*12
	for i := range ears {
		d := rnd.Float64() * 4 * r
		switch rnd.IntN(8) {
		case 0: // its end just at the ring's edge
			d = r - half + (rnd.Float64()-0.5)*math.Pow(10, -1-8*rnd.Float64())
		case 1:
			d = r + half
		}
		a := rnd.Float64() * 2 * math.Pi
		if i > 0 && rnd.IntN(4) == 0 { // beside another ear, or in line with it
			o := ears[i-1].End.Sub(centre)
			a = math.Atan2(o.Y, o.X) + (rnd.Float64()-0.5)*math.Pow(10, -10*rnd.Float64())
			if rnd.IntN(4) == 0 {
				d = o.Norm() + (rnd.Float64()-0.5)*math.Pow(10, -10*rnd.Float64())
			}
		}
		ears[i] = Ear{polar(centre, math.Abs(d), a), half}
		if rnd.IntN(4) == 0 {
			ears[i].Half = 3 + rnd.Float64()*12
		}
	}
	return ears
}

// Any layout at all has an outline, and it is sound and holds what it must.
func TestOutlineOfAnyLayout(t *testing.T) {
	rnd := rand.New(rand.NewPCG(5, 1))
	bad := 0
	for n := range 10000 {
		centre := point{X: rnd.NormFloat64() * 50, Y: rnd.NormFloat64() * 50}
		r := 8 + rnd.Float64()*50
		ears := randomEars(rnd, centre, r)
		f := 0.3 + rnd.Float64()*8
		p := Outline(centre, r, ears, f)
		if err := p.Check(); err != nil {
			t.Errorf("layout %d: %v", n, err)
			bad++
		} else if p.Area() < math.Pi*r*r-1e-6 {
			t.Errorf("layout %d: the outline does not hold its ring", n)
		}
		for _, e := range ears {
			if d := p.Dist(e.End); !p.Holds(e.End) || d < e.Half-1e-6 {
				t.Errorf("layout %d: a hole is %.9f mm from the edge, want %.9f", n, d, e.Half)
				bad++
			}
		}
		if bad > 5 {
			t.Fatalf("and so on: %d of %d", bad, n)
		}
	}
}
