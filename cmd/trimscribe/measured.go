package main

import (
	"errors"
	"math"

	"trimscribe/calib"
	"trimscribe/vision"
)

// measuredRims is all circles of a photo, with what they were measured from.
type measuredRims struct {
	*calib.Measured
	traced  []calib.Traced
	heights []calib.HeightFound
}

// add adds a circle in the plane at its height; h is what the user told of it.
func (m *measuredRims) add(t calib.Traced, h height, reading int) { m.addSunk(t, h, reading, 0, 0) }

// addSunk adds one that lies so deep below the face that the user told the height of.
func (m *measuredRims) addSunk(t calib.Traced, h height, reading int, depth, depthU float64) {
	found := calib.HeightFound{MM: t.Z + depth, Source: calib.HeightAssumed}
	if h.given {
		t.HeightU, t.HeightReading = standard(h.bound), reading
		found.U95, found.Source = h.bound, calib.HeightGiven
	}
	if depth != 0 {
		t.HeightU, t.HeightReading = math.Hypot(t.HeightU, depthU), reading
	}
	m.traced, m.heights = append(m.traced, t), append(m.heights, found)
}

// measureRims measures all that was found in a photo, each at the height that
// the user told of its own or of its kind.
func (s *shot) measureRims(f *photoFlags, own map[int]height) (m measuredRims, err error) {
	cam := s.solution.Camera
	edges := vision.EdgesOf(cam, s.spread, s.rims)
	for i, r := range s.rims {
		h, reading := f.heightOf(r.Circle)
		if o, ok := own[i]; ok {
			h, reading = o, 0
		}
		m.addSunk(tracedOf(r, cam, edges), h, reading, r.Sunk, r.SunkU)
	}
	s.shapes.addTo(&m, cam, f)
	if m.Measured, err = calib.Measure(s.solution, m.traced); err != nil {
		return m, errors.New("shows no circle that can be measured")
	}
	return m, nil
}

// tracedOf hands a rim to the measuring: its points, or the circle that its
// profiles gave in a photo with such edges.
func tracedOf(r vision.Rim, cam calib.Camera, edges vision.Edges) calib.Traced {
	if r.Fitted {
		cov := r.Cov
		for i, row := range edges.Cov(r) {
			for j, v := range row {
				cov[i][j] += v
			}
		}
		cov[0][0] += r.MayLie.X * r.MayLie.X
		cov[0][1] += r.MayLie.X * r.MayLie.Y
		cov[1][0] += r.MayLie.X * r.MayLie.Y
		cov[1][1] += r.MayLie.Y * r.MayLie.Y
		return calib.Traced{Points: cam.Around(r.Circle, r.Z), Z: r.Z, Fitted: &cov}
	}
	return calib.Traced{Points: r.Points, Z: r.Z, TraceU: math.Hypot(r.TraceU(cam), r.MayLie.Norm())}
}

// chosen is what the choice was measured from.
func (m *measuredRims) chosen(c calib.Choice) []calib.Traced {
	var out []calib.Traced
	for _, i := range c.Chosen() {
		out = append(out, m.traced[i])
	}
	return out
}
