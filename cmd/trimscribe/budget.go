package main

import (
	"fmt"
	"io"

	"trimscribe/calib"
	"trimscribe/template"
)

// leastShare is the part of a variance below which an input is not told apart.
const leastShare = 0.02

// reportBudget prints what makes up each uncertainty: a line for every
// feature and distance, a column for every input that matters to one of them.
func reportBudget(w io.Writer, s *calib.Survey, u template.Units) {
	entries := s.Budgets()
	inputs := calib.Largest(calib.BudgetsOf(entries), leastShare)
	fmt.Fprintf(w, "\nUncertainty budget (%v): U95, and of each input its standard uncertainty and its share of the variance\n", u)
	fmt.Fprintf(w, "%-14s%8s", "", "U95")
	for _, g := range inputs {
		fmt.Fprintf(w, "%12s", g)
	}
	fmt.Fprintln(w)
	for _, e := range entries {
		fmt.Fprintf(w, "%-14s%8s", e.Of, u.Format(e.U95))
		for _, g := range inputs {
			fmt.Fprintf(w, "%12s", fmt.Sprintf("%s %3.0f%%", u.Fine(e.Budget[g]), 100*e.Budget.Share(g)))
		}
		fmt.Fprintln(w)
	}
	for _, g := range inputs {
		fmt.Fprintf(w, "  %-12s%s\n", g, g.Words())
	}
}
