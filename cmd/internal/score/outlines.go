package score

import (
	"cmp"
	"math"
	"slices"

	"trimscribe/calib"
)

// Outlines is the edges of a scene's solids, and the lamps that cast shadows: what
// its traced edges are weighed against. Lengths are in mm, in the panel's frame.
type Outlines struct {
	Outlines []Outline    `json:"outlines"`
	Lamps    [][3]float64 `json:"lamps_mm"`
}

// Outline is a closed flat edge: a circle's (Diameter above 0), or a polygon's.
type Outline struct {
	X        float64      `json:"x_mm"`
	Y        float64      `json:"y_mm"`
	Z        float64      `json:"z_mm"`
	Diameter float64      `json:"diameter_mm"`
	Points   [][2]float64 `json:"points_mm"`

	// A top hides what lies lower and inside of it, but for what shows in its round
	// opening: a collar's has one.
	Top     bool    `json:"top"`
	Opening float64 `json:"opening_mm"`
}

// step is how close places on outlines and traces are weighed, mm.
const step = 0.1

// places are points along the outline, step by step; the last leads to the first.
func (o Outline) places() []calib.Point {
	if o.Diameter > 0 {
		return around(calib.Point{X: o.X, Y: o.Y}, o.Diameter)
	}
	corners := make([]calib.Point, len(o.Points))
	for i, p := range o.Points {
		corners[i] = calib.Point{X: p[0], Y: p[1]}
	}
	return along(corners, true)
}

func around(centre calib.Point, diameter float64) []calib.Point {
	ring := make([]calib.Point, int(math.Ceil(math.Pi*diameter/step)))
	for i := range ring {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(ring)))
		ring[i] = centre.Add(calib.Point{X: cos, Y: sin}.Mul(diameter / 2))
	}
	return ring
}

// along divides a line into steps.
func along(corners []calib.Point, closed bool) (out []calib.Point) {
	for i, p := range corners {
		if i == len(corners)-1 && !closed {
			return append(out, p)
		}
		to := corners[(i+1)%len(corners)].Sub(p)
		n := math.Ceil(to.Norm() / step)
		for k := range int(n) {
			out = append(out, p.Add(to.Mul(float64(k)/n)))
		}
	}
	return out
}

// seenAt is where points at the height z are seen in the plane z = 0.
func seenAt(cam calib.Camera, points []calib.Point, z float64) []calib.Point {
	out := make([]calib.Point, len(points))
	for i, p := range points {
		out[i] = cam.ToPlane(cam.Project(calib.Vec3{X: p.X, Y: p.Y, Z: z}), 0)
	}
	return out
}

// piece is a short straight part of a line.
type piece struct{ a, b calib.Point }

// pieces joins each place with the next.
func pieces(places []calib.Point, closed bool) (out []piece) {
	for i, p := range places {
		if i+1 < len(places) || closed {
			out = append(out, piece{p, places[(i+1)%len(places)]})
		}
	}
	return out
}

func (s piece) distance(q calib.Point) float64 {
	d := s.b.Sub(s.a)
	t := 0.0
	if n := d.Dot(d); n > 0 {
		t = min(max(q.Sub(s.a).Dot(d)/n, 0), 1)
	}
	return q.Dist(s.a.Add(d.Mul(t)))
}

// visible returns the outlines as the camera sees them in the plane z = 0,
// without what a higher solid hides.
func (s Outlines) visible(cam calib.Camera) (out []piece) {
	type cover struct {
		z             float64
		edge, opening []calib.Point
	}
	var covers []cover
	for _, o := range s.Outlines {
		if o.Top {
			c := cover{z: o.Z, edge: seenAt(cam, o.places(), o.Z)}
			if o.Opening > 0 {
				c.opening = seenAt(cam, around(calib.Point{X: o.X, Y: o.Y}, o.Opening), o.Z)
			}
			covers = append(covers, c)
		}
	}
	for _, o := range s.Outlines {
		for _, p := range pieces(seenAt(cam, o.places(), o.Z), true) {
			if !slices.ContainsFunc(covers, func(c cover) bool {
				return c.z > o.Z && inside(p.a, c.edge) && !inside(p.a, c.opening)
			}) {
				out = append(out, p)
			}
		}
	}
	return out
}

// shadows returns the edges of the shadows that the solids cast on the face, as
// lines in the plane z = 0: of an upright solid, the hull of its foot and of its top
// as the lamp throws it.
func (s Outlines) shadows() (out []piece) {
	for _, l := range s.Lamps {
		lamp := calib.Vec3{X: l[0], Y: l[1], Z: l[2]}
		for _, o := range s.Outlines {
			if o.Z < step {
				continue
			}
			top := o.places()
			thrown := make([]calib.Point, len(top))
			for i, p := range top {
				k := o.Z / (lamp.Z - o.Z)
				thrown[i] = calib.Point{X: p.X + k*(p.X-lamp.X), Y: p.Y + k*(p.Y-lamp.Y)}
			}
			if o.Top && o.Opening == 0 {
				thrown = along(hull(append(thrown, top...)), true)
			}
			out = append(out, pieces(thrown, true)...)
		}
	}
	return out
}

// inside tells whether a point lies in a polygon: a ray from it crosses the
// sides an odd number of times.
func inside(q calib.Point, polygon []calib.Point) (in bool) {
	for i, a := range polygon {
		b := polygon[(i+1)%len(polygon)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(q.Y-a.Y)/(b.Y-a.Y)*(b.X-a.X) {
			in = !in
		}
	}
	return in
}

// hull returns the convex hull, anticlockwise (A. Andrew, Information Processing
// Letters 9 (1979) 216).
func hull(points []calib.Point) []calib.Point {
	slices.SortFunc(points, func(a, b calib.Point) int { return cmp.Or(cmp.Compare(a.X, b.X), cmp.Compare(a.Y, b.Y)) })
	var out []calib.Point
	for range 2 {
		start := len(out)
		for _, p := range points {
			for len(out) >= start+2 {
				a, b := out[len(out)-2], out[len(out)-1]
				if (b.X-a.X)*(p.Y-a.Y)-(b.Y-a.Y)*(p.X-a.X) > 0 {
					break
				}
				out = out[:len(out)-1]
			}
			out = append(out, p)
		}
		out = out[:len(out)-1]
		slices.Reverse(points)
	}
	return out
}
