package vision

import (
	"math"

	"trimscribe/calib"
)

// EdgeSearch says where TraceEdges looks, and what it leaves out. All of it is
// in the plane z = 0, mm.
type EdgeSearch struct {
	Centre calib.Point
	Radius float64
	Known  []calib.Circle // circles found on the panel: what lies in them is left out, what lies round them is the panel
	Papers []Paper        // what lies on it
}

// An Edge is a line along which the photo's brightness steps.
type Edge struct {
	Points []calib.Point // sub-pixel points, px, in order
	Closed bool          // the last leads to the first
}

// edgeScale is the finest scale, px per mm, at which edges are looked for.
// They are measured in the photo itself, so more would only cost time.
const edgeScale = 10.0

// edgeMargin is how far beyond the disc is looked too, mm, to see what is
// whole there.
const edgeMargin = 10.0

// TraceEdges returns the outlines that the photo shows on the panel within a
// disc: of ribs, slots, foam, the panel itself. It takes an edge for one when it
// stands out from the grain round it, has the panel's own face on one side at
// least, is nearly as sharp as the squares' print, and goes on for some
// millimetres. A shadow's sharp edge is taken for one as well.
func TraceEdges(p *Photo, cam calib.Camera, s EdgeSearch) []Edge {
	view := flattenRegion(p, cam, s.region(p, cam), math.Min(edgeScale, cam.PxPerMM(s.Centre, 0)))
	if view.w < 16 || view.h < 16 {
		return nil
	}
	e := findEdgePoints(view)
	chains := e.chains()
	zones := findZones(p, cam, view, s, chains)
	sharp := printedBlur(p, cam, s.Papers)
	var seen []chain
	for _, c := range chains {
		onPanel := zones.besidePanel(p, cam, c)
		for _, run := range c.runs(func(i int) bool {
			q := c.points[i]
			return onPanel[i] && q.Dist(s.Centre) < s.Radius && zones.open(q) && p.inside(cam.Project(calib.Vec3{X: q.X, Y: q.Y}), 4)
		}) {
			seen = append(seen, refineEdge(p, cam, run, sharp)...)
		}
	}
	var out []Edge
	for _, c := range joinChains(seen) {
		if length(c.points) >= leastRun {
			out = append(out, Edge{Points: project(cam, c.points, 0), Closed: c.closed})
		}
	}
	return out
}

// region is what has to be looked at: the disc, and the sheets for the sake of
// telling paper from panel.
func (s EdgeSearch) region(p *Photo, cam calib.Camera) calib.Rect {
	half := calib.Point{X: s.Radius + edgeMargin, Y: s.Radius + edgeMargin}
	r := calib.Rect{Min: s.Centre.Sub(half), Max: s.Centre.Add(half)}
	for _, paper := range s.Papers {
		for _, c := range paper.corners(paper.wider(1)) {
			r.Min = calib.Point{X: math.Min(r.Min.X, c.X-2), Y: math.Min(r.Min.Y, c.Y-2)}
			r.Max = calib.Point{X: math.Max(r.Max.X, c.X+2), Y: math.Max(r.Max.Y, c.Y+2)}
		}
	}
	seen := visible(p, cam, math.Inf(1))
	r.Min = calib.Point{X: math.Max(r.Min.X, seen.Min.X), Y: math.Max(r.Min.Y, seen.Min.Y)}
	r.Max = calib.Point{X: math.Min(r.Max.X, seen.Max.X), Y: math.Min(r.Max.Y, seen.Max.Y)}
	return r
}
