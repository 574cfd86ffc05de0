package vision

import (
	"fmt"
	"math"
	"slices"

	"trimscribe/calib"
)

// TraceRectangle finds the edges of a flat rectangle to a fraction of a pixel,
// from its corners as a person pointed at them: roughly, in the order of
// calib.SquareEdges.Corners. The lens says how straight edges bow in the photo.
// Each edge may be light on dark or dark on light, or change over on its way, as
// along the cells of a chessboard. Its errors are predicates of the photo.
func TraceRectangle(p *Photo, corners [4]calib.Point, lens calib.Lens) (calib.SquareEdges, error) {
	for _, c := range corners {
		if !p.inside(c, 1) {
			return calib.SquareEdges{}, fmt.Errorf("has no pixel %.0f,%.0f: it is %d x %d pixels, and the rectangle's corners must lie inside it", c.X, c.Y, p.Width, p.Height)
		}
	}
	o := outline{lens: lens}
	short := math.Inf(1)
	for i, c := range corners {
		o.rays[i] = lens.Ray(c)
		short = math.Min(short, c.Dist(corners[(i+1)%4]))
	}
	if short < leastSide {
		return calib.SquareEdges{}, fmt.Errorf("shows the rectangle too small: its sides must be %d pixels long at least", leastSide)
	}
	reach := math.Max(5, roughly*short)
	var edges []calib.EdgePoint
	for pass := range 3 {
		edges = edges[:0]
		var sides [4]line
		for side := range 4 {
			scan := o.scan(p, side, reach, short)
			if pass == 0 {
				scan.lean()
			}
			points := scan.points(side)
			l, ok := rayLine(points, lens)
			if !ok {
				a, b := corners[side], corners[(side+1)%4]
				return calib.SquareEdges{}, fmt.Errorf("shows no straight edge from %.0f,%.0f to %.0f,%.0f: point at the rectangle's corners to within %.0f pixels", a.X, a.Y, b.X, b.Y, math.Max(5, roughly*short))
			}
			sides[side] = l
			edges = append(edges, points...)
		}
		for i := range o.rays {
			at, ok := sides[(i+3)%4].crossing(sides[i])
			if !ok || lens.Pixel(at).Dist(corners[i]) > 3*math.Max(5, roughly*short) {
				return calib.SquareEdges{}, fmt.Errorf("shows no rectangle's corner near %.0f,%.0f: point at the corners more closely", corners[i].X, corners[i].Y)
			}
			o.rays[i] = at
		}
		reach = math.Max(2.5, reach/8)
	}
	out := calib.SquareEdges{Rectangle: true, Edges: slices.Clone(edges)}
	for i, r := range o.rays {
		out.Corners[i] = lens.Pixel(r)
	}
	return out, nil
}

const (
	leastSide = 20   // px, of a rectangle's side
	roughly   = 0.05 // how far off a corner may be pointed at, as a share of the shorter side
	// roundShare is how much of the shorter side is left out at each corner,
	// twice the least: a bank card's corners are round, with a radius of 2.88 to
	// 3.48 mm (ISO/IEC 7810, ID-1; memory), which is 0.064 of its shorter side.
	roundShare = 0.09
	// cornerClear is the same in px, for what blur and JPEG do to a corner.
	cornerClear = 4
)

// An outline is a rectangle's four sides, straight for an ideal pinhole.
type outline struct {
	lens calib.Lens
	rays [4]calib.Point // the corners, undistorted, normalised
}

// A scan is the photo's brightness steps across one side, at places along it.
type scan struct {
	at, across []calib.Point // px; across points out of the rectangle
	steps      [][]float64   // response of the step filter at each place, spaced by scanSpacing
	offset     []float64     // where the edge is looked for, px from at
	reach      float64       // how far to either side of offset
	margin     int           // of steps
}

const (
	scanSpacing = 0.5  // px
	beside      = 12.0 // px to either side at least, most of which is no edge
)

