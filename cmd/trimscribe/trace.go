package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
	"trimscribe/vision"
)

// traceRadius is how far round the tweeter's centre edges are traced:
// "--trace", "--trace 60" or "--trace=60". A bare number is in the units of
// the labels.
type traceRadius struct {
	wanted bool
	mm     float64 // 0: as far as the holes need
	bare   float64 // the number as given, when it had no unit
}

// The radii that can be given, mm.
const (
	leastTrace = 10.0
	mostTrace  = 400.0
)

// traceBeyond is how far beyond the farthest mounting hole edges are traced, mm,
// when no radius is given: an ear, and room for a hand.
const traceBeyond = 25.0

func (v *traceRadius) Type() string   { return "RADIUS" }
func (v *traceRadius) String() string { return "" }

func (v *traceRadius) Set(s string) error {
	v.wanted = true
	if s == wholeTrace {
		return nil
	}
	mm, ok := parseLength(s)
	if !ok || !(mm > 0) {
		return fmt.Errorf("give how far round the tweeter's centre in mm, such as 60, or nothing")
	}
	v.mm, v.bare = mm, 0
	if !strings.ContainsAny(s, `mMnN"`) {
		v.bare = mm
	}
	return nil
}

// wholeTrace stands for a radius that was not given.
const wholeTrace = "auto"

// withRadius lets --trace take its radius as the next word too, as other flags
// take their values, when that word is a length and no file.
func withRadius(args []string) []string {
	out := slices.Clone(args)
	for i := 0; i+1 < len(out) && out[i] != "--"; i++ {
		if _, ok := parseLength(out[i+1]); out[i] == "--trace" && ok && !exists(out[i+1]) {
			out[i] += "=" + out[i+1]
			out = slices.Delete(out, i+1, i+2)
		}
	}
	return out
}

// settle reads a bare number in the units chosen, and checks the radius.
func (v *traceRadius) settle(u template.Units) error {
	if v.mm == 0 {
		return nil
	}
	if v.bare > 0 && u == template.Inches {
		v.mm = 25.4 * v.bare
	}
	if v.mm < leastTrace || v.mm > mostTrace {
		return usagef("--trace: give a radius from %s to %s %v, such as --trace %s", short(u, leastTrace), short(u, mostTrace), u, short(u, 60))
	}
	return nil
}

// traceEdges adds to a survey the panel's edges round the tweeter's centre.
func (v *traceRadius) traceEdges(p *vision.Photo, s *calib.Survey, sol *calib.Solution, u template.Units) {
	if s.Tweeter == nil {
		s.Notes = append(s.Notes, "No edges were traced: there is no tweeter centre to trace them round.")
		return
	}
	cam := sol.Camera
	search := vision.EdgeSearch{Centre: calib.Point{X: s.Tweeter.X, Y: s.Tweeter.Y}, Radius: v.mm, Papers: papersOf(sol)}
	if v.mm == 0 {
		search.Radius = reachOf(s) + traceBeyond
	}
	for _, f := range s.Features {
		rim := calib.Circle{Centre: calib.Point{X: f.X, Y: f.Y}, R: f.Diameter / 2}
		search.Known = append(search.Known, cam.Carry(rim, f.Z, 0))
	}
	for _, e := range vision.TraceEdges(p, cam, search) {
		t := calib.NewTrace(cam, e.Points, e.Closed)
		s.Traces = append(s.Traces, t)
	}
	slices.SortStableFunc(s.Traces, func(a, b calib.Trace) int { return int(math.Copysign(1, b.Length-a.Length)) })
	for i := range s.Traces {
		s.Traces[i].ID = fmt.Sprintf("E%d", i+1)
	}
	if len(s.Traces) == 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("No edges were seen within %s of the tweeter's centre.", inUnits(u, search.Radius)))
		return
	}
	s.Notes = append(s.Notes, fmt.Sprintf("Edges (dashed) are as seen within %s of T, hard shadows' too, in the plane of the face. What stands proud lies nearer the photo's middle, by up to %.2f mm for each mm of its height.",
		inUnits(u, search.Radius), cam.HeightShift(s.Traces)))
}

// edgeWords tells how many edges were traced.
func edgeWords(s *calib.Survey, u template.Units) string {
	sum := 0.0
	for _, t := range s.Traces {
		sum += t.Length
	}
	return fmt.Sprintf("%d traced, %s in all", len(s.Traces), inUnits(u, sum))
}

// reachOf is how far the farthest rim of a chosen circle lies from the tweeter's centre, mm.
func reachOf(s *calib.Survey) float64 {
	most := 0.0
	for _, f := range s.Features {
		most = max(most, math.Hypot(f.X-s.Tweeter.X, f.Y-s.Tweeter.Y)+f.Diameter/2)
	}
	return most
}

// inUnits is a length as a person would say it: "65 mm", "2.6 in".
func inUnits(u template.Units, mm float64) string { return short(u, mm) + " " + u.String() }

func short(u template.Units, mm float64) string {
	if u == template.Inches {
		return fmt.Sprintf("%.1f", mm/25.4)
	}
	return fmt.Sprintf("%.0f", mm)
}
