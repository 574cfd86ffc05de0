package main

import (
	"math"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"

	"trimscribe/cmd/internal/score"
)

// Each circle of the truth is an edge, and so an outline: a feature of the
// scenes that did not note its outlines would be taken for a false trace.
func TestCirclesHaveOutlines(t *testing.T) {
	if _, err := exec.LookPath("povray"); err != nil {
		t.Skip("povray (Debian package povray) is not there")
	}
	for _, name := range []string{"golf-cart-inserts", "dash-pod-light", "pillar-tilted"} {
		s, err := readScene(filepath.Join(testdata, "scenes"), name)
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Lamps) == 0 {
			t.Errorf("%s: no lamp", name)
		}
		for _, c := range append(append([]truthCircle{*s.Truth.Grille}, s.Truth.Holes...), s.Truth.Others...) {
			if c.Kind == "slot" {
				continue
			}
			if !slices.ContainsFunc(s.Outlines.Outlines, func(o score.Outline) bool {
				return math.Hypot(o.X-c.X, o.Y-c.Y) < 1e-6 && math.Abs(o.Z-c.Z) < 1e-6 && math.Abs(o.Diameter-c.Diameter) < 1e-6
			}) {
				t.Errorf("%s: no outline for the %s at %.1f, %.1f mm", name, c.Kind, c.X, c.Y)
			}
		}
	}
}
