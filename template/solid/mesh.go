// Package solid is closed surfaces of triangles, and their STL and 3MF files:
// what a 3D printer's slicer reads. Lengths are millimetres, z upwards.
package solid

import (
	"fmt"

	"trimscribe/calib"
)

// Mesh is a surface of triangles. A triangle's corners run anticlockwise as
// seen from outside. Corners are shared by number, so that neighbours meet
// exactly.
type Mesh struct {
	Name      string
	Vertices  []calib.Vec3
	Triangles [][3]int
}

// Loop adds a ring of vertices at height z and returns their numbers.
func (m *Mesh) Loop(points []calib.Point, z float64) []int {
	loop := make([]int, len(points))
	for i, p := range points {
		loop[i] = len(m.Vertices)
		m.Vertices = append(m.Vertices, calib.Vec3{X: p.X, Y: p.Y, Z: z})
	}
	return loop
}

// Wall joins two rings of as many vertices by a strip. Both run anticlockwise
// as seen from above; the strip faces outwards when upper is above lower.
func (m *Mesh) Wall(lower, upper []int) {
	n := len(lower)
	for i := range n {
		j := (i + 1) % n
		m.Triangles = append(m.Triangles, [3]int{lower[i], lower[j], upper[j]}, [3]int{lower[i], upper[j], upper[i]})
	}
}

// Face fills a flat area with holes, all rings running anticlockwise. It faces
// up or down.
func (m *Mesh) Face(outer []int, holes [][]int, up bool) error {
	at := func(loop []int) []calib.Point {
		points := make([]calib.Point, len(loop))
		for i, v := range loop {
			points[i] = calib.Point{X: m.Vertices[v].X, Y: m.Vertices[v].Y}
		}
		return points
	}
	numbers := append([]int(nil), outer...)
	var rings [][]calib.Point
	for _, h := range holes {
		rings = append(rings, at(h))
		numbers = append(numbers, h...)
	}
	triangles, err := triangulate(at(outer), rings)
	if err != nil {
		return err
	}
	for _, t := range triangles {
		if !up {
			t[1], t[2] = t[2], t[1]
		}
		m.Triangles = append(m.Triangles, [3]int{numbers[t[0]], numbers[t[1]], numbers[t[2]]})
	}
	return nil
}

// Move moves the mesh.
func (m *Mesh) Move(d calib.Vec3) {
	for i, v := range m.Vertices {
		m.Vertices[i] = v.Add(d)
	}
}

// Volume returns the volume inside, mm³: the sum of the tetrahedra between
// each triangle and the origin, by the divergence theorem.
func (m *Mesh) Volume() float64 {
	sum := 0.0
	for _, t := range m.Triangles {
		a, b, c := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
		sum += a.Dot(b.Cross(c))
	}
	return sum / 6
}

// Check tells whether the surface is closed: each edge belongs to two
// triangles, which run along it in opposite ways.
func (m *Mesh) Check() error {
	edges := map[[2]int]int{}
	for _, t := range m.Triangles {
		for i := range 3 {
			edges[[2]int{t[i], t[(i+1)%3]}]++
		}
	}
	for e, n := range edges {
		if n != 1 || edges[[2]int{e[1], e[0]}] != 1 {
			return fmt.Errorf("%s is open or folded at the edge from vertex %d to %d", m.Name, e[0], e[1])
		}
	}
	if !(m.Volume() > 0) {
		return fmt.Errorf("%s is inside out", m.Name)
	}
	return nil
}
