package plate

import (
	"math"
	"math/rand/v2"
	"testing"
)

// samples calls f with points all along an outline.
func samples(p Path, f func(q point)) {
	for _, s := range p {
		n := 3 + int(s.Length()/0.5)
		for i := range n + 1 {
			f(s.At(float64(i) / float64(n)))
		}
	}
}

func ovalOutline() Path {
	return Outline(point{X: 1, Y: 2}, 28, []Ear{{point{X: 45, Y: 10}, 8}, {point{X: -30, Y: 25}, 9}, {point{X: 3, Y: -28}, 6.75}}, 3)
}

// A parallel outline is everywhere at its distance, and changes area and
// length as Steiner's formula says: L' = L + 2 pi d, A' = A + L d + pi d^2.
func TestOffsetKeepsItsDistance(t *testing.T) {
	for _, p := range []Path{ovalOutline(), Circle(point{X: 5}, 4), Slot(point{X: -3}, point{X: 4, Y: 1}, 2.25)} {
		for _, d := range []float64{0.1, -0.1, 1.2, -0.7} {
			q, err := p.Offset(d)
			if err != nil {
				t.Fatal(err)
			}
			if err := q.Check(); err != nil {
				t.Error(err)
			}
			near(t, "length", q.Length(), p.Length()+2*math.Pi*d, 1e-9)
			near(t, "area", q.Area(), p.Area()+p.Length()*d+math.Pi*d*d, 1e-9)
			samples(q, func(at point) {
				if math.Abs(p.Dist(at)-math.Abs(d)) > 1e-9 || p.Holds(at) != (d < 0) {
					t.Errorf("a point of the parallel at %g lies %g away", d, p.Dist(at))
				}
			})
		}
	}
}

// Outwards by more than a fillet's radius, the fillet is gone and its
// neighbours meet in a corner; the arc was not needed to know that the
// corner is at the offset lines' crossing.
func TestOffsetDropsCollapsedArcs(t *testing.T) {
	p := Outline(point{}, 20, []Ear{{point{X: 40}, 6}}, 1)
	q, err := p.Offset(2)
	if err != nil {
		t.Fatal(err)
	}
	if len(q) != len(p)-2 {
		t.Errorf("%d pieces, want %d less two fillets", len(q), len(p))
	}
	// Where a line 8 from the axis crosses a circle of radius 22.
	x := math.Sqrt(22*22 - 8*8)
	near(t, "corner", q.Dist(point{X: x, Y: 8}), 0, 1e-9)
	samples(q, func(at point) {
		if p.Dist(at) < 2-1e-9 {
			t.Errorf("%v lies %g from the outline, want 2 or more", at, p.Dist(at))
		}
	})
	if _, err := Circle(point{}, 3).Offset(-3.5); err == nil {
		t.Error("a circle of radius 3 has an outline 3.5 inside it")
	}
	if q, err := p.Offset(-7); err == nil {
		t.Errorf("an ear 12 wide has an outline 7 inside it: %v", q)
	}
}

// The closing gives the very fillets that the construction by parallels does.
func TestFilletsAgree(t *testing.T) {
	r, w, f := 20.0, 6.0, 2.5
	p := Outline(point{}, r, []Ear{{point{X: 40}, w}}, f)
	ring := Arc(point{}, r, math.Pi, math.Pi-math.Asin(w/r))
	side := Line(ring.B, point{X: 40, Y: -w})
	_, arc, _, err := fillet(ring, side, f)
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, s := range p {
		if s.Sweep < 0 && s.A.Dist(arc.A) < 1e-9 && s.B.Dist(arc.B) < 1e-9 && s.C.Dist(arc.C) < 1e-9 {
			found = true
		}
	}
	if !found {
		t.Errorf("no fillet from %v to %v about %v", arc.A, arc.B, arc.C)
	}
}

