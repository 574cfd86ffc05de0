package calib

import (
	"math"
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
	Traced         // Points, Fitted and TraceU aside
	cov    Mat3    // of its rim, mm^2
	scale  float64 // px per mm where cov was found
}

const (
	perEdge = 100 // points of an edge, at most: enough, for each is the mean of several
	outlier = 5.0 // robust standard deviations
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
		for i := range c.cov {
			c.cov[i][i] += t.TraceU * t.TraceU
		}
		c.TraceU = 0
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
