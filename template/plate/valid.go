package plate

import (
	"errors"
	"fmt"
	"math"
)

// What Check forgives.
const (
	jointGap  = 1e-6 // mm between the end of a piece and the next
	jointKink = 1e-6 // radians between their directions
	// Where pieces run into one another tangentially, rounding lets them meet
	// again within a hair of the joint. A crossing of an outline with itself
	// that is shorter than this along the outline is such a one.
	jointHair = 1e-4 // mm
)

// Check tells what is wrong with an outline: it must be closed, run on
// without a kink at each joint, and never meet itself.
func (p Path) Check() error {
	if err := p.checkClosed(); err != nil {
		return err
	}
	for i, s := range p {
		next := p[(i+1)%len(p)]
		d, e := s.dir(1), next.dir(0)
		if kink := math.Abs(math.Atan2(cross(d, e), d.Dot(e))); kink > jointKink {
			return fmt.Errorf("pieces %d and %d meet at a kink of %.3g degrees at (%.3f, %.3f)", i, (i+1)%len(p), kink*180/math.Pi, s.B.X, s.B.Y)
		}
	}
	return p.checkSimple()
}

// checkClosed tells whether the pieces join, each being sound in itself.
func (p Path) checkClosed() error {
	if len(p) == 0 {
		return errors.New("the outline is empty")
	}
	for i, s := range p {
		if !(s.Length() > 0) || math.IsInf(s.Length(), 0) { // also NaN
			return fmt.Errorf("piece %d has no length", i)
		}
		if !s.Straight() {
			off := math.Max(math.Abs(s.A.Dist(s.C)-s.R), math.Abs(s.B.Dist(s.C)-s.R))
			off = math.Max(off, polar(s.C, s.R, s.from()+s.Sweep).Dist(s.B))
			if off > jointGap || math.Abs(s.Sweep) > 2*math.Pi+1e-9 {
				return fmt.Errorf("piece %d is an arc whose ends lie %.3g mm off it", i, off)
			}
		}
		if gap := s.B.Dist(p[(i+1)%len(p)].A); !(gap <= jointGap) {
			return fmt.Errorf("pieces %d and %d are %.3g mm apart", i, (i+1)%len(p), gap)
		}
	}
	return nil
}

// checkSimple tells whether the outline keeps off itself.
func (p Path) checkSimple() error {
	start := make([]float64, len(p)) // of each piece, along the outline
	total := 0.0
	for i, s := range p {
		start[i] = total
		total += s.Length()
	}
	for i, s := range p {
		for j := i + 1; j < len(p); j++ {
			t := p[j]
			for _, q := range meet(s, t) {
				u, onS := s.along(q, tiny)
				v, onT := t.along(q, tiny)
				if !onS || !onT {
					continue
				}
				apart := math.Abs(start[i] + u*s.Length() - start[j] - v*t.Length())
				if math.Min(apart, total-apart) > jointHair {
					return fmt.Errorf("pieces %d and %d meet at (%.3f, %.3f)", i, j, q.X, q.Y)
				}
			}
			if at, overlap := overlapping(s, t); overlap {
				return fmt.Errorf("pieces %d and %d lie on one another at (%.3f, %.3f)", i, j, at.X, at.Y)
			}
		}
	}
	return nil
}

// overlapping tells whether two pieces of one line or circle share a stretch.
func overlapping(s, t Seg) (at point, overlap bool) {
	if s.Straight() != t.Straight() {
		return point{}, false
	}
	if s.Straight() {
		d := s.dir(0)
		if math.Abs(cross(d, t.A.Sub(s.A))) > tiny || math.Abs(cross(d, t.B.Sub(s.A))) > tiny {
			return point{}, false
		}
	} else if s.C.Dist(t.C) > tiny || math.Abs(s.R-t.R) > tiny {
		return point{}, false
	}
	for _, try := range []struct{ a, b Seg }{{s, t}, {t, s}} {
		for _, u := range []float64{0.25, 0.5, 0.75} {
			if v, on := try.b.along(try.a.At(u), 0); on && v > 0 && v < 1 && try.a.Length() > jointHair {
				return try.a.At(u), true
			}
		}
	}
	return point{}, false
}
