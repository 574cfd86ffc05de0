package calib

import (
	"fmt"
	"math"
	"slices"
)

// Findings are the results of the stages, ready to be written down.
type Findings struct {
	Photos        []PhotoFindings
	Candidates    []Candidate   // numbered from 1 in this order
	Measured      *Measured     // of the candidates, in the same order
	Heights       []HeightFound // of the candidates' planes
	Choice        Choice
	TweeterOffset Point // from the grille's centre, mm
}

// PhotoFindings are what one photo's squares gave.
type PhotoFindings struct {
	File        string
	Solution    *Solution
	FocalSource string // one of the Focal constants
}

// HeightFound is the height of a circle's plane above the square's face.
type HeightFound struct {
	MM     float64
	U95    float64 // mm; 0 where nothing is known of it
	Source string  // one of the Height constants
}

// NewSurvey writes the findings down in the survey's terms.
func NewSurvey(f Findings) *Survey {
	f.Measured.addChoice(f.Choice)
	s := &Survey{
		Format: SurveyFormat, Version: SurveyVersion,
		Features: []Feature{}, Candidates: []Feature{}, Distances: []DistanceEntry{}, Doubts: []string{},
	}
	for _, p := range f.Photos {
		s.Photos = append(s.Photos, newSurveyPhoto(p))
		for _, q := range p.Solution.Squares {
			kind := ""
			if q.Rectangle {
				kind = KindRectangle
			}
			s.addSquare(SurveySquare{
				Number: q.Number, Kind: kind, Size: q.Size, X: q.Centre.X, Y: q.Centre.Y,
				Turn: degrees(q.Turn), Residual: q.RMS,
			})
		}
	}
	chosen := map[int]bool{}
	var order []int // indices of the features
	for k, i := range f.Choice.Holes {
		s.Features = append(s.Features, f.chosen(i, fmt.Sprintf("H%d", k+1)))
		chosen[i] = true
		order = append(order, i)
	}
	if f.Choice.Mocked {
		s.Features = append(s.Features, f.chosen(f.Choice.Tweeter, "B"))
		chosen[f.Choice.Tweeter] = true
		order = append(order, f.Choice.Tweeter)
	}
	if g := f.Choice.Grille; g >= 0 {
		s.Features = append(s.Features, f.chosen(g, "G"))
		chosen[g] = true
		order = append(order, g)
	}
	for i := range f.Candidates {
		if !chosen[i] {
			s.Candidates = append(s.Candidates, f.feature(i, fmt.Sprintf("C%d", i+1)))
		}
	}
	for _, at := range f.Choice.Missing {
		s.Missing = append(s.Missing, MissingHole{at.X, at.Y, f.Heights[f.Choice.Holes[0]].MM})
	}
	s.setSpacers()
	f.addDistances(s, order)
	s.Doubts = append(s.Doubts, f.Choice.Doubts...)
	for _, p := range f.Photos {
		for _, n := range p.Solution.LensNotes(p.FocalSource) {
			if !slices.Contains(s.Notes, n) { // photos of one camera have one lens
				s.Notes = append(s.Notes, n)
			}
		}
	}
	f.noteShapes(s)
	return s
}

// addSquare writes a square down, once, with its greatest residual of all
// photos.
func (s *Survey) addSquare(q SurveySquare) {
	for i := range s.Squares {
		if s.Squares[i].Number == q.Number {
			s.Squares[i].Residual = math.Max(s.Squares[i].Residual, q.Residual)
			return
		}
	}
	s.Squares = append(s.Squares, q)
}

func newSurveyPhoto(f PhotoFindings) SurveyPhoto {
	cam := f.Solution.Camera
	_, u, _ := f.Solution.K1()
	return SurveyPhoto{
		File: f.File, Width: cam.Width, Height: cam.Height,
		Tilt: degrees(cam.Tilt()), Distance: cam.Eye().Norm(),
		Focal: cam.Fx, FocalSource: f.FocalSource, PxPerMM: cam.PxPerMM(Point{}, 0),
		FocalU95: 2 * f.Solution.FocalU() * cam.Fx, K1U95: 2 * u,
		Camera: &SurveyCamera{
			Fx: cam.Fx, Fy: cam.Fy, Cx: cam.Cx, Cy: cam.Cy, K1: cam.K1, K2: cam.K2, P1: cam.P1, P2: cam.P2, K3: cam.K3,
			R: cam.R, T: [3]float64{cam.T.X, cam.T.Y, cam.T.Z},
		},
	}
}

func degrees(radians float64) float64 { return radians * 180 / math.Pi }

// feature writes down candidate i.
func (f Findings) feature(i int, id string) Feature {
	c := f.Measured.Circles[i]
	out := Feature{
		ID: id, Number: i + 1, Kind: f.Candidates[i].Kind,
		X: c.Centre.X, Y: c.Centre.Y, Z: f.Heights[i].MM, ZU95: f.Heights[i].U95, HeightSource: f.Heights[i].Source,
		Diameter: 2 * c.R,
		U95:      f.Measured.PlaceU95(i), DiameterU95: f.Measured.DiameterU95(i),
		Why: f.why(i),
	}
	if o := f.Candidates[i].Outline; o != nil {
		out.addOutline(*o, f.Candidates[i].HalfU)
	}
	if out.HeightSource != HeightSolved {
		shift := f.Photos[0].Solution.Camera.Shift(c.Circle, out.Z)
		out.ShiftPerMM = &shift
	}
	return out
}

// chosen is feature, with the budgets of what is chosen.
func (f Findings) chosen(i int, id string) Feature {
	out := f.feature(i, id)
	out.Budget, out.DiameterBudget = f.Measured.PlaceBudget(i), f.Measured.DiameterBudget(i)
	return out
}

// why says why candidate i was chosen or not, and what its edge looks like.
func (f Findings) why(i int) string {
	if i >= len(f.Choice.Why) {
		return f.Candidates[i].Why
	}
	return f.Choice.Why[i] + "; " + f.Candidates[i].Why
}

// addDistances lists every feature to every other, then every hole to the
// tweeter centre.
func (f Findings) addDistances(s *Survey, order []int) {
	add := func(from, to string, i, j int, offset Point) {
		mm, b := f.Measured.distance(i, Point{}, j, offset)
		s.Distances = append(s.Distances, DistanceEntry{from, to, mm, coverage * b.U(), b})
	}
	for a := range order {
		for b := a + 1; b < len(order); b++ {
			add(s.Features[a].ID, s.Features[b].ID, order[a], order[b], Point{})
		}
	}
	hub, from := f.Choice.Grille, "grille"
	if f.Choice.Mocked {
		hub, from = f.Choice.Tweeter, "tweeter body"
	}
	if hub < 0 {
		return
	}
	if f.TweeterOffset != (Point{}) {
		from += " and offset"
	}
	at := f.Measured.Circles[hub].Centre.Add(f.TweeterOffset)
	s.Tweeter = &TweeterCentre{X: at.X, Y: at.Y, U95: f.Measured.PlaceU95(hub), From: from}
	for k, i := range f.Choice.Holes {
		add(s.Features[k].ID, "T", i, hub, f.TweeterOffset)
	}
}
