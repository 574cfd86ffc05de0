package calib

import (
	"fmt"
	"math"
)

type bundleView struct {
	full  *Solution
	model poseModel // with normal points for edges
	sigma []float64 // of each normal point, px
	index []int     // where each of the model's parameters is in the vector
	at    int       // its first residual
}

func (m *bundleModel) addView(v int, view View, where map[string]int) {
	s := view.Solution
	thin, sigma := s.normalPoints()
	bv := bundleView{full: s, model: thin, sigma: sigma, at: m.edges}
	_, steps := s.model.start()
	lens := view.Lens
	if lens == "" {
		lens = fmt.Sprint(v)
	}
	for j, x := range s.x {
		name := s.model.sharedName(j, lens)
		if name == "" {
			name = fmt.Sprintf("view %d parameter %d", v, j)
		}
		i, known := where[name]
		if !known {
			i = len(m.x0)
			where[name] = i
			m.x0, m.steps = append(m.x0, x), append(m.steps, steps[j])
			for _, p := range s.model.known {
				if p.param == j {
					p.param = i
					m.known = append(m.known, bundlePrior{p, 0})
				}
			}
		}
		bv.index = append(bv.index, i)
	}
	m.edges += len(sigma)
	m.views = append(m.views, bv)
}

// normalPoints stands the mean of each short stretch of an edge in for its
// points, with its standard deviation, px. Neighbours err together: a mean is
// as good as Solution found it to be.
func (s *Solution) normalPoints() (thin poseModel, sigma []float64) {
	thin = s.model
	thin.squares, thin.aims, thin.points = nil, nil, 0
	k := 0
	for i, q := range s.model.squares {
		square := SquareEdges{Number: q.Number, Corners: q.Corners}
		var aims []aim
		for from := 0; from < len(q.Edges); {
			to := from
			var px, normal Point
			along, n := 0.0, 0.0
			for to < len(q.Edges) && to < from+stretch && q.Edges[to].Side == q.Edges[from].Side && q.Edges[to].Inner == q.Edges[from].Inner {
				if s.weights[k+to] > 0 {
					px = px.Add(q.Edges[to].Px)
					normal = normal.Add(s.model.aims[i][to].normal)
					along += s.model.aims[i][to].along
					n++
				}
				to++
			}
			if n > 0 {
				e := q.Edges[from]
				e.Px = px.Mul(1 / n)
				square.Edges = append(square.Edges, e)
				aims = append(aims, aim{along / n, normal.Mul(1 / normal.Norm())})
				sigma = append(sigma, s.EdgeRMS*math.Sqrt(s.alike/n))
			}
			from = to
		}
		k += len(q.Edges)
		thin.squares, thin.aims = append(thin.squares, square), append(thin.aims, aims)
		thin.points += len(square.Edges)
	}
	return thin, sigma
}

// sharedName names a pose parameter that other views have too: those of the
// lens, the squares' size, how each sheet is bent, and the further squares'
// places. It is empty for a view's own.
//
// The principal point is a view's own even where the lens is not: what keeps a
// phone's picture still moves it from photo to photo.
func (m poseModel) sharedName(j int, lens string) string {
	if j == iFocal || j == iK1 {
		return fmt.Sprintf("lens %s parameter %d", lens, j)
	}
	if j == iSize || j == iSize+1 {
		return fmt.Sprintf("size %d", j)
	}
	for i, s := range m.squares {
		if k := j - m.own(i) - ownBend; k >= 0 && k < ownCount-ownBend {
			return fmt.Sprintf("square %d bend %d", s.Number, k)
		}
		if k := j - m.iPlace(i); i > 0 && k >= 0 && k < 3 {
			return fmt.Sprintf("square %d place %d", s.Number, k)
		}
	}
	return ""
}
