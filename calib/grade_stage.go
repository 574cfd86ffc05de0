package calib

import (
	"math"
	"math/rand/v2"
	"slices"

	"trimscribe/calib/lsq"
)

// A staged photo is what a camera would see of squares and circles that are
// where they were found: made points, to be solved as a photo is.
type staged struct {
	cam     Camera
	a       Assumptions
	squares []stagedSquare
	circles []stagedCircle
	calm    float64 // what the edges' and rims' errors are multiplied by
}

type stagedSquare struct {
	PlacedSquare
	points []stagedPoint
}

// stagedPoint is a point on an edge, and how far off it the photo showed it.
type stagedPoint struct {
	side  int
	inner bool
	along float64 // from the edge's middle, to the right or up, mm
	off   float64 // outward, px
}

type stagedCircle struct {
	Circle
	Traced         // Points and Fitted aside
	cov    Mat3    // of its rim, mm^2
	scale  float64 // px per mm where cov was found
}

const (
	sharp     = 0.8  // px: the spread of an edge in a photo in focus
	bins      = 20   // along an edge, to see which of it was traced
	perEdge   = 100  // points of an edge, at most: enough, for each is the mean of several
	outlier   = 5.0  // robust standard deviations
	waveParts = 8    // stretches of an edge that its waves are told by
	twice     = 2.0  // how much finer a mended photo is
	farEnough = 450. // mm, an arm's length over the panel, from which a phone still fills its picture with it
	clearance = 10.0 // mm between the square's paper and the holes, at least
)

// stage takes a solved photo apart into what was seen and its errors.
func stage(s *Solution, chosen []Traced) staged {
	p := staged{cam: s.Camera, a: s.model.a, calm: 1}
	for i, q := range s.Squares {
		p.squares = append(p.squares, stageSquare(s.Camera, q, s.model.squares[i]))
	}
	for _, t := range chosen {
		fit, err := fitTraced(s.Camera, t)
		if err != nil {
			continue
		}
		c := stagedCircle{Circle: fit.Circle, Traced: t, cov: fit.Cov, scale: s.Camera.PxPerMM(fit.Centre, t.Z)}
		if t.Fitted != nil {
			c.cov = *t.Fitted
		}
		p.circles = append(p.circles, c)
	}
	return p
}

func stageSquare(cam Camera, q PlacedSquare, edges SquareEdges) stagedSquare {
	out := stagedSquare{PlacedSquare: q}
	for side := range 4 {
		for _, inner := range []bool{false, true} {
			var pts []stagedPoint
			var off []float64
			for _, e := range edges.Edges {
				if e.Side != side || e.Inner != inner {
					continue
				}
				at := unplace(cam.ToPlane(e.Px, 0), q.Centre, q.Turn)
				n := outward[side]
				pts = append(pts, stagedPoint{side: side, inner: inner, along: at.X*math.Abs(n.Y) + at.Y*math.Abs(n.X)})
				off = append(off, (at.Dot(n)-edgePlace(e, q.Rectangle, q.Size, 0))*cam.PxPerMM(place(at, q.Centre, q.Turn), 0))
			}
			if len(off) == 0 {
				continue
			}
			middle := median(off) // bloom, which is solved for
			for i := range off {
				off[i] -= middle
			}
			limit := outlier * math.Max(lsq.MAD(off), 0.01)
			for i := range pts {
				pts[i].off = off[i]
			}
			pts = slices.DeleteFunc(pts, func(s stagedPoint) bool { return math.Abs(s.off) > limit })
			out.points = append(out.points, pooled(pts, (len(pts)+perEdge-1)/perEdge)...)
		}
	}
	return out
}

// pooled joins each n neighbours into one: as much information in fewer points.
func pooled(pts []stagedPoint, n int) []stagedPoint {
	var out []stagedPoint
	for i := 0; i < len(pts); i += n {
		few := pts[i:min(i+n, len(pts))]
		mean := few[0]
		for _, s := range few[1:] {
			mean.along += s.along
			mean.off += s.off
		}
		mean.along /= float64(len(few))
		mean.off /= float64(len(few))
		out = append(out, mean)
	}
	return out
}

func median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}

// foot is the point of the model's edge, on the panel.
func (q stagedSquare) foot(s stagedPoint) Point {
	n := outward[s.side]
	depth := q.Size[(s.side+1)%2] / 2
	if s.inner && !q.Rectangle {
		depth -= q.Size[(s.side+1)%2] / SquareGrid
	}
	return place(n.Mul(depth).Add(Point{math.Abs(n.Y), math.Abs(n.X)}.Mul(s.along)), q.Centre, q.Turn)
}

// u95 takes the photo: it solves the made points, measures the made circles,
// and returns the greatest U95 of their distances.
func (p staged) u95() (float64, bool) {
	var squares []SquareEdges
	for _, q := range p.squares {
		squares = append(squares, p.take(q))
	}
	s, err := SolvePose(squares, p.a)
	if err != nil {
		return 0, false
	}
	var circles []Traced
	for _, c := range p.circles {
		t := c.Traced
		t.Points = s.Camera.Around(c.Circle, t.Z)
		k := p.calm * c.scale / p.cam.PxPerMM(c.Centre, t.Z)
		var cov [3][3]float64
		for i := range 3 {
			for j := range 3 {
				cov[i][j] = c.cov[i][j] * k * k
			}
		}
		t.Fitted = &cov
		circles = append(circles, t)
	}
	return leastSure(s, circles)
}

func (p staged) take(q stagedSquare) SquareEdges {
	out := SquareEdges{Number: q.Number, Rectangle: q.Rectangle}
	w, h := q.Size[0]/2, q.Size[1]/2
	for i, c := range [4]Point{{-w, h}, {w, h}, {w, -h}, {-w, -h}} {
		at := place(c, q.Centre, q.Turn)
		out.Corners[i] = p.cam.Project(Vec3{at.X, at.Y, 0})
	}
	for _, s := range q.points {
		at := q.foot(s)
		n := place(outward[s.side], Point{}, q.Turn).Mul(0.05)
		px := p.cam.Project(Vec3{at.X, at.Y, 0})
		off := p.cam.Project(Vec3{at.X + n.X, at.Y + n.Y, 0}).Sub(px)
		out.Edges = append(out.Edges, EdgePoint{Px: px.Add(off.Mul(p.calm * s.off / off.Norm())), Side: s.side, Inner: s.inner})
	}
	return out
}

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
