package plate

import (
	"fmt"
	"math"

	"trimscribe/calib"
	"trimscribe/template/solid"
)

// ChordError is how far a flat of a 3D file may lie off its arc, mm: less than
// any printer shows.
const ChordError = 0.005

// shortestEdge keeps corners apart that 32-bit floats could not tell from one
// another, mm.
const shortestEdge = 1e-3

// corners returns an outline as a polygon: points on it, and the outward
// normal at each.
func (p Path) corners() (at, out []point) {
	for _, s := range p {
		n := 1
		if !s.Straight() {
			step := 2 * math.Acos(1-math.Min(ChordError/s.R, 1))
			n = max(1, int(math.Ceil(math.Abs(s.Sweep)/step)))
		}
		for i := range n {
			t := float64(i) / float64(n)
			q := s.At(t)
			if k := len(at); k > 0 && q.Dist(at[k-1]) < shortestEdge {
				continue
			}
			at, out = append(at, q), append(out, s.out(t))
		}
	}
	for len(at) > 3 && at[0].Dist(at[len(at)-1]) < shortestEdge {
		at, out = at[:len(at)-1], out[:len(out)-1]
	}
	return at, out
}

// Solids returns what is to be printed, each part a mesh standing on z = 0,
// side by side: the plates with their seats in one, and the spacers. The foam
// is not among them.
func (p *Plate) Solids() ([]*solid.Mesh, error) {
	var meshes []*solid.Mesh
	x := 0.0
	add := func(m *solid.Mesh, err error) error {
		if err == nil {
			err = m.Check()
		}
		if err != nil {
			return fmt.Errorf("the 3D file cannot be made: %w", err)
		}
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, v := range m.Vertices {
			lo, hi = math.Min(lo, v.X), math.Max(hi, v.X)
		}
		m.Move(calib.Vec3{X: x - lo})
		x += hi - lo + 5
		meshes = append(meshes, m)
		return nil
	}
	s := &p.Settings
	sides := []bool{s.Mirror}
	if s.Both {
		sides = []bool{false, true}
	}
	for range s.Quantity {
		for _, mirrored := range sides {
			name := "plate"
			if side := p.sideOf(mirrored); side != "" {
				name = side + " " + name
			}
			if err := add(p.solid(name, Place{Mirror: mirrored})); err != nil {
				return nil, err
			}
			for _, e := range p.Extras {
				if e.Stock.Soft || e.Name == seatName {
					continue
				}
				if err := add(extrude(e)); err != nil {
					return nil, err
				}
			}
		}
	}
	return meshes, nil
}

// extrude returns a part as a plain solid.
func extrude(p *Part) (*solid.Mesh, error) {
	m := &solid.Mesh{Name: p.Name}
	rings := func(path Path) (lower, upper []int) {
		at, _ := path.corners()
		return m.Loop(at, 0), m.Loop(at, p.Stock.Thickness)
	}
	lower, upper := rings(p.Outline)
	m.Wall(lower, upper)
	var floor, top [][]int
	for _, o := range p.Openings {
		l, u := rings(o)
		m.Wall(u, l)
		floor, top = append(floor, l), append(top, u)
	}
	if err := m.Face(lower, floor, false); err != nil {
		return nil, err
	}
	return m, m.Face(upper, top, true)
}

// solid returns the plate as one solid: with its top edge rounded over along
// the outline, tabs of their own thickness, and the seat on top.
func (p *Plate) solid(name string, place Place) (*solid.Mesh, error) {
	s := &p.Settings
	m := &solid.Mesh{Name: name}
	foot, rim := p.outerWall(m, place)
	floor, top := [][]int{}, [][]int{} // openings in the lower and the upper face
	for i, o := range p.Plate.Openings {
		if i == 0 && s.Hold == HoldLockTabs && s.Tabs.Thickness > 0 && s.Tabs.Thickness < s.Thickness {
			lower, upper, err := p.thinTabs(m, place)
			if err != nil {
				return nil, err
			}
			floor, top = append(floor, lower), append(top, upper)
			continue
		}
		at, _ := place.Path(o).corners()
		lower, upper := m.Loop(at, 0), m.Loop(at, s.Thickness)
		m.Wall(upper, lower)
		floor, top = append(floor, lower), append(top, upper)
	}
	if err := m.Face(foot, floor, false); err != nil {
		return nil, err
	}
	for _, e := range p.Extras {
		if e.Name == seatName {
			return m, p.seatOn(m, e, rim, top)
		}
	}
	return m, m.Face(rim, top, true)
}

