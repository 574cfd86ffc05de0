package plate

import (
	"errors"
	"math"
)

// errNoRoom says that a piece is too short for what is to be done to it.
var errNoRoom = errors.New("there is no room for the radius")

// fillet rounds the corner where p runs into q, with an arc of radius r that
// is tangent to both; lines and arcs in any combination. It returns p and q cut
// back to where the arc touches them, and the arc between.
func fillet(p, q Seg, r float64) (Seg, Seg, Seg, error) {
	turn := cross(p.dir(1), q.dir(0))
	side := -r // left of travel: the centre of an arc that turns left
	if turn < 0 {
		side = r
	}
	// The arc's centre is r away from both: on the parallels of both.
	pp, okP := p.parallel(side)
	qq, okQ := q.parallel(side)
	if !okP || !okQ {
		return p, Seg{}, q, errNoRoom
	}
	best := math.Inf(1)
	var arc, cutP, cutQ Seg
	for _, c := range meet(pp, qq) {
		a, b := p.foot(c), q.foot(c)
		tp, onP := p.along(a, tiny)
		tq, onQ := q.along(b, tiny)
		if d := c.Dist(p.B); onP && onQ && d < best {
			best = d
			cutP, cutQ = p.part(0, tp), q.part(tq, 1)
			arc = Seg{A: a, B: b, C: c, R: r, Sweep: sweepOf(a.Sub(c), b.Sub(c), turn > 0)}
			cutP.B, cutQ.A = a, b
		}
	}
	if math.IsInf(best, 1) {
		return p, Seg{}, q, errNoRoom
	}
	return cutP, arc, cutQ, nil
}

// foot returns the point nearest to c on the line or circle that s lies on.
func (s Seg) foot(c point) point {
	if s.Straight() {
		d := s.dir(0)
		return s.A.Add(d.Mul(c.Sub(s.A).Dot(d)))
	}
	return s.C.Add(unit(c.Sub(s.C)).Mul(s.R))
}

// part returns the piece from t0 to t1.
func (s Seg) part(t0, t1 float64) Seg {
	r := s
	r.A, r.B, r.Sweep = s.At(t0), s.At(t1), s.Sweep*(t1-t0)
	return r
}

// sweepOf returns the angle from a to b, turning left or right as asked:
// between 0 and a full turn, with its sign.
func sweepOf(a, b point, left bool) float64 {
	turn := math.Atan2(cross(a, b), a.Dot(b))
	if left && turn < 0 {
		turn += 2 * math.Pi
	}
	if !left && turn > 0 {
		turn -= 2 * math.Pi
	}
	return turn
}

// Round rounds the corners of an outline: where pieces i and i+1 meet at a
// kink, with radius(i). A piece must be long enough for the arcs at both ends.
func (p Path) Round(radius func(corner int) float64) (Path, error) {
	n := len(p)
	pieces := append(Path(nil), p...)
	arcs := make([]*Seg, n)
	for i := range n {
		j := (i + 1) % n
		d, e := pieces[i].dir(1), pieces[j].dir(0)
		if math.Abs(math.Atan2(cross(d, e), d.Dot(e))) < jointKink {
			continue
		}
		cutI, arc, cutJ, err := fillet(pieces[i], pieces[j], radius(i))
		if err != nil {
			return nil, err
		}
		pieces[i], pieces[j], arcs[i] = cutI, cutJ, &arc
	}
	var out Path
	for i, s := range pieces {
		if s.Length() > tiny {
			out = append(out, s)
		}
		if arcs[i] != nil {
			out = append(out, *arcs[i])
		}
	}
	return out, nil
}
