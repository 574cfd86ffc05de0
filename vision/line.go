package vision

import (
	"math"
	"slices"

	"trimscribe/calib"
)

// A line is the points q with normal.Dot(q) = offset.
type line struct {
	normal calib.Point
	offset float64
}

func lineThrough(a, b calib.Point) line {
	d := b.Sub(a)
	n := calib.Point{X: -d.Y, Y: d.X}
	n = n.Mul(1 / n.Norm())
	return line{n, n.Dot(a)}
}

func (l line) crossing(m line) (calib.Point, bool) {
	det := l.normal.X*m.normal.Y - l.normal.Y*m.normal.X
	if math.Abs(det) < 1e-6 {
		return calib.Point{}, false
	}
	return calib.Point{
		X: (l.offset*m.normal.Y - m.offset*l.normal.Y) / det,
		Y: (m.offset*l.normal.X - l.offset*m.normal.X) / det,
	}, true
}

func meanLine(a, b line) line {
	if a.normal.Dot(b.normal) < 0 {
		b = line{b.normal.Mul(-1), -b.offset}
	}
	n := a.normal.Add(b.normal)
	k := n.Norm()
	return line{n.Mul(1 / k), (a.offset + b.offset) / k}
}

// fitLine fits a line to the points of one edge by re-weighted total least
// squares.
func fitLine(points []calib.EdgePoint, side int, inner bool) (line, bool) {
	var pts []calib.Point
	for _, e := range points {
		if e.Side == side && e.Inner == inner {
			pts = append(pts, e.Px)
		}
	}
	if len(pts) < 10 {
		return line{}, false
	}
	w := make([]float64, len(pts))
	for i := range w {
		w[i] = 1
	}
	var l line
	residual := make([]float64, len(pts))
	for range 10 {
		l = weightedLine(pts, w)
		for i, q := range pts {
			residual[i] = math.Abs(l.normal.Dot(q) - l.offset)
		}
		sorted := slices.Clone(residual)
		slices.Sort(sorted)
		limit := 3 * math.Max(0.05, 1.4826*sorted[len(sorted)/2])
		for i, r := range residual {
			u := r / limit
			w[i] = 1 / (1 + u*u*u*u)
		}
	}
	return l, true
}

func weightedLine(pts []calib.Point, w []float64) line {
	var sum float64
	var mean calib.Point
	for i, q := range pts {
		mean = mean.Add(q.Mul(w[i]))
		sum += w[i]
	}
	mean = mean.Mul(1 / sum)
	var xx, xy, yy float64
	for i, q := range pts {
		d := q.Sub(mean)
		xx += w[i] * d.X * d.X
		xy += w[i] * d.X * d.Y
		yy += w[i] * d.Y * d.Y
	}
	angle := 0.5 * math.Atan2(2*xy, xx-yy)
	n := calib.Point{X: -math.Sin(angle), Y: math.Cos(angle)}
	return line{n, n.Dot(mean)}
}
