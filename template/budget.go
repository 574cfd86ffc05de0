package template

import (
	"fmt"

	"trimscribe/calib"
)

// budgetTables says what the least sure distance owes to which input; nil when
// it is not asked for.
func budgetTables(s *calib.Survey, o Options) []Block {
	if !o.Budget || len(s.Distances) == 0 {
		return nil
	}
	worst := s.Distances[0]
	for _, d := range s.Distances {
		if d.U95 > worst.U95 {
			worst = d
		}
	}
	var rows [][]string
	for _, g := range calib.Largest([]calib.Budget{worst.Budget}, 0.01) {
		rows = append(rows, []string{string(g), o.Units.Fine(worst.Budget[g]), fmt.Sprintf("%.0f %%", 100*worst.Budget.Share(g))})
	}
	title := fmt.Sprintf("What the ± of %s – %s is made of (%v)", worst.From, worst.To, o.Units)
	return Tables(title, []string{"input", "u", "of variance"}, rows)
}
