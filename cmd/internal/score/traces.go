package score

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// Traces is how a survey's traced edges stand against a scene's outlines.
type Traces struct {
	Traced      float64 // mm of traces
	Median, P95 float64 // how far what lies on an outline is off it, mm
	On, Shadow  float64 // shares of what was traced that lie on an outline, else on a shadow's edge,
	Neither     float64 // else on nothing that is there
	Outlines    float64 // mm of outlines that could have been traced
	Covered     float64 // the share of them that was
}

const (
	onOutline = 0.3 // how far off an outline a trace still follows it, mm
	onShadow  = 0.9 // and a shadow's edge, which is soft
	ownCircle = 1.0 // how far beyond a chosen circle's rim its edges are left out of traces, mm
)

// WeighTraces compares what was traced within a radius of the tweeter's centre with
// what the true camera sees of the outlines there.
func WeighTraces(t Truth, o Outlines, s *calib.Survey, radius float64) Traces {
	cam := t.Camera.Calib()
	outlines := o.visible(cam)
	near := newGrid(outlines)
	shade := newGrid(o.shadows())
	var w Traces
	var off []float64
	var traced []piece
	n := 0.0
	for _, line := range s.Traces {
		corners := make([]calib.Point, len(line.Points))
		for i, p := range line.Points {
			corners[i] = calib.Point{X: p[0], Y: p[1]}
		}
		places := along(corners, line.Closed)
		traced = append(traced, pieces(places, line.Closed)...)
		w.Traced += line.Length
		for _, q := range places {
			n++
			switch d := near.distance(q); {
			case d <= onOutline:
				off = append(off, d)
			case shade.distance(q) <= onShadow:
				w.Shadow++
			default:
				w.Neither++
			}
		}
	}
	if n > 0 {
		w.On, w.Shadow, w.Neither = float64(len(off))/n, w.Shadow/n, w.Neither/n
	}
	if len(off) > 0 {
		slices.Sort(off)
		w.Median, w.P95 = off[len(off)/2], off[len(off)*95/100]
	}
	found := newGrid(traced)
	for _, p := range outlines {
		if length := p.a.Dist(p.b); t.traceable(p.a, cam, s, radius) {
			w.Outlines += length
			if found.distance(p.a) <= onOutline {
				w.Covered += length
			}
		}
	}
	if w.Outlines > 0 {
		w.Covered /= w.Outlines
	}
	return w
}

// traceable tells whether an edge at a place in the plane z = 0 is to be traced:
// in the photo and within the radius, neither under a square's paper nor on a circle that was chosen.
func (t Truth) traceable(q calib.Point, cam calib.Camera, s *calib.Survey, radius float64) bool {
	px := cam.Project(calib.Vec3{X: q.X, Y: q.Y})
	if px.X < 0 || px.Y < 0 || px.X > float64(cam.Width-1) || px.Y > float64(cam.Height-1) {
		return false
	}
	if s.Tweeter == nil || q.Dist(calib.Point{X: s.Tweeter.X, Y: s.Tweeter.Y}) > radius {
		return false
	}
	for _, p := range append([]Square{t.Square}, t.Squares...) {
		const k = 0.5 + calib.SquareMargin/calib.SquareGrid
		sin, cos := math.Sincos(p.Turn * math.Pi / 180)
		x, y := q.X-p.X, q.Y-p.Y
		if math.Abs(x*cos+y*sin) < k*p.Size[0] && math.Abs(y*cos-x*sin) < k*p.Size[1] {
			return false
		}
	}
	for _, f := range s.Features {
		centre := seenAt(cam, []calib.Point{{X: f.X, Y: f.Y}}, f.Z)[0]
		if q.Dist(centre) < f.Diameter/2+ownCircle {
			return false
		}
	}
	return true
}

// grid finds the nearest of many pieces quickly.
type grid map[[2]int][]piece

func newGrid(pieces []piece) grid {
	g := grid{}
	for _, p := range pieces {
		c := cell(p.a)
		g[c] = append(g[c], p)
	}
	return g
}

// cell is the square millimetre a point lies in.
func cell(p calib.Point) [2]int { return [2]int{int(math.Floor(p.X)), int(math.Floor(p.Y))} }

// distance is how far the nearest piece is from q, when it is less than about 1 mm.
func (g grid) distance(q calib.Point) float64 {
	least := math.Inf(1)
	c := cell(q)
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, p := range g[[2]int{c[0] + dx, c[1] + dy}] {
				least = min(least, p.distance(q))
			}
		}
	}
	return least
}