// outerWall adds the wall along the outline and the round-over above it, and
// returns the rings at its foot and at its rim.
func (p *Plate) outerWall(m *solid.Mesh, place Place) (foot, rim []int) {
	s := &p.Settings
	at, out := place.Path(p.Plate.Outline).corners()
	foot = m.Loop(at, 0)
	if s.RoundOver == 0 {
		rim = m.Loop(at, s.Thickness)
		m.Wall(foot, rim)
		return foot, rim
	}
	below := m.Loop(at, s.Thickness-s.RoundOver)
	m.Wall(foot, below)
	n := max(4, int(math.Ceil(math.Pi/2/(2*math.Acos(1-math.Min(ChordError/s.RoundOver, 1))))))
	for i := 1; i <= n; i++ {
		sin, cos := math.Sincos(math.Pi / 2 * float64(i) / float64(n))
		in := make([]point, len(at))
		for j := range at {
			in[j] = at[j].Sub(out[j].Mul(s.RoundOver * (1 - cos)))
		}
		ring := m.Loop(in, s.Thickness-s.RoundOver*(1-sin))
		m.Wall(below, ring)
		below = ring
	}
	return foot, below
}

// thinTabs adds the wall of a bore whose tabs are thinner than the plate, and
// returns its rings in the lower and the upper face. Above the tabs the bore
// is round; where it runs on the tabbed bore's own arcs both have the same
// corners.
func (p *Plate) thinTabs(m *solid.Mesh, place Place) (lower, upper []int, err error) {
	s := &p.Settings
	bore := place.Path(p.Plate.Openings[0])
	at, _ := bore.corners()
	lower = m.Loop(at, 0)
	step := m.Loop(at, s.Tabs.Thickness) // where the tabs end
	m.Wall(step, lower)

	onBore := func(q point) bool { return math.Abs(q.Norm()-p.Bore/2) < 1e-7 }
	first := 0 // of a tab: the last corner on the bore before it
	for i := range at {
		if onBore(at[i]) && !onBore(at[(i+1)%len(at)]) {
			first = i
			break
		}
	}
	var round []int // the round bore's ring at the step
	n := len(at)
	for k := 0; k < n; k++ {
		i := (first + k) % n
		round = append(round, step[i])
		if onBore(at[(i+1)%n]) {
			continue
		}
		tab := []int{step[i]} // round the tab to where the bore goes on
		for k++; !onBore(at[(first+k)%n]); k++ {
			tab = append(tab, step[(first+k)%n])
		}
		end := (first + k) % n
		k-- // the loop's own step comes to the end
		tab = append(tab, step[end])
		// Back along the bore, over the tab's root.
		a, b := at[i], at[end]
		back := Seg{A: a, B: b, R: p.Bore / 2, Sweep: sweepOf(a, b, true)}
		over, _ := Path{back}.corners()
		root := m.Loop(over[1:], s.Tabs.Thickness)
		round = append(round, root...)
		face := append([]int(nil), tab...)
		for j := len(root) - 1; j >= 0; j-- {
			face = append(face, root[j])
		}
		// The tab lies inside the bore: from a along the tab to b is clockwise.
		for l, r := 0, len(face)-1; l < r; l, r = l+1, r-1 {
			face[l], face[r] = face[r], face[l]
		}
		if err := m.Face(face, nil, true); err != nil {
			return nil, nil, err
		}
	}
	var points []point
	for _, v := range round {
		points = append(points, point{X: m.Vertices[v].X, Y: m.Vertices[v].Y})
	}
	upper = m.Loop(points, s.Thickness)
	m.Wall(upper, round)
	return lower, upper, nil
}

// seatOn adds the seat's ring on the upper face, whose openings are given, the
// bore and the ring holes first: they lie inside the seat.
func (p *Plate) seatOn(m *solid.Mesh, seat *Part, rim []int, openings [][]int) error {
	z := p.Settings.Thickness
	outer, _ := seat.Outline.corners()
	inner, _ := seat.Openings[0].corners()
	footOut, topOut := m.Loop(outer, z), m.Loop(outer, z+seat.Stock.Thickness)
	footIn, topIn := m.Loop(inner, z), m.Loop(inner, z+seat.Stock.Thickness)
	m.Wall(footOut, topOut)
	m.Wall(topIn, footIn)
	inside := 1 + len(p.ring)
	if err := m.Face(topOut, [][]int{topIn}, true); err != nil {
		return err
	}
	if err := m.Face(footIn, openings[:inside], true); err != nil {
		return err
	}
	return m.Face(rim, append([][]int{footOut}, openings[inside:]...), true)
}
