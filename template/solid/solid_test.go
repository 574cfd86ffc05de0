package solid

import (
	"math"
	"math/rand/v2"
	"testing"

	"trimscribe/calib"
)

func ring(c calib.Point, r float64, n int, phase float64) []calib.Point {
	p := make([]calib.Point, n)
	for i := range p {
		sin, cos := math.Sincos(phase + 2*math.Pi*float64(i)/float64(n))
		p[i] = calib.Point{X: c.X + r*cos, Y: c.Y + r*sin}
	}
	return p
}

func area(p []calib.Point) float64 {
	sum := 0.0
	for i, a := range p {
		b := p[(i+1)%len(p)]
		sum += a.X*b.Y - a.Y*b.X
	}
	return sum / 2
}

// Triangles cover the area once: there are as many as Euler's formula says
// (corners + 2 holes - 2), all anticlockwise, and their areas add up.
func TestTriangulateAnyHoles(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for n := range 400 {
		outer := ring(calib.Point{}, 50, 3+rnd.IntN(60), rnd.Float64())
		for i := range outer { // as ragged as a star may be
			outer[i] = outer[i].Mul(0.85 + 0.15*rnd.Float64())
		}
		var holes [][]calib.Point
		want, corners := area(outer), len(outer)
		for i := range rnd.IntN(9) { // on a lattice, so that many lie in one line
			c := calib.Point{X: float64(i%3-1) * 9, Y: float64(i/3-1) * 9}
			if len(outer) < 12 {
				break
			}
			h := ring(c, 1+3*rnd.Float64(), 3+rnd.IntN(20), float64(rnd.IntN(2)))
			holes = append(holes, h)
			want -= area(h)
			corners += len(h)
		}
		triangles, err := triangulate(outer, holes)
		if err != nil {
			t.Fatalf("area %d: %v", n, err)
		}
		if len(triangles) != corners+2*len(holes)-2 {
			t.Errorf("area %d: %d triangles of %d corners and %d holes", n, len(triangles), corners, len(holes))
		}
		all := append([]calib.Point(nil), outer...)
		for _, h := range holes {
			all = append(all, h...)
		}
		sum := 0.0
		for _, tri := range triangles {
			a := area([]calib.Point{all[tri[0]], all[tri[1]], all[tri[2]]})
			if a < -1e-9 {
				t.Errorf("area %d: a triangle is turned over", n)
			}
			sum += a
		}
		if math.Abs(sum-want) > 1e-6 {
			t.Errorf("area %d: triangles cover %g, want %g", n, sum, want)
		}
	}
}

// The check finds a missing triangle, one turned over, and a surface inside out.
func TestCheckFindsFaults(t *testing.T) {
	cube := func() *Mesh {
		m := &Mesh{Name: "cube"}
		square := []calib.Point{{X: 0}, {X: 2}, {X: 2, Y: 2}, {X: 0, Y: 2}}
		low, high := m.Loop(square, 0), m.Loop(square, 2)
		m.Wall(low, high)
		if m.Face(low, nil, false) != nil || m.Face(high, nil, true) != nil {
			t.Fatal("no faces")
		}
		return m
	}
	m := cube()
	if err := m.Check(); err != nil || math.Abs(m.Volume()-8) > 1e-12 {
		t.Errorf("a cube: %v, volume %g", err, m.Volume())
	}
	m.Triangles = m.Triangles[1:]
	if m.Check() == nil {
		t.Error("an open surface passes")
	}
	m = cube()
	m.Triangles[0][1], m.Triangles[0][2] = m.Triangles[0][2], m.Triangles[0][1]
	if m.Check() == nil {
		t.Error("a triangle turned over passes")
	}
	m = cube()
	for i, tri := range m.Triangles {
		m.Triangles[i] = [3]int{tri[0], tri[2], tri[1]}
	}
	if m.Check() == nil {
		t.Error("a surface inside out passes")
	}
}
