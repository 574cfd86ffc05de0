package vision

// mostStretches is how many stretches a ray may have: one a level, or a fillet's
// facets in place of the first band.
const mostStretches = mostLevels + facets - 1

// A stretch is a piece of a ray that has one luminance: so much of the face's, and
// so much of a level of its own.
type stretch struct {
	edge      int
	facet     float64 // it ends at this edge, or so far from it to the next
	end       float64 // which is here, in pixels from the first sample; the last has none
	face, own float64
	level     int     // its own, counted inwards; 0 is the face's
	turn      float64 // by how much face rises with how light the lip is
}

// A rayModel is what a ray should show, from the face inwards.
type rayModel struct {
	stretches [mostStretches]stretch
	n, levels int // how many of either
	lip       lipBand
	soft      softStep
}

// modelRay cuts a ray at its edges, which are in pixels from the first sample, the
// mouth's first. The first band may be a lip's, whose light follows from the
// face's; then it has no level, or if it is to be found, the first.
func modelRay(edges []float64, lip lipBand, soft softStep) (m rayModel) {
	m.lip, m.soft, m.levels = lip, soft, 1
	m.add(edges, stretch{face: 1})
	bands := 1
	if lip.lip != sharp {
		bands = 2
		if lip.free {
			m.levels = 2
		}
		for _, f := range lipFacets[lip.lip] {
			m.add(edges, lip.stretch(f))
		}
	}
	for k := bands; k <= len(edges); k++ {
		m.add(edges, stretch{edge: k, own: 1, level: m.levels})
		m.levels++
	}
	return m
}

func (m *rayModel) add(edges []float64, s stretch) {
	if s.edge < len(edges) {
		s.end = edges[s.edge]
	}
	if s.facet > 0 {
		s.end += s.facet * (edges[s.edge+1] - s.end)
	}
	m.stretches[m.n] = s
	m.n++
}