// scan looks across a side; the shorter side's length settles how coarsely.
func (o outline) scan(p *Photo, side int, reach, short float64) scan {
	a, b := o.rays[side], o.rays[(side+1)%4]
	length := o.lens.Pixel(a).Dist(o.lens.Pixel(b))
	clear := math.Max(roundShare*short, cornerClear) / length
	n := int(math.Min(edgeSamples, length))
	f := newStepFilter(math.Max(1, math.Min(2, short/200)), scanSpacing)
	s := scan{reach: reach, margin: f.margin()}
	// What lies beyond reach tells what is usual beside the edge.
	half := int(math.Ceil(math.Max(reach, beside)/scanSpacing)) + f.margin() + 1
	for i := range n {
		t := clear + (1-2*clear)*(float64(i)+0.5)/float64(n)
		here := o.lens.Pixel(a.Add(b.Sub(a).Mul(t)))
		d := o.lens.Pixel(a.Add(b.Sub(a).Mul(t + 1e-3))).Sub(here)
		out := calib.Point{X: d.Y, Y: -d.X}.Mul(1 / d.Norm()) // the corners run clockwise
		if !p.inside(here.Add(out.Mul(float64(half)*scanSpacing)), 2) || !p.inside(here.Sub(out.Mul(float64(half)*scanSpacing)), 2) {
			continue
		}
		profile := make([]float64, 2*half+1)
		for k := range profile {
			q := here.Add(out.Mul(float64(k-half) * scanSpacing))
			for w := -1.0; w <= 1; w++ { // three lines a pixel apart: less noise
				profile[k] += p.At(q.Add(calib.Point{X: -out.Y, Y: out.X}.Mul(w))) / 3
			}
		}
		s.at, s.across = append(s.at, here), append(s.across, out)
		s.steps = append(s.steps, f.respond(profile))
		s.offset = append(s.offset, 0)
	}
	return s
}

// step is the response at an offset of place i.
func (s *scan) step(i int, offset float64) float64 {
	k := len(s.steps[i])/2 + int(math.Round(offset/scanSpacing))
	return s.steps[i][min(max(k, 0), len(s.steps[i])-1)]
}

// lean finds the straight line across the places that has the most edge on
// it: of all lines that leave the rough side by up to reach at either end. A
// place counts for no more than what is usual for the side's best, so that a
// few strong steps do not outvote a long faint edge.
func (s *scan) lean() {
	n := len(s.at)
	if n < 2 {
		return
	}
	best := make([]float64, n)
	for i := range n {
		for o := -s.reach; o <= s.reach; o += scanSpacing {
			best[i] = math.Max(best[i], math.Abs(s.step(i, o)))
		}
	}
	usual := slices.Clone(best)
	slices.Sort(usual)
	most := usual[n/2]
	stride := max(1, n/60)
	var from, to, score float64
	for a := -s.reach; a <= s.reach; a += 1 {
		for b := -s.reach; b <= s.reach; b += 1 {
			sum := 0.0
			for i := 0; i < n; i += stride {
				sum += math.Min(most, math.Abs(s.step(i, a+(b-a)*float64(i)/float64(n-1))))
			}
			if sum > score {
				from, to, score = a, b, sum
			}
		}
	}
	for i := range s.offset {
		s.offset[i] = from + (to-from)*float64(i)/float64(n-1)
	}
	s.reach = 2.5
}

// points are the edge's points: at each place the steepest step near its
// offset, when it stands out of the noise.
func (s *scan) points(side int) []calib.EdgePoint {
	var all []float64
	for _, r := range s.steps {
		for _, v := range r[s.margin : len(r)-s.margin] {
			all = append(all, math.Abs(v))
		}
	}
	if len(all) == 0 {
		return nil
	}
	noise := lowerQuartile(all)
	var out []calib.EdgePoint
	for i, r := range s.steps {
		mid := len(r)/2 + int(math.Round(s.offset[i]/scanSpacing))
		k := int(math.Round(s.reach / scanSpacing))
		lo, hi := max(s.margin, mid-k), min(len(r)-1-s.margin, mid+k)
		best := lo
		for j := lo; j <= hi; j++ {
			if math.Abs(r[j]) > math.Abs(r[best]) {
				best = j
			}
		}
		if best <= lo || best >= hi || math.Abs(r[best]) < faint*noise {
			continue
		}
		offset := (peak(r, best) - float64(len(r)/2)) * scanSpacing
		out = append(out, calib.EdgePoint{
			Px: s.at[i].Add(s.across[i].Mul(offset)), Side: side,
			Inner: r[best] < 0, // darker further out
		})
	}
	return out
}

func lowerQuartile(v []float64) float64 {
	slices.Sort(v)
	return v[len(v)/4]
}

const (
	leastSeen = 12 // places of a side that must show its edge
	// faint is how far a step must stand out of the lower quartile of what is
	// beside it; of normal noise that is four standard deviations.
	faint = 12
)

// rayLine fits a line to edge points as an ideal pinhole would see them.
func rayLine(points []calib.EdgePoint, lens calib.Lens) (line, bool) {
	if len(points) < leastSeen {
		return line{}, false
	}
	rays := make([]calib.EdgePoint, len(points))
	for i, e := range points {
		rays[i] = e
		rays[i].Px = lens.Ray(e.Px).Mul(lens.Fx) // in pixels, which the fit's limits are for
	}
	// Both of an edge's polarities lie on one line.
	for i := range rays {
		rays[i].Inner = false
	}
	l, ok := fitLine(rays, points[0].Side, false)
	l.offset /= lens.Fx
	return l, ok
}
