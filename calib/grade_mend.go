package calib

import (
	"math"
	"math/rand/v2"
	"slices"
)

// What a photo would be like with one thing mended.
const (
	sharp     = 0.8  // px: the spread of an edge in a photo in focus
	bins      = 20   // along an edge, to see which of it was traced
	waveParts = 8    // stretches of an edge that its waves are told by
	twice     = 2.0  // how much finer a mended photo is
	farEnough = 450. // mm, an arm's length over the panel, from which a phone still fills its picture with it
	clearance = 10.0 // mm between the square's paper and the holes, at least
)

// straight is the photo from straight above what it looks at, as far away.
func (p staged) straight() staged {
	_, upright := splitTilt(p.cam.R)
	middle := Point{float64(p.cam.Width) / 2, float64(p.cam.Height) / 2}
	at := p.cam.ToPlane(middle, 0)
	eye := p.cam.Eye()
	away := eye.Sub(Vec3{at.X, at.Y, 0}).Norm()
	p.cam.R = upright
	p.cam.T = upright.Apply(Vec3{at.X, at.Y, away}).Mul(-1)
	return p
}

// farther is the photo from as far as one comfortably stands, zoomed in as
// much; ok is false when it was taken from there.
func (p staged) farther() (far staged, ok bool) {
	eye := p.cam.Eye()
	by := farEnough / eye.Norm()
	if by <= 1 {
		return p, false
	}
	p.cam.Fx, p.cam.Fy = p.cam.Fx*by, p.cam.Fy*by
	p.a.Lens.Fx, p.a.Lens.Fy = p.a.Lens.Fx*by, p.a.Lens.Fy*by
	p.cam.T = p.cam.R.Apply(eye.Mul(by)).Mul(-1)
	return p, true
}

// finer is the photo with twice as many pixels a millimetre.
func (p staged) finer() staged {
	larger := func(l Lens) Lens {
		l.Width, l.Height = int(twice)*l.Width, int(twice)*l.Height
		l.Fx, l.Fy, l.Cx, l.Cy = l.Fx*twice, l.Fy*twice, l.Cx*twice, l.Cy*twice
		return l
	}
	p.cam.Lens, p.a.Lens = larger(p.cam.Lens), larger(p.a.Lens)
	p.a.CentreU *= twice
	return p
}

// calmer is the photo with smaller errors of its edges: the place of an edge in
// white noise is as sure as the root of its spread is small (J. Canny, IEEE
// PAMI 8 (1986) 679: localisation goes with the filter's width, which an edge's spread sets).
func (p staged) calmer(by float64) staged {
	p.calm *= by
	return p
}

// unseen is the share of the squares' edges that was not traced.
func (p staged) unseen() float64 {
	empty, all := 0, 0
	for _, q := range p.squares {
		for _, seen := range q.seen() {
			if all++; !seen {
				empty++
			}
		}
	}
	return float64(empty) / float64(all)
}

// seen tells which stretches of a square's eight edges were traced.
func (q stagedSquare) seen() []bool {
	out := make([]bool, 8*bins)
	for _, s := range q.points {
		out[q.bin(s)] = true
	}
	return out
}

func (q stagedSquare) bin(s stagedPoint) int {
	half := q.half(s.side, s.inner)
	k := int((s.along + half) / (2 * half) * bins)
	edge := 2 * s.side
	if s.inner && !q.Rectangle {
		edge++
	}
	return edge*bins + min(max(k, 0), bins-1)
}

// half is half of the part of an edge that is traced, clear of the corners, mm.
func (q stagedSquare) half(side int, inner bool) float64 {
	cells := SquareGrid/2 - 0.6
	if inner {
		cells--
	}
	return cells * q.Size[side%2] / SquareGrid
}

