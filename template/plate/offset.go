package plate

import (
	"fmt"
	"math"
)

// parallel returns the piece moved by d to the right of travel. An arc that
// this would turn inside out is gone: ok is false.
func (s Seg) parallel(d float64) (q Seg, ok bool) {
	q = s
	if s.Straight() {
		n := s.out(0).Mul(d)
		q.A, q.B = s.A.Add(n), s.B.Add(n)
		return q, true
	}
	if s.Sweep > 0 {
		q.R = s.R + d
	} else {
		q.R = s.R - d
	}
	if q.R <= tiny {
		return q, false
	}
	k := q.R / s.R
	q.A, q.B = s.C.Add(s.A.Sub(s.C).Mul(k)), s.C.Add(s.B.Sub(s.C).Mul(k))
	return q, true
}

// Offset returns the outline at the distance d outside (inside, when d is
// negative) of one that turns anticlockwise: exact, lines to lines and arcs to
// arcs. An arc too small for the distance is left out, and its neighbours
// are brought to where they meet; that leaves a corner. What would cut the
// outline in two, or leave nothing of it, is an error.
func (p Path) Offset(d float64) (Path, error) {
	type piece struct {
		was, is Seg
	}
	fail := func() (Path, error) {
		return nil, fmt.Errorf("an outline %.3f mm beside this one is no longer in one piece", d)
	}
	var pieces []piece
	for _, s := range p {
		if q, ok := s.parallel(d); ok {
			pieces = append(pieces, piece{s, q})
		}
	}
	// Bring neighbours together where something between them is gone. That
	// can use up a piece, and then its neighbours are to be brought together.
	for again := true; again; {
		again = false
		if len(pieces) == 0 {
			return fail()
		}
		for i := range pieces {
			j := (i + 1) % len(pieces)
			a, b := &pieces[i], &pieces[j]
			if a.is.B.Dist(b.is.A) <= tiny {
				continue
			}
			if len(pieces) == 1 {
				return fail()
			}
			q, ok := nearest(meet(a.is, b.is), a.was.B.Add(b.was.A).Mul(0.5))
			if !ok {
				return fail()
			}
			u, _ := a.is.along(q, 0)
			v, _ := b.is.along(q, 0)
			switch {
			case u <= 0:
				pieces = append(pieces[:i], pieces[i+1:]...)
			case v >= 1:
				pieces = append(pieces[:j], pieces[j+1:]...)
			default:
				a.is, b.is = a.is.to(q), b.is.fromPoint(q)
			}
			again = true
			break
		}
	}
	var out Path
	for _, s := range pieces {
		out = append(out, s.is)
	}
	if err := out.checkClosed(); err != nil || out.checkSimple() != nil || out.Area()*p.Area() <= 0 {
		return fail()
	}
	return out, nil
}

func nearest(points []point, to point) (best point, ok bool) {
	d := math.Inf(1)
	for _, p := range points {
		if p.Dist(to) < d {
			best, d, ok = p, p.Dist(to), true
		}
	}
	return best, ok
}

// to returns the piece ending at q, on its line or circle.
func (s Seg) to(q point) Seg {
	if !s.Straight() {
		t, _ := s.along(q, 0)
		s.Sweep *= t
	}
	s.B = q
	return s
}

// fromPoint returns the piece beginning at q, on its line or circle.
func (s Seg) fromPoint(q point) Seg { return s.reversed().to(q).reversed() }
