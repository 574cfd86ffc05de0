package template

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"trimscribe/calib"
)

// notes returns what stands beside the drawing: the tables first, then the
// doubts, what the lines are, how to use the sheet, the cautions, and the rest.
func notes(s *calib.Survey, o Options, d *Drawing) []Block {
	blocks := circleTables(s, o.Units)
	blocks = append(blocks, heightTables(s, o.Units)...)
	blocks = append(blocks, distanceTables(s, o.Units)...)
	blocks = append(blocks, budgetTables(s, o)...)
	blocks = append(blocks, checkTables(s, o.Units)...)
	blocks = append(blocks, Texts("Doubts", s.Doubts, true)...)
	blocks = append(blocks, lines(d)...)
	blocks = append(blocks, Texts("Use", uses(s), false)...)
	blocks = append(blocks, Texts("Cautions", o.Cautions, false)...) // on the first sheet, if there are two
	var advice []string
	for _, a := range s.Advice {
		advice = append(advice, a.Text)
	}
	blocks = append(blocks, Texts("For a better photo", advice, false)...)
	blocks = append(blocks, Texts("Notes", s.Notes, false)...)
	return append(blocks, Texts("Photos", photoList(s, o.Units), false)...)
}

// lines is the legend, where the drawing has more lines than speak for
// themselves.
func lines(d *Drawing) []Block {
	edges := d.Layer(LayerEdges)
	if edges == nil {
		return nil
	}
	return []Block{legend{"Lines", []*Layer{d.Layer(LayerHoles), edges}, []string{
		"hole or grille, measured",
		"the panel's edges, as seen: keep clear",
	}}}
}

func uses(s *calib.Survey) []string {
	texts := []string{
		"Seen from the side in the photo. The sheet's top is the square's top.",
		"Lay it on the panel: each ring must lie on its hole all round. If one does not, do not drill.",
		"Mark through the crosses.",
	}
	for _, f := range s.Features {
		if f.Spacer > 0 {
			texts = append(texts, "A spacer as in the table of heights, between each lower boss and a flat plate, lets the plate lie level.")
			break
		}
	}
	if t := s.Tweeter; t != nil {
		texts = append(texts, "T is the tweeter's centre, from: "+t.From+".")
	}
	return texts
}

// mostRows is what a table may have before it goes on in another.
const mostRows = 15

func circleTables(s *calib.Survey, u Units) []Block {
	high := false
	for _, f := range s.Features {
		high = high || f.Z != 0
	}
	high = high && !measuredHeights(s) // which have a table of their own
	heads := []string{"circle", "ø", "ø ±", "centre ±"}
	if high {
		heads = append(heads, "height")
	}
	var rows [][]string
	for _, f := range s.Features {
		row := []string{f.ID, strings.TrimPrefix(size(f, u), "ø"), u.Format(f.DiameterU95), u.Format(f.U95)}
		if high {
			row = append(row, u.Format(f.Z))
		}
		rows = append(rows, row)
	}
	if t := s.Tweeter; t != nil {
		row := []string{"T", "", "", u.Format(t.U95)}
		if high {
			row = append(row, "")
		}
		rows = append(rows, row)
	}
	return Tables(fmt.Sprintf("Circles (%v), ± is U95", u), heads, rows)
}

// measuredHeights tells whether heights have an uncertainty of their own.
func measuredHeights(s *calib.Survey) bool {
	return slices.ContainsFunc(s.Features, func(f calib.Feature) bool { return f.ZU95 > 0 })
}

// heightTables lists how high each circle's face stands, and which spacers even
// the holes' faces out.
func heightTables(s *calib.Survey, u Units) []Block {
	if !measuredHeights(s) {
		return nil
	}
	spacers := slices.ContainsFunc(s.Features, func(f calib.Feature) bool { return f.Spacer > 0 })
	heads := []string{"circle", "height", "±"}
	if spacers {
		heads = append(heads, "spacer")
	}
	var rows [][]string
	var untold []string
	for _, f := range s.Features {
		if f.HeightSource == calib.HeightAssumed {
			untold = append(untold, f.ID)
			continue
		}
		row := []string{f.ID, u.Format(f.Z), u.Format(f.ZU95)}
		switch {
		case f.Spacer > 0:
			row = append(row, u.Format(f.Spacer))
		case spacers && f.Kind == calib.KindHole:
			row = append(row, "none")
		case spacers:
			row = append(row, "")
		}
		rows = append(rows, row)
	}
	if len(untold) > 0 {
		row := []string{strings.Join(untold, ", "), "as the square", "not told"}
		rows = append(rows, append(row, make([]string, len(heads)-len(row))...))
	}
	return Tables(fmt.Sprintf("Heights above the square's face (%v)", u), heads, rows)
}

