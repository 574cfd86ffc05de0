package calib

import (
	"bytes"
	"math"
	"strings"
	"testing"
)

// A survey comes back from its file as it went in, and what is none is refused
// with its reason.
func TestSurveyGoesThroughItsFile(t *testing.T) {
	s := &Survey{
		Format: SurveyFormat, Version: SurveyVersion,
		Photos:   []SurveyPhoto{{File: "panel.jpg", Width: 4032, Height: 3024, Tilt: 3.1}},
		Features: []Feature{{ID: "H1", Number: 1, Kind: KindHole, X: 12.31, Y: 40.02, Diameter: 4.21, U95: 0.06}},
		Traces:   []Trace{{ID: "E1", Kind: "rib", Points: [][2]float64{{1, 2}, {3, 4}}}},
	}
	b, err := s.Encode()
	if err != nil {
		t.Fatal(err)
	}
	back, err := DecodeSurvey(b)
	if err != nil {
		t.Fatal(err)
	}
	if again, _ := back.Encode(); !bytes.Equal(b, again) {
		t.Errorf("changed on the way:\n%s\n%s", b, again)
	}
	for in, want := range map[string]string{
		"":                   "is not a survey",
		`{"format":"other"}`: `its "format" is not`,
		`{"format":"trimscribe-survey","version":2}`: "is a survey of version 2",
	} {
		if _, err := DecodeSurvey([]byte(in)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", in, err)
		}
	}
}

// Whatever the bytes, there is a survey or a reason, and never a panic.
func FuzzDecodeSurvey(f *testing.F) {
	f.Add([]byte(`{"format":"trimscribe-survey","version":1,"features":[{"id":"H1","x_mm":1e308}]}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		if s, err := DecodeSurvey(b); (s == nil) == (err == nil) {
			t.Errorf("survey %v, error %v", s, err)
		}
	})
}

// A spacer brings each lower boss level with the highest (common practice); a
// difference that the photos do not show for sure, or a height that nobody
// knows, gets none.
func TestSpacers(t *testing.T) {
	hole := func(z, u float64, source string) Feature {
		return Feature{Kind: KindHole, Z: z, ZU95: u, HeightSource: source}
	}
	s := Survey{Features: []Feature{
		hole(9, 0.1, HeightSolved), hole(7.5, 0.1, HeightSolved), hole(8.9, 0.2, HeightSolved), hole(8.7, 0.4, HeightSolved),
		hole(0, 0, HeightAssumed), hole(6, 0.1, HeightGiven), {Kind: KindGrille, Z: 3, HeightSource: HeightSolved},
	}}
	s.setSpacers()
	for i, want := range []float64{0, 1.5, 0, 0, 0, 3, 0} {
		if got := s.Features[i].Spacer; math.Abs(got-want) > 1e-9 {
			t.Errorf("feature %d: spacer %g mm, want %g", i, got, want)
		}
	}
}
