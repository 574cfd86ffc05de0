package main

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"trimscribe/calib"
	"trimscribe/vision"
)

// several is some photos of one panel on their way through the stages.
type several struct {
	flags  *photoFlags
	shots  []*shot
	tracks []*track
	bundle *calib.Bundle
}

// track is one circle of the panel, with its rim in each photo; nil where the
// photo does not show it.
type track struct {
	rims   []*vision.Rim // told by the photos' cameras as they are now
	circle calib.Circle
	z      float64
	given  *calib.Height
}

// Rounds of solving and fitting the rims anew end when no circle moves or
// rises by more than this, mm.
const (
	settled    = 0.003
	mostRounds = 3
)

// measureSeveral takes several photos of one panel through the stages. Each
// goes alone to its circles; then circles are matched across the photos, and
// all is solved together. Its errors are whole sentences.
func measureSeveral(photos []*vision.Photo, f *photoFlags, stage func(string)) (*found, error) {
	s := &several{flags: f}
	for i, p := range photos {
		stage(fmt.Sprintf("photo %d of %d: looking for the reference square", i+1, len(photos)))
		shot, err := f.shoot(p)
		if err != nil {
			return nil, fmt.Errorf("%s %w", p.File, err)
		}
		s.shots = append(s.shots, shot)
	}
	if err := s.commonSquareFirst(); err != nil {
		return nil, err
	}
	for i, shot := range s.shots {
		if err := shot.solvePose(f); err != nil {
			return nil, fmt.Errorf("%s %w", shot.photo.File, err)
		}
		stage(fmt.Sprintf("photo %d of %d: looking for holes and the grille", i+1, len(photos)))
		shot.findCircles(f)
	}
	stage("measuring all photos together")
	if err := s.match(); err != nil {
		return nil, err
	}
	if err := s.solve(); err != nil {
		return nil, err
	}
	got, err := s.survey()
	if err != nil {
		return nil, err
	}
	if f.trace.wanted {
		stage("tracing edges")
		f.trace.traceEdges(photos[0], got.survey, s.bundle.Solutions[0], f.units.Units)
	}
	return got, nil
}

// commonSquareFirst puts a square that all photos show first in each: it gives
// the panel's frame.
func (s *several) commonSquareFirst() error {
	for _, want := range s.shots[0].squares {
		at := make([]int, len(s.shots))
		all := true
		for i, shot := range s.shots {
			at[i] = slices.IndexFunc(shot.squares, func(q calib.SquareEdges) bool { return q.Number == want.Number })
			all = all && at[i] >= 0
		}
		if !all {
			continue
		}
		for i, shot := range s.shots {
			first := shot.squares[at[i]]
			shot.squares = slices.Insert(slices.Delete(shot.squares, at[i], at[i]+1), 0, first)
		}
		return nil
	}
	first := s.shots[0]
	for _, shot := range s.shots[1:] {
		if !slices.ContainsFunc(shot.squares, func(q calib.SquareEdges) bool {
			return slices.ContainsFunc(first.squares, func(o calib.SquareEdges) bool { return o.Number == q.Number })
		}) {
			return fmt.Errorf("%s shows reference square %d and %s square %d: all photos must show one and the same square, left where it lies", first.photo.File, first.squares[0].Number, shot.photo.File, shot.squares[0].Number)
		}
	}
	return errors.New("no reference square is in all the photos: all must show one and the same square, left where it lies")
}

// plainOdds is the log odds from which a circle is taken to be there in
// another photo too.
const plainOdds = 1.0

// match finds which circles of the photos are one, and refuses photos that
// have too few in common.
func (s *several) match() error {
	cams := s.cameras()
	spotted := make([][]calib.Spotted, len(s.shots))
	for p, shot := range s.shots {
		for _, r := range shot.rims {
			spotted[p] = append(spotted[p], calib.Spotted{Circle: r.Circle, Z: r.Z, Odds: r.Odds()})
		}
	}
	matches := calib.MatchCircles(cams, spotted)
	if err := s.agree(matches); err != nil {
		return err
	}
	for _, m := range matches {
		t := &track{circle: m.Circle, z: m.Z, rims: make([]*vision.Rim, len(s.shots))}
		for p, i := range m.In {
			if i >= 0 {
				r := s.shots[p].rims[i]
				t.rims[p] = &r
			}
		}
		s.tracks = append(s.tracks, t)
	}
	return nil
}

