package main

import (
	"strings"
	"testing"

	"trimscribe/cmd/internal/score"
)

// The last line counts; a photo that ended as it should not is named with what
// was said of it; and only what is wrong without a word fails.
func TestTable(t *testing.T) {
	results := []result{
		{name: "panel", score: score.Score{Expected: 4, Found: 4, Centre: 0.02, Distance: 0.031, U95: 0.05, Ratio: 1.2, Ratios: []float64{0.5, 1.2}, Diameter: 0.1}},
		{name: "no-square", truth: score.Truth{Status: 1}, status: 1},
		{name: "dark", status: 3, complaint: "no grille was found", score: score.Score{Expected: 4, Found: 3, Missed: 1}},
	}
	var b strings.Builder
	if !printTable(&b, results, false) {
		t.Error("a missed feature with its doubt is taken for wrong in silence")
	}
	for _, want := range []string{"all 3", "2 as expected", "1 of 2 within", "3, not 0", "dark: no grille was found", "0.031"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing in\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "no-square: ") {
		t.Errorf("an expected failure is complained of:\n%s", b.String())
	}
	for _, r := range []result{
		{status: 0, score: score.Score{Expected: 4, Found: 4, Invented: 1}},
		{status: 0, score: score.Score{Expected: 4, Found: 3, Missed: 1}},
		{status: 0, truth: score.Truth{Status: 1}}, // to be refused
		{status: 3, truth: score.Truth{Status: 1}},
		{status: -1}, // it could not be run
		{status: 2},
	} {
		if printTable(&strings.Builder{}, append(results[:1:1], r), false) {
			t.Errorf("%+v does not fail", r)
		}
	}
	b.Reset()
	if !printTable(&b, results[:2], true) {
		t.Error("good results fail")
	}
	lines := strings.Split(b.String(), "\n")
	if n := strings.Count(lines[0], "|"); n != len(columns) || strings.Count(lines[1], "|") != n || strings.Count(lines[2], "|") != n {
		t.Errorf("not a Markdown table:\n%s", b.String())
	}
}
