package main

import (
	"fmt"
	"io"
	"strings"

	"trimscribe/template"
	"trimscribe/template/plate"
)

// plateReport tells a person what was designed, what was checked, and where
// it is.
func plateReport(w io.Writer, p *plate.Plate, u template.Units, paths []string) {
	s := &p.Settings
	b := p.Plate.Outline.Bounds()
	screw := ""
	if p.Screw != "" {
		screw = " for " + p.Screw
	}
	material := s.Material
	if material == "" {
		material = "any sheet"
	}
	for _, line := range []struct{ head, text string }{
		{"plate", fmt.Sprintf("%s x %s %s, %s %s thick, %d %s", u.Format(b.W()), u.Format(b.H()), u, u.Format(s.Thickness), u, p.Ears(), plural(p.Ears(), "ear"))},
		{"bore", fmt.Sprintf("%s %s in a ring of %s; %s", u.Format(p.Bore), u, u.Format(p.Ring), holdWords(s, u))},
		{"holes", fmt.Sprintf("%s %s%s, in ears %s wide; fillets %s", u.Format(p.Hole), u, screw, u.Format(2*p.EarHalf), u.Format(p.Fillet))},
		{"stock", fmt.Sprintf("%s: kerf %s, walls from %s %s, edges from %g diameters, fillets from %g thicknesses", material, u.Format(s.Kerf), u.Format(s.LeastWall), u, s.LeastEdge, s.LeastFillet)},
		{"parts", partWords(p)},
	} {
		fmt.Fprintf(w, "%-8s%s\n", line.head, line.text)
	}
	fmt.Fprintln(w, "\nChecked:")
	for _, r := range p.Rules {
		sign := "ok "
		if !r.OK() {
			sign = "NOT"
		}
		fmt.Fprintf(w, "  %s %s: %s (%s)\n", sign, r.What, r.Numbers(), r.Source)
		for _, more := range []string{r.Remark, adviceWords(r)} {
			if more != "" {
				fmt.Fprintf(w, "      %s\n", more)
			}
		}
	}
	if len(p.Doubts) > 0 {
		fmt.Fprintln(w, "\nDoubtful, says the survey:")
		for _, d := range p.Doubts {
			fmt.Fprintln(w, "  "+d)
		}
	}
	fmt.Fprintln(w)
	for _, n := range p.Notes {
		fmt.Fprintln(w, n)
	}
	fmt.Fprintln(w, "Cut a cardboard test piece first. Airbags may hang behind pillar trim; never cut PVC on a laser.")
	fmt.Fprintln(w)
	for _, path := range paths {
		fmt.Fprintln(w, path)
	}
}

func adviceWords(r plate.Rule) string {
	if r.Advice == "" {
		return ""
	}
	return "Change: " + r.Advice + "."
}

func plural(n int, word string) string {
	if n == 1 {
		return word
	}
	return word + "s"
}

func holdWords(s *plate.Settings, u template.Units) string {
	switch s.Hold {
	case plate.HoldLockTabs:
		return fmt.Sprintf("%d lock tabs %s wide, %s deep", s.Tabs.Count, u.Format(s.Tabs.Width), u.Format(s.Tabs.Depth))
	case plate.HoldScrews:
		return fmt.Sprintf("%d ring holes %s wide on %s", s.RingHoles.Count, u.Format(s.RingHoles.Diameter), u.Format(s.RingHoles.Circle))
	}
	return "plain"
}

// partWords lists the parts to be made: "2 plates, 2 seat rings".
func partWords(p *plate.Plate) string {
	var order []string
	n := map[string]int{}
	for _, part := range p.Pieces() {
		if n[part.Name] == 0 {
			order = append(order, part.Name)
		}
		n[part.Name]++
	}
	for i, name := range order {
		order[i] = fmt.Sprintf("%d %s", n[name], plural(n[name], name))
	}
	return strings.Join(order, ", ")
}

func plateHelp() string {
	f := plateFlags{set: plate.Defaults()}
	return `trimscribe plate SURVEY --tweeter-diameter MM [flags]
trimscribe plate NAME.plate.json [flags]

Designs the plate that picks up the panel's mounting holes and holds the tweeter at
its centre. From panel.survey.json it writes panel-plate.dxf and .svg to cut,
panel-plate.pdf (a test piece at 1:1, and a sheet for a cutting shop), panel-plate.stl
and .3mf to print, panel-plate.png, the plate on the panel, and panel.plate.json, the
record: give that to make the next version. Lengths are in mm; 0.165in works too.
` + flagText(f.groups()) + `
Exit status: 0 good; 1 failed, nothing written; 2 wrong usage; 3 written, but the
survey is doubtful. Rules that are not kept are warnings.
`
}
