package main

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"trimscribe/cmd/internal/score"
)

var columns = []string{"row", "status", "features", "found", "missed", "invented", "centre", "distance", "U95", "error/U95", "diameter", "diameter/U95", "height", "s"}

// printTable prints a line a row and a line of sums, then what was said about
// the rows that did not come out as they should, then the counts. It tells
// whether no row is wrong in silence. Errors are the worst of their row, in mm;
// U95 is that of the distance with the worst error; error/U95 is the greatest
// of all distances and centres, and the last such column of all diameters.
func printTable(w io.Writer, results []result, markdown bool) (sound bool) {
	all := countAll(results)
	rows := [][]string{columns}
	for _, r := range results {
		if !r.skipped {
			rows = append(rows, r.row())
		}
	}
	rows = append(rows, []string{
		fmt.Sprintf("all %d", all.rows-all.skipped), fmt.Sprintf("%d as expected", all.asExpected),
		fmt.Sprint(all.expected), fmt.Sprint(all.found), fmt.Sprint(all.missed), fmt.Sprint(all.invented),
		mm(all.centre), mm(all.distance), "", ratio(all.centres, all.distances),
		mm(all.diameter), ratio(all.diameters), heightCell(all.solved, all.height), "",
	})
	if markdown { // for a document: how long it took is this machine's alone
		for i, row := range rows {
			rows[i] = row[:len(row)-1]
		}
	}
	write(w, rows, markdown)
	fmt.Fprintln(w)
	for _, r := range results {
		switch {
		case r.skipped:
		case r.silent():
			fmt.Fprintf(w, "- WRONG IN SILENCE: %s: %s\n", r.name, orElse(r.complaint, "no doubt was said"))
		case !r.asExpected():
			fmt.Fprintf(w, "- %s: %s\n", r.name, orElse(r.complaint, "no doubt was said"))
		}
	}
	if all.asExpected < all.rows-all.skipped {
		fmt.Fprintln(w)
	}
	fmt.Fprintln(w, all)
	return all.silent == 0
}

func (r result) row() []string {
	status := fmt.Sprint(r.status)
	if r.status != r.truth.Status {
		status = fmt.Sprintf("%d, not %d", r.status, r.truth.Status)
	}
	s := r.score
	row := []string{r.name, status, fmt.Sprint(s.Expected), fmt.Sprint(s.Found), fmt.Sprint(s.Missed), fmt.Sprint(s.Invented)}
	if s.Found == 0 {
		row = append(row, "", "", "", "", "", "", "")
	} else {
		distance := score.Worst(s.Distances)
		places, diameters := ratio(s.Distances, s.Centres), ratio(s.Diameters)
		if s.Untold > 0 {
			places, diameters = "height not told", ""
		}
		row = append(row, mm(score.Worst(s.Centres).MM), mm(distance.MM), mm(distance.U95), places, mm(score.Worst(s.Diameters).MM), diameters, heightCell(s.Solved, s.Height))
	}
	return append(row, fmt.Sprintf("%.1f", r.took.Seconds()))
}

func ratio(lists ...[]score.Error) string { return fmt.Sprintf("%.2f", score.WorstRatio(lists...)) }

func mm(v float64) string { return fmt.Sprintf("%.3f", v) }

func heightCell(solved int, worst float64) string {
	if solved == 0 {
		return ""
	}
	return mm(worst)
}

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
