package main

import (
	"fmt"
	"io"
	"strings"

	"trimscribe/calib"
	"trimscribe/template"
)

// report tells a person what was found, in six lines and one each for heights
// that were measured and for traced edges, then what is doubtful, then the
// files.
func report(w io.Writer, s *calib.Survey, u template.Units, paths []string) {
	for i := range s.Photos {
		fmt.Fprintf(w, "%-8s%s\n", "photo", photoWords(s, i))
	}
	for _, line := range []struct{ head, text string }{
		{"square", squareWords(s, u)},
		{"camera", cameraWords(s, u)},
		{"holes", holeWords(s, u)},
		{"grille", grilleWords(s, u)},
		{"tweeter", bodyWords(s, u)},
		{"heights", heightWords(s, u)},
		{"others", otherWords(s)},
	} {
		if line.text != "" {
			fmt.Fprintf(w, "%-8s%s\n", line.head, line.text)
		}
	}
	if len(s.Traces) > 0 {
		fmt.Fprintf(w, "%-8s%s\n", "edges", edgeWords(s, u))
	}
	for _, c := range s.Checks {
		fmt.Fprintf(w, "%-8s%s\n", "check", checkWords(c, u))
	}
	if len(s.Doubts) > 0 {
		fmt.Fprintln(w, "\nDoubtful:")
		for _, d := range s.Doubts {
			fmt.Fprintln(w, "  "+d)
		}
	}
	if len(s.Advice) > 0 {
		fmt.Fprintln(w, "\nThe photo could be better:")
		for _, a := range s.Advice {
			fmt.Fprintln(w, "  "+a.Text)
		}
	}
	for i, n := range s.Notes {
		if i == 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintln(w, n)
	}
	fmt.Fprintln(w)
	for _, p := range paths {
		fmt.Fprintln(w, p)
	}
}

func photoWords(s *calib.Survey, i int) string {
	p := s.Photos[i]
	text := fmt.Sprintf("%s, %d x %d pixels", p.File, p.Width, p.Height)
	if i > 0 {
		text += fmt.Sprintf(", tilted by %.1f degrees", p.Tilt) // the first has a line for its camera
	}
	return text
}

func squareWords(s *calib.Survey, u template.Units) string {
	var each []string
	for _, q := range s.Squares {
		if q.Kind == calib.KindRectangle {
			each = append(each, fmt.Sprintf("none; in its place a rectangle of %s x %s %s", u.Format(q.Size[0]), u.Format(q.Size[1]), u))
			continue
		}
		each = append(each, fmt.Sprintf("number %d, %s x %s %s", q.Number, u.Format(q.Size[0]), u.Format(q.Size[1]), u))
	}
	return fmt.Sprintf("%s, seen at %.1f pixels/mm", strings.Join(each, "; "), s.Photos[0].PxPerMM)
}

func cameraWords(s *calib.Survey, u template.Units) string {
	p := s.Photos[0]
	source := map[string]string{
		calib.FocalExif:     "from the photo's Exif",
		calib.FocalGiven:    "as given",
		calib.FocalSquare:   "from the square's perspective",
		calib.FocalAssumed:  "only assumed",
		calib.FocalLensFile: "from the lens file",
	}[p.FocalSource]
	away := fmt.Sprintf("%.0f mm", p.Distance)
	if u == template.Inches {
		away = fmt.Sprintf("%.1f in", p.Distance/25.4)
	}
	return fmt.Sprintf("%s away, tilted by %.1f degrees; focal length %s", away, p.Tilt, source)
}

func holeWords(s *calib.Survey, u template.Units) string {
	var each []string
	for _, f := range s.Features {
		if f.Kind == calib.KindHole {
			each = append(each, f.ID+" "+widthWords(f, u))
		}
	}
	if len(each) == 0 {
		return "none found"
	}
	return fmt.Sprintf("%d: %s %s wide", len(each), list(each), u)
}

func grilleWords(s *calib.Survey, u template.Units) string {
	for _, g := range s.Features {
		if g.Kind == calib.KindGrille {
			return hubWords(s, g, u)
		}
	}
	return "none found"
}

// heightWords tells the heights that the photos or the user gave, and what
// hangs on those that nobody did.
func heightWords(s *calib.Survey, u template.Units) string {
	told, untold := toldWords(s, u), untoldWords(s, u)
	if told != "" && untold != "" {
		return told + "; " + untold
	}
	return told + untold
}

// toldWords tells each height that has an uncertainty, with its spacer.
func toldWords(s *calib.Survey, u template.Units) string {
	var each, spacers []string
	worst := 0.0
	for _, f := range s.Features {
		if f.ZU95 == 0 {
			continue
		}
		each = append(each, fmt.Sprintf("%s %s", f.ID, u.Format(f.Z)))
		worst = max(worst, f.ZU95)
		if f.Spacer > 0 {
			spacers = append(spacers, fmt.Sprintf("%s on %s", u.Format(f.Spacer), f.ID))
		}
	}
	if len(each) == 0 {
		return ""
	}
	text := fmt.Sprintf("%s %s above the square's face, +-%s", list(each), u, u.Format(worst))
	if len(spacers) > 0 {
		text += fmt.Sprintf("; a flat plate needs a spacer of %s", list(spacers))
	}
	return text
}

// bodyWords tells of the tweeter's body; nothing when none is chosen.
func bodyWords(s *calib.Survey, u template.Units) string {
	for _, b := range s.Features {
		if b.Kind == calib.KindTweeter {
			return "its body is " + hubWords(s, b, u)
		}
	}
	return ""
}

// hubWords tells how wide the grille or the tweeter's body is, and how far the
// holes are from its centre.
func hubWords(s *calib.Survey, g calib.Feature, u template.Units) string {
	text := fmt.Sprintf("%s %s wide", widthWords(g, u), u)
	var each []string
	worst := 0.0
	for _, d := range s.Distances {
		other := d.To
		if d.To == g.ID {
			other = d.From
		}
		if (d.From == g.ID || d.To == g.ID) && isHole(s, other) {
			each = append(each, other+" "+u.Format(d.MM))
			worst = max(worst, d.U95)
		}
	}
	if len(each) > 0 {
		text += fmt.Sprintf("; centre to %s, +-%s", list(each), u.Format(worst))
	}
	return text
}

// widthWords is a diameter, or the two widths of what is not round.
func widthWords(f calib.Feature, u template.Units) string {
	if f.Widths != nil {
		return u.Format(f.Widths[0]) + " x " + u.Format(f.Widths[1])
	}
	return u.Format(f.Diameter)
}

func isHole(s *calib.Survey, id string) bool {
	for _, f := range s.Features {
		if f.ID == id {
			return f.Kind == calib.KindHole
		}
	}
	return false
}

func otherWords(s *calib.Survey) string {
	switch n := len(s.Candidates); n {
	case 0:
		return "no other circle looks like a hole or a grille"
	case 1:
		return "one more circle, not chosen; it is numbered in the overlay picture"
	default:
		return fmt.Sprintf("%d more circles, not chosen; they are numbered in the overlay picture", n)
	}
}

func checkWords(c calib.Check, u template.Units) string {
	verdict := "agrees"
	if !c.Agrees {
		verdict = "does NOT agree"
	}
	return fmt.Sprintf("%s is %s +-%s %s as measured, %s +-%s as found: %s", c.Name(),
		u.Format(c.Measured), u.Format(c.MeasuredU95), u, u.Format(c.Found), u.Format(c.FoundU95), verdict)
}
