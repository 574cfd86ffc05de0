package plate

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"trimscribe/calib"
)

// hole is one of the panel's mounting holes as the plate meets it. Its place
// is from the tweeter's centre.
type hole struct {
	id       string
	at       point
	z        float64
	diameter float64 // in the panel
	u95      float64 // of its place
}

// circle is something round on the panel, from the tweeter's centre.
type circle struct {
	id   string
	kind string
	at   point
	r    float64
	u95  float64
}

// trace is a visible edge of the panel, as points from the tweeter's centre.
type trace struct {
	id string
	at []point
}

// traceStep is how closely a trace is looked at along its length, mm.
const traceStep = 0.5

// readTrace takes a trace with points filled in between its own; false when it
// is no panel's.
func readTrace(t calib.Trace, centre point) (trace, bool) {
	out := trace{id: t.ID}
	for i, xy := range t.Points {
		q := point{X: xy[0], Y: xy[1]}.Sub(centre)
		if !(q.Norm() < farthest) { // also NaN
			return trace{}, false
		}
		if i > 0 {
			last := out.at[len(out.at)-1]
			n := int(q.Sub(last).Norm()/traceStep) + 1
			for k := 1; k < n; k++ {
				out.at = append(out.at, last.Add(q.Sub(last).Mul(float64(k)/float64(n))))
			}
		}
		out.at = append(out.at, q)
	}
	return out, len(out.at) > 0
}

// panel is what the survey tells that the plate has to do with.
type panel struct {
	centre  point // the tweeter's, in the survey's frame
	u95     float64
	holes   []hole
	grille  *circle
	around  []circle // circles not chosen: bosses, collars, stray holes
	traces  []trace
	doubts  []string
	subject string // the photo's name
}

// readPanel takes from a survey what the plate needs. Its errors are sentences
// for the user, without the file's name.
func readPanel(s *calib.Survey, set *Settings) (*panel, error) {
	if s.Tweeter == nil {
		return nil, errors.New("has no tweeter centre: measure a photo that shows the grille, or choose it with --pick")
	}
	p := &panel{doubts: s.Doubts, u95: s.Tweeter.U95}
	p.centre = point{X: s.Tweeter.X + set.TweeterOffset[0], Y: s.Tweeter.Y + set.TweeterOffset[1]}
	if len(s.Photos) > 0 {
		p.subject = s.Photos[0].File
	}
	var known []string
	for _, f := range s.Features {
		at := point{X: f.X, Y: f.Y}.Sub(p.centre)
		if !(at.Norm() < farthest) || !(f.Diameter > 0 && f.Diameter < farthest) || !(math.Abs(f.Z) < farthest) { // also NaN
			return nil, fmt.Errorf("has a circle %s that is no panel's: it lies %.0f mm from the tweeter's centre and is %g mm wide", f.ID, at.Norm(), f.Diameter)
		}
		switch f.Kind {
		case calib.KindGrille:
			p.grille = &circle{f.ID, f.Kind, at, f.Diameter / 2, f.U95}
		case calib.KindHole:
			known = append(known, f.ID)
			if len(set.Holes) == 0 || slices.Contains(set.Holes, f.ID) {
				p.holes = append(p.holes, hole{f.ID, at, f.Z, f.Diameter, f.U95})
			}
		}
	}
	for _, t := range s.Traces {
		read, ok := readTrace(t, p.centre)
		if !ok {
			return nil, fmt.Errorf("has a traced edge %s that is no panel's: it is empty or lies too far off", t.ID)
		}
		p.traces = append(p.traces, read)
	}
	for _, id := range set.Holes {
		if !slices.Contains(known, id) {
			return nil, fmt.Errorf("has no mounting hole %s; it has %s", id, strings.Join(known, ", "))
		}
	}
	if len(p.holes) == 0 {
		return nil, errors.New("has no mounting hole for the plate to pick up")
	}
	if len(p.holes) > mostHoles {
		return nil, fmt.Errorf("has %d mounting holes, and a plate can have %d: choose some with --use-holes", len(p.holes), mostHoles)
	}
	for _, f := range s.Candidates {
		p.around = append(p.around, circle{f.ID, f.Kind, point{X: f.X, Y: f.Y}.Sub(p.centre), f.Diameter / 2, f.U95})
	}
	return p, nil
}

const (
	farthest  = 1000.0 // mm: no plate is larger
	mostHoles = 24
)
