package plate

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// Ear is the plate's arm out to a hole: a strip with a round end. It begins
// in the ring's centre.
type Ear struct {
	End  point   // the centre of its round end
	Half float64 // half its width, and the radius of its end
}

// Outline returns the outline of a ring of outer radius r about a centre with
// its ears, joined, every inside corner rounded with the given radius: lines
// and arcs, tangent at each joint, anticlockwise.
//
// The rounded shape is the closing of the plain one: grown by the fillet
// radius and shrunk by it again. Growing ring and ears is exact, they stay
// discs and strips; and as all of them can be seen whole from the ring's
// centre, so can their union. Its outline is therefore, in each direction from
// the centre, that of whichever reaches farthest. The union of the grown
// shapes has kinks only where it turns inwards; shrunk, each piece of it
// moves in by the radius, and each kink becomes an arc of that radius about
// itself, which is the fillet.
func Outline(centre point, r float64, ears []Ear, radius float64) Path {
	g := grown{r: r + radius}
	for _, e := range ears {
		way := e.End.Sub(centre)
		half := e.Half + radius
		g.r = math.Max(g.r, half) // the strip's beginning
		g.ears = append(g.ears, grownEar{math.Atan2(way.Y, way.X), way.Norm(), half})
	}
	return Place{Move: centre}.Path(shrink(g.outline(), radius))
}

// grown is the grown ring and ears, the ring's centre being the origin.
type grown struct {
	r    float64
	ears []grownEar
}

type grownEar struct{ angle, length, half float64 }

// The pieces that a grown shape's outline is made of. Piece 0 is the ring;
// ear i has its right side, its end and its left side as 3i+1, 3i+2, 3i+3.
const (
	ringPiece = 0
	rightSide = 1
	endPiece  = 2
	leftSide  = 3
)

// seg returns a piece whole: an endless line is cut off at the ear's ends.
func (g grown) seg(piece int) Seg {
	if piece == ringPiece {
		return Arc(point{}, g.r, 0, 2*math.Pi)
	}
	e := g.ears[(piece-1)/3]
	u := polar(point{}, 1, e.angle)
	left := point{X: -u.Y, Y: u.X}.Mul(e.half)
	end := u.Mul(e.length)
	switch (piece-1)%3 + 1 {
	case rightSide:
		return Line(left.Mul(-1), end.Sub(left))
	case leftSide:
		return Line(end.Add(left), left)
	}
	return Arc(end, e.half, e.angle-math.Pi/2, math.Pi)
}

// reach returns how far the shapes reach in a direction, and by which piece.
// Of two that reach as far, the one that was asked for before wins.
func (g grown) reach(angle float64, before int) (far float64, piece int) {
	far = g.r
	take := func(d float64, p int) {
		if d > far+tiny || d > far-tiny && p == before {
			far, piece = math.Max(far, d), p
		}
	}
	for i, e := range g.ears {
		off := math.Remainder(angle-e.angle, 2*math.Pi)
		sin, cos := math.Sincos(math.Abs(off))
		switch {
		case cos <= 0: // behind: only the strip's beginning, inside the ring
		case e.half*cos <= e.length*sin: // it leaves through a side before the end
			side := rightSide
			if off > 0 {
				side = leftSide
			}
			take(e.half/sin, 3*i+side)
		default:
			take(e.length*cos+math.Sqrt(math.Max(0, e.half*e.half-e.length*e.length*sin*sin)), 3*i+endPiece)
		}
	}
	return far, piece
}

// corner is where one piece of the grown outline gives way to another.
type corner struct {
	at    point
	piece int // that begins here
}

// outline returns the union's outline, anticlockwise. Its kinks all turn
// inwards.
func (g grown) outline() Path {
	angles := g.changes()
	// The piece that reaches farthest in the middle of each gap between
	// changes is the one that does so in all of it.
	var corners []corner
	before := -1
	for i, a := range angles {
		next := angles[0] + 2*math.Pi
		if i+1 < len(angles) {
			next = angles[i+1]
		}
		_, piece := g.reach((a+next)/2, before)
		if piece != before {
			far, _ := g.reach(a, piece)
			corners = append(corners, corner{polar(point{}, far, a), piece})
			before = piece
		}
	}
	if n := len(corners); n > 1 && corners[0].piece == corners[n-1].piece {
		corners = corners[1:]
		if n == 2 {
			corners = nil
		}
	}
	if len(corners) < 2 {
		return Circle(point{}, g.r)
	}
	var path Path
	for i, c := range corners {
		s := g.seg(c.piece)
		s.A, s.B = c.at, corners[(i+1)%len(corners)].at
		if !s.Straight() {
			s.Sweep = sweepOf(s.A.Sub(s.C), s.B.Sub(s.C), true)
		}
		if s.Length() > tiny {
			path = append(path, s)
		}
	}
	return path
}

// changes returns the directions in which one piece may give way to another,
// in order: where any two meet, and where an ear's sides touch its end.
func (g grown) changes() []float64 {
	var angles []float64
	add := func(p calib.Point) { angles = append(angles, math.Atan2(p.Y, p.X)) }
	n := 3*len(g.ears) + 1
	for i := range n {
		s := g.seg(i)
		if i%3 == endPiece {
			add(s.A)
			add(s.B)
		}
		for j := i + 1; j < n; j++ {
			if i > 0 && (i-1)/3 == (j-1)/3 {
				continue // of one ear
			}
			for _, p := range meet(s, g.seg(j)) {
				add(p)
			}
		}
	}
	slices.Sort(angles)
	return slices.CompactFunc(angles, func(a, b float64) bool { return math.Abs(a-b) < 1e-12 })
}

// shrink moves a grown outline in by the radius; each kink becomes an arc
// about itself.
func shrink(p Path, radius float64) Path {
	var out Path
	for i, s := range p {
		before := p[(i+len(p)-1)%len(p)]
		// Turn inwards at the kink that the piece begins with.
		from, to := before.out(1).Mul(-radius), s.out(0).Mul(-radius)
		if turn := math.Atan2(cross(from, to), from.Dot(to)); turn < -tiny {
			out = append(out, Seg{A: s.A.Add(from), B: s.A.Add(to), C: s.A, R: radius, Sweep: turn})
		}
		if q, ok := s.parallel(-radius); ok {
			out = append(out, q)
		}
	}
	return out
}