func distanceTables(s *calib.Survey, u Units) []Block {
	// Where the tweeter's centre is the grille's, one row says both.
	type length struct {
		from    string
		mm, u95 float64
	}
	known := map[length]int{}
	var rows [][]string
	for _, d := range s.Distances {
		same := length{d.From, d.MM, d.U95}
		if i, ok := known[same]; ok && d.To == "T" {
			rows[i][0] += ", T"
			continue
		}
		known[same] = len(rows)
		rows = append(rows, []string{d.From + " – " + d.To, u.Format(d.MM), u.Format(d.U95)})
	}
	return Tables(fmt.Sprintf("Centre to centre (%v), ± is U95", u), []string{"from – to", "distance", "±"}, rows)
}

// checkTables holds the user's own measurements against what was found.
func checkTables(s *calib.Survey, u Units) []Block {
	var rows [][]string
	for _, c := range s.Checks {
		verdict := "agrees"
		if !c.Agrees {
			verdict = "NOT"
		}
		rows = append(rows, []string{c.From + " – " + c.To, u.Format(c.Measured), u.Format(c.MeasuredU95), u.Format(c.Found), verdict})
	}
	return Tables(fmt.Sprintf("Checked by measuring (%v)", u), []string{"from – to", "measured", "±", "found", ""}, rows)
}

// Tables returns rows under a title and column heads, in as many blocks as
// find room in a column.
func Tables(title string, heads []string, rows [][]string) []Block {
	var blocks []Block
	for len(rows) > 0 {
		n := min(mostRows, len(rows))
		blocks = append(blocks, table{title, heads, rows[:n]})
		rows, title = rows[n:], strings.TrimSuffix(title, goesOn)+goesOn
	}
	return blocks
}

// origin says in a line what was measured from what.
func origin(s *calib.Survey, u Units) string {
	line := "Template 1:1"
	join := func(format string, a ...any) {
		line += "  ·  " + fmt.Sprintf(format, a...)
	}
	switch n := len(s.Photos); n {
	case 0:
	case 1:
		join("%s", viewpoint(s.Photos[0], u))
	default:
		join("%d photos", n)
	}
	switch n := len(s.Squares); n {
	case 0:
	case 1:
		join("%s %s × %s %v", cmp.Or(s.Squares[0].Kind, "square"), u.Format(s.Squares[0].Size[0]), u.Format(s.Squares[0].Size[1]), u)
	default:
		join("%d squares, the first %s × %s %v", n, u.Format(s.Squares[0].Size[0]), u.Format(s.Squares[0].Size[1]), u)
	}
	return line
}

func viewpoint(p calib.SurveyPhoto, u Units) string {
	return fmt.Sprintf("tilt %.1f°, %s %v away", p.Tilt, whole(p.Distance, u), u)
}

// photoList tells of each photo, when there are several.
func photoList(s *calib.Survey, u Units) []string {
	if len(s.Photos) < 2 {
		return nil
	}
	var lines []string
	for _, p := range s.Photos {
		lines = append(lines, p.File+": "+viewpoint(p, u))
	}
	return lines
}

// whole returns a length as far as one would care how near the camera was.
func whole(mm float64, u Units) string {
	if u == Inches {
		return fmt.Sprintf("%.1f", mm/inch)
	}
	return fmt.Sprintf("%.0f", mm)
}

// subject names the photos.
func subject(s *calib.Survey) string {
	switch n := len(s.Photos); n {
	case 0:
		return "Template"
	case 1:
		return s.Photos[0].File
	default:
		return fmt.Sprintf("%s and %d more", s.Photos[0].File, n-1)
	}
}