// Corners of any two pieces are rounded with tangent joints.
func TestRoundAnyCorner(t *testing.T) {
	a, b, c := point{X: 0}, point{X: 10}, point{X: 4, Y: 8}
	bow := func(from, to point, bulge float64) Seg { // an arc by its rise over half its chord
		h := to.Sub(from)
		left := point{X: -h.Y, Y: h.X}
		centre := from.Add(to).Mul(0.5).Add(left.Mul((1 - bulge*bulge) / (4 * bulge)))
		return Seg{A: from, B: to, C: centre, R: centre.Dist(from), Sweep: 4 * math.Atan(bulge)}
	}
	for name, p := range map[string]Path{
		"lines":         {Line(a, b), Line(b, c), Line(c, a)},
		"arcs outwards": {bow(a, b, 0.3), bow(b, c, 0.2), bow(c, a, 0.25)},
		"arcs inwards":  {bow(a, b, -0.1), bow(b, c, -0.15), bow(c, a, -0.1)},
		"mixed":         {Line(a, b), bow(b, c, -0.2), bow(c, a, 0.3)},
	} {
		q, err := p.Round(func(int) float64 { return 0.6 })
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if err := q.Check(); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if len(q) != 6 || q.Area() >= p.Area() {
			t.Errorf("%s: %d pieces of area %g in %g", name, len(q), q.Area(), p.Area())
		}
		if _, err := p.Round(func(int) float64 { return 6 }); err == nil {
			t.Errorf("%s: corners were rounded with more than there is room for", name)
		}
	}
}

// The check finds each fault that it is there for.
func TestCheckFindsFaults(t *testing.T) {
	sq := []point{{X: 0}, {X: 10}, {X: 10, Y: 10}, {X: 0, Y: 10}}
	square := Path{Line(sq[0], sq[1]), Line(sq[1], sq[2]), Line(sq[2], sq[3]), Line(sq[3], sq[0])}
	if square.Check() == nil {
		t.Error("a square's kinks pass")
	}
	p := ovalOutline()
	open := append(Path(nil), p[1:]...)
	if open.Check() == nil {
		t.Error("an open outline passes")
	}
	off := append(Path(nil), p...)
	off[2].B.X += 1e-4
	if off.Check() == nil {
		t.Error("an outline with a gap passes")
	}
	// A figure of eight, tangent everywhere but crossing in its middle.
	l, r := point{X: -10}, point{X: 10}
	s := 5.0
	a := math.Acos(s / 10) // the inner tangents of two circles of radius 5, 20 apart
	right := Arc(r, s, math.Pi+a-2*math.Pi, 2*math.Pi-2*a)
	left := Arc(l, s, -a, -(2*math.Pi - 2*a))
	eight := Path{right, Line(right.B, left.A), left, Line(left.B, right.A)}
	if err := eight.checkClosed(); err != nil {
		t.Fatal(err)
	}
	if eight.checkSimple() == nil {
		t.Error("a figure of eight passes")
	}
}

func TestHoldsAndDist(t *testing.T) {
	rnd := rand.New(rand.NewPCG(2, 3))
	p := ovalOutline()
	// Against a fine polygon by the even-odd rule.
	var poly []point
	for _, s := range p {
		for i := range 400 {
			poly = append(poly, s.At(float64(i)/400))
		}
	}
	for range 3000 {
		q := point{X: rnd.Float64()*120 - 60, Y: rnd.Float64()*90 - 45}
		in, d := false, math.Inf(1)
		for i, a := range poly {
			b := poly[(i+1)%len(poly)]
			if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
				in = !in
			}
			d = math.Min(d, Line(a, b).Dist(q))
		}
		if math.Abs(d) > 1e-3 && p.Holds(q) != in {
			t.Errorf("%v inside: %v, want %v", q, p.Holds(q), in)
		}
		near(t, "distance", p.Dist(q), d, 1e-3)
	}
}

func TestPlaceKeepsShape(t *testing.T) {
	p := ovalOutline()
	q := Place{Mirror: true, Turn: 0.7, Move: point{X: 100, Y: -3}}.Path(p)
	if err := q.Check(); err != nil {
		t.Error(err)
	}
	near(t, "area", q.Area(), p.Area(), 1e-9)
	near(t, "length", q.Length(), p.Length(), 1e-9)
}
