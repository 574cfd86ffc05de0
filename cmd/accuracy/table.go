package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

var columns = []string{"photo", "status", "features", "found", "missed", "invented", "centre", "distance", "diameter", "U95", "error/U95", "s"}

// printTable prints a line a photo and a line of sums, then what was said
// about the photos that did not come out as they should. It tells whether
// none of these is wrong in silence. Errors are the worst of their photo, in
// mm; U95 is that of the distance with the worst error; error/U95 is the
// greatest of all distances.
func printTable(w io.Writer, results []result, markdown bool) (sound bool) {
	rows := [][]string{columns}
	var expected, found, missed, invented, asExpected, within, distances int
	var centre, distance, diameter float64
	for _, r := range results {
		rows = append(rows, r.row())
		expected += r.score.Expected
		found += r.score.Found
		missed += r.score.Missed
		invented += r.score.Invented
		if r.asExpected() {
			asExpected++
		}
		for _, ratio := range r.score.Ratios {
			distances++
			if ratio <= 1 {
				within++
			}
		}
		centre = max(centre, r.score.Centre)
		distance = max(distance, r.score.Distance)
		diameter = max(diameter, r.score.Diameter)
	}
	rows = append(rows, []string{
		fmt.Sprintf("all %d", len(results)), fmt.Sprintf("%d as expected", asExpected), fmt.Sprint(expected), fmt.Sprint(found), fmt.Sprint(missed), fmt.Sprint(invented),
		mm(centre), mm(distance), mm(diameter), "", fmt.Sprintf("%d of %d within", within, distances), "",
	})
	if markdown { // for a document: how long it took is this machine's alone
		for i, row := range rows {
			rows[i] = row[:len(row)-1]
		}
	}
	write(w, rows, markdown)
	sound = true
	for _, r := range results {
		if r.silent() {
			sound = false
			fmt.Fprintf(w, "\nWRONG IN SILENCE: %s: %s\n", r.name, orElse(r.complaint, "no doubt was said"))
		} else if !r.asExpected() {
			fmt.Fprintf(w, "\n%s: %s\n", r.name, orElse(r.complaint, "no doubt was said"))
		}
	}
	return sound
}

func (r result) row() []string {
	status := fmt.Sprint(r.status)
	if r.status != r.truth.Status {
		status = fmt.Sprintf("%d, not %d", r.status, r.truth.Status)
	}
	s := r.score
	row := []string{r.name, status, fmt.Sprint(s.Expected), fmt.Sprint(s.Found), fmt.Sprint(s.Missed), fmt.Sprint(s.Invented)}
	if s.Found == 0 {
		row = append(row, "", "", "", "", "")
	} else {
		row = append(row, mm(s.Centre), mm(s.Distance), mm(s.Diameter), mm(s.U95), fmt.Sprintf("%.2f", s.Ratio))
	}
	return append(row, fmt.Sprintf("%.1f", r.took.Seconds()))
}

func mm(v float64) string { return fmt.Sprintf("%.3f", v) }

func orElse(s, otherwise string) string {
	if s == "" {
		return otherwise
	}
	return s
}

// write lines the columns up: names to the left, numbers to the right.
func write(w io.Writer, rows [][]string, markdown bool) {
	width := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			width[i] = max(width[i], utf8.RuneCountInString(cell))
		}
	}
	for n, row := range rows {
		var cells []string
		for i, cell := range row {
			if i < 2 {
				cells = append(cells, fmt.Sprintf("%-*s", width[i], cell))
			} else {
				cells = append(cells, fmt.Sprintf("%*s", width[i], cell))
			}
		}
		line := strings.TrimRight(strings.Join(cells, "  "), " ")
		if markdown {
			line = "| " + strings.Join(cells, " | ") + " |"
		}
		fmt.Fprintln(w, line)
		if markdown && n == 0 {
			fmt.Fprintln(w, "| "+strings.Join(rule(width), " | ")+" |")
		}
	}
}

// rule is Markdown's line under the head, which also says which side a column
// leans to.
func rule(width []int) []string {
	var cells []string
	for i, n := range width {
		dashes := strings.Repeat("-", n)
		if i >= 2 {
			dashes = dashes[1:] + ":"
		}
		cells = append(cells, dashes)
	}
	return cells
}
