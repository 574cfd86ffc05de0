package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trimscribe/cmd/internal/score"
)

var panel = result{
	name:  "panel",
	truth: score.Truth{Photos: []string{"panel.jpg"}},
	score: score.Score{
		Expected: 4, Found: 4, Diameters: []score.Error{{MM: 0.1, U95: 0.2}},
		Centres:   []score.Error{{MM: 0.02, U95: 0.04}},
		Distances: []score.Error{{MM: 0.01, U95: 0.02}, {MM: 0.073, U95: 0.06}},
	},
}

// The last line counts; a row that ended as it should not is named with what
// was said of it; and only what is wrong without a word fails.
func TestTable(t *testing.T) {
	results := []result{
		panel,
		{name: "no-square", truth: score.Truth{Status: 1, Photos: []string{"no-square.jpg"}}, status: 1},
		{name: "dark", truth: score.Truth{Photos: []string{"dark.jpg"}}, status: 3, complaint: "no grille was found", score: score.Score{Expected: 4, Found: 3, Missed: 1}},
	}
	var b strings.Builder
	if !printTable(&b, results, false) {
		t.Error("a missed feature with its doubt is taken for wrong in silence")
	}
	for _, want := range []string{
		"all 3", "2 as expected", "3, not 0", "dark: no grille was found", "0.073",
		"photos 3, rows 3", "without a flag 1 of 2", "doubtful (3) 1, expected 0", "refused (1) 1, expected 1", "status 0 none",
		"invented 0, missed 1", "within 0.06 mm 1 of 2", "inside U95 1 of 2 distances, 1 of 1 centres and 1 of 1 diameters", "worst error/U95 1.22, of a diameter 0.50",
	} {
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
		{status: 0, truth: score.Truth{Status: 3}, score: score.Score{Expected: 4, Found: 3, Missed: 1}},
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

// What a row is off by because nobody told a height is not the measuring's
// fault, and must not be hidden either: it is shown, and counted by itself. A
// photo in two rows is one photo, and one that was not rendered is none.
func TestRowsApart(t *testing.T) {
	untold := panel
	untold.name = "panel-no-heights"
	untold.score.Untold = 2
	untold.score.Distances = []score.Error{{MM: 0.9, U95: 0.06}}
	withHint := panel
	withHint.truth.Args = []string{"--holes", "3"}
	var b strings.Builder
	printTable(&b, []result{panel, withHint, untold, {name: "large", skipped: true, truth: score.Truth{OnDemand: true, Photos: []string{"large.jpg"}}}}, false)
	for _, want := range []string{
		"photos 1, rows 3", "0.900", "height not told", "within 0.06 mm 2 of 4", "not counted here: 1", "(--large): 1", "without a flag 2 of 2",
	} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q is missing in\n%s", want, b.String())
		}
	}
}

// The table takes the old one's place between its marks and touches nothing
// else; a document without the marks is left alone.
func TestUpdateFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "doc.md")
	write := func(text string) {
		t.Helper()
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	write("before\n" + tableBegins + "\nold\n" + tableEnds + "\nafter\n")
	if err := updateFile(path, []byte("new\n")); err != nil {
		t.Fatal(err)
	}
	got, err := os.ReadFile(path)
	if want := "before\n" + tableBegins + "\n\nnew\n\n" + tableEnds + "\nafter\n"; err != nil || string(got) != want {
		t.Errorf("%q, %v; want %q", got, err, want)
	}
	write("no marks\n")
	if err := updateFile(path, []byte("new\n")); err == nil {
		t.Error("a table was put where no mark is")
	}
}