// uncovered is the photo with all of the edges seen, as well as the rest of them.
func (p staged) uncovered() staged {
	r := rand.New(rand.NewPCG(1, 2))
	squares := slices.Clone(p.squares)
	for i, q := range squares {
		each := max(1, len(q.points)/(8*bins))
		if seen := q.seen(); len(q.points) > 0 {
			all := slices.Clone(q.points)
			for k, ok := range seen {
				for range each {
					if ok {
						continue
					}
					side, inner := k/bins/2, k/bins%2 == 1
					along := (float64(k%bins)+r.Float64())/bins*2 - 1
					off := q.points[r.IntN(len(q.points))].off
					all = append(all, stagedPoint{side, inner, along * q.half(side, inner), off})
				}
			}
			squares[i].points = inOrder(all)
		}
	}
	p.squares = squares
	return p
}

// inOrder sorts points as an edge is traced: neighbours next to one another.
func inOrder(all []stagedPoint) []stagedPoint {
	slices.SortStableFunc(all, func(a, b stagedPoint) int {
		ka, kb := 2*a.side, 2*b.side
		if a.inner {
			ka++
		}
		if b.inner {
			kb++
		}
		switch {
		case ka != kb:
			return ka - kb
		case a.along < b.along:
			return -1
		case a.along > b.along:
			return 1
		}
		return 0
	})
	return all
}

// flattened is the photo with the square's edges in line but for what differs
// from point to point; wave is by how much they were not, mm.
func (p staged) flattened() (flat staged, wave float64) {
	flat = p
	flat.squares = slices.Clone(p.squares)
	sum, n := 0.0, 0.0
	for i, q := range p.squares {
		mean, count := make([]float64, 8*waveParts), make([]float64, 8*waveParts)
		part := func(s stagedPoint) int { return q.bin(s) * waveParts / bins }
		for _, s := range q.points {
			mean[part(s)] += s.off
			count[part(s)]++
		}
		points := slices.Clone(q.points)
		for k, s := range points {
			j := part(s)
			points[k].off = s.off - mean[j]/count[j]
		}
		flat.squares[i].points = points
		for j := range mean {
			if count[j] > 0 {
				v := mean[j] / count[j] / p.cam.PxPerMM(q.Centre, 0)
				sum += v * v
				n++
			}
		}
	}
	return flat, math.Sqrt(sum / math.Max(1, n))
}

// hub is the middle of the circles, and how far they reach from it.
func (p staged) hub() (at Point, reach float64) {
	for _, c := range p.circles {
		at = at.Add(c.Centre.Mul(1 / float64(len(p.circles))))
	}
	for _, c := range p.circles {
		reach = math.Max(reach, c.Centre.Dist(at)+c.R)
	}
	return at, reach
}

// apart is how far the nearest square's middle is from the circles' middle, mm.
func (p staged) apart() float64 {
	at, _ := p.hub()
	d := math.Inf(1)
	for _, q := range p.squares {
		d = math.Min(d, q.Centre.Dist(at))
	}
	return d
}

// nearer is the photo with its one square moved as near to the circles as its
// paper lets it; ok is false when it is there already, or one of several.
func (p staged) nearer() (staged, bool) {
	at, reach := p.hub()
	if len(p.squares) != 1 {
		return p, false
	}
	q := p.squares[0]
	paper := q.Size[0] * (0.5 + SquareMargin/SquareGrid)
	d := q.Centre.Sub(at)
	want := reach + paper + clearance
	if d.Norm() <= want {
		return p, false
	}
	q.Centre = at.Add(d.Mul(want / d.Norm()))
	// The frame's origin is the square's: move the rest instead.
	by := q.Centre
	q.Centre = Point{}
	p.squares = []stagedSquare{q}
	circles := slices.Clone(p.circles)
	for i := range circles {
		circles[i].Centre = circles[i].Centre.Sub(by)
	}
	p.circles = circles
	p.cam.T = p.cam.T.Add(p.cam.R.Apply(Vec3{by.X, by.Y, 0}))
	return p, true
}