// agree refuses photos that show too little of what the others show.
func (s *several) agree(matches []calib.Match) error {
	n := len(s.shots)
	common, plain := make([][]int, n), make([][]int, n)
	for p, shot := range s.shots {
		common[p], plain[p] = make([]int, n), make([]int, n)
		for _, r := range shot.rims {
			for q, other := range s.shots {
				if r.Odds() > plainOdds && vision.Sees(other.photo, other.solution.Camera, r.Circle, r.Z) {
					plain[p][q]++
				}
			}
		}
	}
	for _, m := range matches {
		for p, i := range m.In {
			for q, j := range m.In {
				if i >= 0 && j >= 0 && max(s.shots[p].rims[i].Odds(), s.shots[q].rims[j].Odds()) > plainOdds {
					common[p][q]++
				}
			}
		}
	}
	if odd, known := calib.Apart(common, plain); len(odd) > 0 {
		return s.refusal(odd, known)
	}
	return nil
}

// refusal says which photos do not agree, and why as far as they show it.
func (s *several) refusal(odd []int, known bool) error {
	const rest = "leave the square where it lies, take all photos of one panel, or give each photo alone"
	if !known {
		cause := s.cause(odd[0], odd[1])
		return fmt.Errorf("%s do not agree, and it is not known which is wrong: %s; %s", list(s.names(odd)), cause, rest)
	}
	reference := slices.IndexFunc(s.shots, func(t *shot) bool { return !slices.Contains(odd, slices.Index(s.shots, t)) })
	verb := "does"
	if len(odd) > 1 {
		verb = "do"
	}
	return fmt.Errorf("%s %s not agree with %s: %s; %s", list(s.names(odd)), verb, s.shots[reference].photo.File, s.cause(reference, odd[0]), rest)
}

func (s *several) names(photos []int) []string {
	var out []string
	for _, p := range photos {
		out = append(out, s.shots[p].photo.File)
	}
	return out
}

// cause says in words why two photos differ.
func (s *several) cause(p, q int) string {
	figure := func(p int) (out []calib.Circle) {
		for _, r := range s.shots[p].rims {
			if r.Odds() > plainOdds {
				out = append(out, r.Circle)
			}
		}
		return out
	}
	switch calib.Why(figure(p), figure(q)) {
	case calib.CauseMoved:
		return "the square was moved between them"
	case calib.CauseSize:
		return "the squares in them are not of one size"
	}
	return "the square was moved between them, or they show different panels or sides"
}

func (s *several) cameras() []calib.Camera {
	out := make([]calib.Camera, len(s.shots))
	for p, shot := range s.shots {
		out[p] = shot.solution.Camera
		if s.bundle != nil {
			out[p] = s.bundle.Solutions[p].Camera
		}
	}
	return out
}

// solve adjusts all, looks for rims that a photo seemed not to show where the
// others have them, and adjusts again.
func (s *several) solve() error {
	s.sortTracks()
	if err := s.adjust(); err != nil {
		return err
	}
	if s.traceMissing() {
		if err := s.adjust(); err != nil {
			return err
		}
	}
	if odd, known := s.outliers(); len(odd) > 0 {
		return s.refusal(odd, known)
	}
	return nil
}

// settle fits the rims of the chosen circles anew, in the planes at their
// solved heights, and adjusts again, until none moves.
func (s *several) settle(choice calib.Choice) error {
	chosen := slices.Clone(choice.Holes)
	if choice.Grille >= 0 {
		chosen = append(chosen, choice.Grille)
	}
	for range mostRounds {
		cams := s.cameras()
		for p, shot := range s.shots {
			vision.Each(len(chosen), func(i int) {
				t := s.tracks[chosen[i]]
				if r := t.rims[p]; r != nil {
					again := r.Retrace(shot.photo, cams[p], t.z)
					t.rims[p] = &again
				}
			})
		}
		before := s.bundle
		if err := s.adjust(); err != nil {
			return err
		}
		if s.farthest(chosen, before) < settled {
			break
		}
	}
	return nil
}

// adjust runs the bundle adjustment on the tracks as they are.
func (s *several) adjust() error {
	cams := s.cameras()
	var views []calib.View
	for _, shot := range s.shots {
		views = append(views, calib.View{Solution: shot.solution, Lens: lensName(shot.photo)})
	}
	var tracks []calib.Track
	for _, t := range s.tracks {
		c := calib.Track{Start: t.circle, Z: t.z, Known: t.given}
		for p, r := range t.rims {
			if r != nil {
				c.Sightings = append(c.Sightings, calib.Sighting{View: p, Traced: tracedOf(*r, cams[p])})
			}
		}
		tracks = append(tracks, c)
	}
	b, err := calib.SolveBundle(views, tracks)
	if err != nil {
		return fmt.Errorf("%s cannot be solved together: %w", list(s.names(all(len(s.shots)))), err)
	}
	for p := range s.shots {
		for _, t := range s.tracks {
			if r := t.rims[p]; r != nil {
				moved := r.Moved(cams[p], b.Solutions[p].Camera, r.Z)
				t.rims[p] = &moved
			}
		}
	}
	s.bundle = b
	for k, t := range s.tracks {
		t.circle, t.z = b.Circles[k], b.Heights[k].Z
	}
	return nil
}

func all(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// lensName tells photos of one camera at one zoom; it is empty where the photo
// does not tell its camera.
func lensName(p *vision.Photo) string {
	if p.Make == "" && p.Model == "" {
		return ""
	}
	return fmt.Sprintf("%s/%s/%s/%dx%d/%.4g/%.4g", p.Make, p.Model, p.LensModel, max(p.Width, p.Height), min(p.Width, p.Height), p.FocalEquiv, p.FocalLength)
}

// traceMissing looks where the others say that a rim is, and tells whether it
// found any.
func (s *several) traceMissing() bool {
	cams := s.cameras()
	found := make([]int, len(s.tracks))
	for p, shot := range s.shots {
		vision.Each(len(s.tracks), func(k int) {
			t := s.tracks[k]
			if t.rims[p] == nil && t.quality() > 0 {
				if r, ok := vision.TraceAt(shot.photo, cams[p], t.circle, t.z); ok {
					t.rims[p] = &r
					found[k]++
				}
			}
		})
	}
	return slices.Max(append(found, 0)) > 0
}

// farthest is how far any of these circles has moved or risen, mm.
func (s *several) farthest(tracks []int, before *calib.Bundle) float64 {
	most := 0.0
	for _, k := range tracks {
		most = math.Max(most, s.bundle.Circles[k].Centre.Dist(before.Circles[k].Centre))
		most = math.Max(most, math.Abs(s.bundle.Heights[k].Z-before.Heights[k].Z))
	}
	return most
}

// mostMiss is how far, in mm, a photo's circles may lie off where the others
// have them: light moves a rim by less, also where its edge is broken.
const mostMiss = 0.25

// outliers lists the photos whose circles mostly lie off.
func (s *several) outliers() (odd []int, known bool) {
	for p := range s.shots {
		off, n := 0, 0
		for k, t := range s.tracks {
			at := 0
			for q, r := range t.rims {
				if r == nil {
					continue
				}
				if q == p && t.quality() > 0 {
					n++
					if s.bundle.Misses[k][at] > mostMiss {
						off++
					}
				}
				at++
			}
		}
		if n >= 2 && 2*off > n {
			odd = append(odd, p)
		}
	}
	if 2*len(odd) < len(s.shots) {
		return odd, true
	}
	return all(len(s.shots)), false
}

// quality is the log odds of a track as an opening: the mean of its rims', a
// photo that ought to show it and does not counting against it.
func (t *track) quality() float64 {
	sum := 0.0
	for _, r := range t.rims {
		if r != nil {
			sum += r.Odds()
		} else {
			sum -= 1
		}
	}
	return sum / float64(len(t.rims))
}

// survey chooses among the circles and writes down what was found. Heights
// that the user gave belong to what is chosen, so they come in last.
func (s *several) survey() (*found, error) {
	hints, err := s.flags.hints(s.shots[0].photo, s.cameras()[0], s.candidates(), s.heights())
	if err != nil {
		return nil, err
	}
	hints.GrilleHeight = true // it is solved
	choice := calib.Choose(s.candidates(), hints)
	if err := s.settle(choice); err != nil {
		return nil, err
	}
	doubts, given, err := s.setGiven(choice)
	if err != nil {
		return nil, err
	}
	if given {
		if err := s.adjust(); err != nil {
			return nil, err
		}
	}
	findings := calib.Findings{
		Candidates: s.candidates(), Measured: s.bundle.Measured(), Heights: s.heights(), Choice: choice,
		TweeterOffset: s.flags.tweeterOffset.Point,
	}
	for p, shot := range s.shots {
		photo := shot.findings()
		photo.Solution = s.bundle.Solutions[p]
		findings.Photos = append(findings.Photos, photo)
	}
	survey := calib.NewSurvey(findings)
	survey.Doubts = append(survey.Doubts, doubts...)
	survey.Doubts = append(survey.Doubts, parallaxDoubt(survey)...)
	for _, shot := range s.shots {
		for _, n := range shot.lens.notes {
			if !slices.Contains(survey.Notes, n) {
				survey.Notes = append(survey.Notes, n)
			}
		}
	}
	survey.Check(s.flags.checks.measurements(s.flags.units.Units), s.flags.told())
	return &found{survey, s.cameras()}, nil
}

// sortTracks puts the likeliest first, drops what is no opening or the same as
// a likelier one, and keeps the best of each kind.
func (s *several) sortTracks() {
	slices.SortStableFunc(s.tracks, func(a, b *track) int { return cmp.Compare(b.quality(), a.quality()) })
	var kept []*track
	left := map[bool]int{true: mostHoles, false: mostGrilles}
	for _, t := range s.tracks {
		hole := 2*t.circle.R <= vision.MaxHole
		if t.quality() < leastOdds || left[hole] == 0 || slices.ContainsFunc(kept, func(o *track) bool { return o.covers(t) }) {
			continue
		}
		left[hole]--
		kept = append(kept, t)
	}
	s.tracks = kept
}

// covers tells whether a track is about the same hole's mouth as another, or
// the same edge of a grille.
func (t *track) covers(o *track) bool {
	apart := t.circle.Centre.Dist(o.circle.Centre)
	if most := math.Max(t.circle.R, o.circle.R); 2*most <= vision.MaxHole {
		return apart < 0.5*most
	}
	return apart < 0.5 && math.Abs(t.circle.R-o.circle.R) < 0.4
}

func (s *several) candidates() []calib.Candidate {
	var out []calib.Candidate
	for _, t := range s.tracks {
		c := calib.Candidate{Circle: t.circle, Kind: calib.KindHole, Quality: t.quality(), Why: t.words()}
		if 2*t.circle.R > vision.MaxHole {
			c.Kind = calib.KindGrille
		}
		out = append(out, c)
	}
	return out
}

// words says how a track looks, for a person.
func (t *track) words() string {
	seen := 0
	var best *vision.Rim
	for _, r := range t.rims {
		if r != nil {
			seen++
			if best == nil || r.Odds() > best.Odds() {
				best = r
			}
		}
	}
	return fmt.Sprintf("in %d of %d photos; %s", seen, len(t.rims), best.Words())
}

// heights is what is known of the tracks' heights.
func (s *several) heights() []calib.HeightFound {
	var out []calib.HeightFound
	for k, t := range s.tracks {
		h := calib.HeightFound{MM: t.z, U95: s.bundle.HeightU95(k), Source: calib.HeightSolved}
		if t.given != nil {
			h.Source = calib.HeightGiven
		}
		out = append(out, h)
	}
	return out
}

// setGiven lays the heights that the user gave on the chosen circles. Where the
// photos plainly say otherwise they are believed, and that is a doubt.
func (s *several) setGiven(choice calib.Choice) (doubts []string, any bool, err error) {
	own, err := s.flags.heights.find(choice, len(s.tracks))
	if err != nil {
		return nil, false, err
	}
	lay := func(k int, given height, name string) {
		if !given.given {
			return
		}
		h := s.bundle.Heights[k]
		if off := math.Abs(h.Z - given.mm); off > 2*math.Hypot(2*h.U, standard(given.bound))+0.2 {
			doubts = append(doubts, fmt.Sprintf("%s was given as %.1f mm high, and the photos say %.1f +-%.1f mm; measure it again, or leave the height out", name, given.mm, h.Z, 2*h.U))
			return
		}
		s.tracks[k].given = &calib.Height{Z: given.mm, U: standard(given.bound)}
		any = true
	}
	of := func(k int, kind height) height {
		if h, ok := own[k]; ok {
			return h
		}
		return kind
	}
	for i, k := range choice.Holes {
		lay(k, of(k, s.flags.holeHeight), fmt.Sprintf("H%d", i+1))
	}
	if k := choice.Grille; k >= 0 {
		lay(k, of(k, s.flags.grilleHeight), "G")
	}
	return doubts, any, nil
}

// unsureHeight is the U95 of a solved height, mm, from which it is in doubt: a
// spacer of the wrong thickness by as much bends the plate.
const unsureHeight = 1.0

// parallaxDoubt says when the photos were taken from too nearly the same place.
func parallaxDoubt(s *calib.Survey) []string {
	worst := 0.0
	for _, f := range s.Features {
		if f.HeightSource == calib.HeightSolved {
			worst = math.Max(worst, f.ZU95)
		}
	}
	if worst <= unsureHeight {
		return nil
	}
	return []string{fmt.Sprintf("the heights are known to +-%.1f mm only, as the photos were taken from nearly one place: take them from sides that differ by 10 degrees or more, or give --hole-height and --grille-height", worst)}
}

// photoNames lists the photos' names without their folders, and refuses two of
// one name: their overlays would be one file.
func photoNames(paths []string) ([]string, error) {
	var names []string
	for _, p := range paths {
		n := baseName(p)
		if i := slices.IndexFunc(names, func(m string) bool { return strings.EqualFold(m, n) }); i >= 0 {
			if filepath.Clean(paths[i]) == filepath.Clean(p) {
				return nil, usagef("%s is given twice; give each photo once", p)
			}
			return nil, usagef("%s and %s have one name, and so would their overlay pictures; rename one", paths[i], p)
		}
		names = append(names, n)
	}
	return names, nil
}
