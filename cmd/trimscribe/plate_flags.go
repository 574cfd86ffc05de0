package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"trimscribe/template"
	"trimscribe/template/plate"
)

// plateFlags is what `trimscribe plate` can be told. The flags about the part
// write straight into its settings, over what a file gave.
type plateFlags struct {
	output
	set        plate.Settings
	material   string
	settings   string // a file
	photo      string
	paper      paper
	units      units
	printScale printScale
	formats    plateFormats
	help       bool
}

// The plate's formats.
var allPlateFormats = []string{"dxf", "svg", "pdf", "stl", "3mf", "png"}

func (f *plateFlags) groups() []group {
	f.paper.Paper, _ = template.ParsePaper("A4")
	f.formats = allPlateFormats
	s := &f.set
	mm := func(p *float64, least, most float64, example string) *plateLength {
		return &plateLength{length{least: least, most: most, example: example}, p}
	}
	sizes := func(example string, into ...any) *plateSizes { return &plateSizes{into, example} }

	tweeter := newGroup("The tweeter, as the callipers say")
	tweeter.Var(mm(&s.TweeterDiameter, 5, 250, "43.6"), "tweeter-diameter", "its body's diameter: --tweeter-diameter 43.6")
	tweeter.Var(mm(&s.Clearance, -1, 5, "0.3"), "clearance", "how much wider the bore is, 0.3 if you do not say; 0 or less to press it in: --clearance 0.2")
	tweeter.Var(mm(&s.Dome, 0, 250, "25"), "dome", "diameter of the dome or what else radiates and must stay free: --dome 25")
	tweeter.Var((*plateOffset)(&s.TweeterOffset), "tweeter-offset", "move its centre off the survey's, so far right and up as seen in the photo: --tweeter-offset 0,-1.5")
	tweeter.Var(&oneOf{&s.Hold, plate.Holds}, "hold", "how it is held, "+strings.Join(plate.Holds, ", ")+"; plain if you do not say: --hold lock-tabs")
	tweeter.Var(sizes("3x6x1.5", &s.Tabs.Count, &s.Tabs.Width, &s.Tabs.Depth), "tabs", "lock tabs: number x width x depth: --tabs 3x6x1.5")
	tweeter.Var(&degrees{&s.Tabs.Angle}, "tab-angle", "where the first tab's middle is, anticlockwise from the right as seen in the photo, 90 if you do not say: --tab-angle 30")
	tweeter.Var(mm(&s.Tabs.Channel, 0.2, 50, "3.2"), "channel", "height of the channel in the tweeter that the tabs turn into: --channel 3.2")
	tweeter.Var(mm(&s.Tabs.Thickness, 0.2, 50, "2"), "tab-thickness", "of the tabs in the 3D files, when they are to be thinner than the plate: --tab-thickness 2")
	tweeter.Var(sizes("3x52x3.2", &s.RingHoles.Count, &s.RingHoles.Circle, &s.RingHoles.Diameter), "ring-holes", "screw holes for the tweeter's own flange: number x bolt circle x diameter: --ring-holes 3x52x3.2")
	tweeter.Var(&degrees{&s.RingHoles.Angle}, "ring-angle", "where the first of them is: --ring-angle 30")
	tweeter.Var(sizes("52x2", &s.Seat.Diameter, &s.Seat.Thickness), "seat", "let a flange sit flush in a second ring on top: its diameter x thickness: --seat 52x2")
	tweeter.Var(sizes("6x3", &s.Foam.Width, &s.Foam.Thickness), "foam", "closed-cell foam for its rim and round its body: width x thickness: --foam 6x3")

	holes := newGroup("The mounting holes")
	holes.Var((*words)(&s.Holes), "use-holes", "pick up these only: --use-holes H1,H3")
	holes.Var(&oneOf{&s.Screw, plate.ScrewNames()}, "screw", "which screws, "+strings.Join(plate.ScrewNames(), ", ")+"; M4 if you do not say: --screw M4")
	holes.Var(&oneOf{&s.Fit, []string{plate.Fine, plate.Medium, plate.Coarse}}, "fit", "how much wider their holes are by ISO 273, fine, medium or coarse; medium if you do not say: --fit coarse")
	holes.Var(mm(&s.ScrewHole, 1, 30, "4.5"), "screw-hole", "the holes' diameter itself: --screw-hole 4.5")
	holes.Var(mm(&s.Slot, 0, 20, "1"), "slot", "make the holes slots along their ears, so much longer than wide: --slot 1")

	part := newGroup("The plate")
	part.Var(&materialName{&f.material}, "material", "set thickness, kerf and limits for "+strings.Join(plate.MaterialNames(), ", ")+"; each can be overridden: --material acrylic")
	part.Var(mm(&s.Thickness, 0.2, 50, "3"), "thickness", "of the sheet, 3 if you do not say: --thickness 3")
	part.Var(mm(&s.Wall, 0, 200, "6"), "wall", "the ring's width; chosen if you do not say: --wall 6")
	part.Var(mm(&s.EarWidth, 0, 200, "18"), "ear-width", "the ears' width; by the screw holes if you do not say: --ear-width 16")
	part.Var(mm(&s.Fillet, 0.2, 200, "3"), "fillet", "radius of the inside corners; 3 or the thickness if you do not say: --fillet 4")
	part.Var(mm(&s.RoundOver, 0, 20, "1"), "round-over", "round the outline's top edge in the 3D files: --round-over 1")
	part.Var(mm(&s.LeastWall, 0, 50, "3"), "least-wall", "limit: wall between two openings: --least-wall 3")
	part.Var(&factor{&s.LeastEdge, 0.5, 10, "2"}, "least-edge", "limit: hole's centre to the edge, in hole diameters: --least-edge 2")
	part.Var(&factor{&s.LeastFillet, 0, 10, "0.5"}, "least-fillet", "limit: radius of the inside corners, in thicknesses: --least-fillet 0.5")

	making := newGroup("Making it")
	making.Var(mm(&s.Kerf, 0, 5, "0.2"), "kerf", "offset the DXF and SVG by half of what the cutter takes: --kerf 0.2")
	making.Var(sizes("300x200", &s.Sheet[0], &s.Sheet[1]), "sheet", "lay the parts on sheets of that size; as large as it takes if you do not say: --sheet 300x200")
	making.Var(mm(&s.Gap, 0, 100, "3"), "gap", "between parts on the sheet, 3 if you do not say: --gap 5")
	making.Var(&oneOf{&s.Side, []string{plate.Left, plate.Right}}, "side", "which side of the vehicle the panel is from, left or right: --side left")
	making.BoolVar(&s.Mirror, "mirror", s.Mirror, "make the plate for the other side: the mirror image")
	making.BoolVar(&s.Both, "both", s.Both, "make one for each side, marked left and right")
	making.Var(&quantity{&s.Quantity}, "quantity", "how many, of each side: --quantity 2")

	drawing := newGroup("The drawings")
	drawing.StringVar(&f.settings, "settings", "", "`file` of settings to begin with, as in a plate.json; flags override it: --settings workshop.plate.json")
	drawing.StringVar(&f.photo, "photo", "", "`file` of the photo, when it does not lie beside the survey: --photo panel.jpg")
	drawing.Var(&f.paper, "paper", "paper for the test piece, A4 if you do not say: --paper letter")
	drawing.Var(&f.units, "units", "units of the words on it, mm or in: --units in")
	drawing.Var(&f.formats, "formats", "which to write, of "+strings.Join(allPlateFormats, ",")+"; all if you do not say: --formats dxf,pdf")
	drawing.Var(&f.printScale, "print-scale", "what the 100 mm checks of your last print measure, across and up: --print-scale 99.6,100.2")

	return []group{tweeter, holes, part, making, drawing, f.output.group("next to the survey"), general(&f.help, nil)}
}

// plateLength is a length that goes into a setting.
type plateLength struct {
	length
	into *float64
}

func (v *plateLength) String() string { return "" }
func (v *plateLength) Set(s string) error {
	if err := v.length.Set(s); err != nil {
		return err
	}
	*v.into = v.mm
	return nil
}

// plateSizes is sizes joined by x, such as 3x6x1.5; the first may be a count.
type plateSizes struct {
	into    []any // *int or *float64
	example string
}

func (v *plateSizes) Type() string   { return strings.Repeat("xN", len(v.into))[1:] }
func (v *plateSizes) String() string { return "" }
func (v *plateSizes) Set(s string) error {
	fail := fmt.Errorf("give %d sizes in mm joined by x, such as %s", len(v.into), v.example)
	parts := strings.Split(strings.ToLower(strings.ReplaceAll(s, "×", "x")), "x")
	if len(parts) != len(v.into) {
		return fail
	}
	for i, p := range parts {
		switch into := v.into[i].(type) {
		case *int:
			n, err := strconv.Atoi(strings.TrimSpace(p))
			if err != nil || n < 1 || n > 24 {
				return fail
			}
			*into = n
		case *float64:
			mm, ok := parseLength(p)
			if !ok || mm <= 0 || mm > 5000 {
				return fail
			}
			*into = mm
		}
	}
	return nil
}

// oneOf is one of several words, in any case.
type oneOf struct {
	into *string
	of   []string
}

func (v *oneOf) Type() string   { return "WORD" }
func (v *oneOf) String() string { return "" }
func (v *oneOf) Set(s string) error {
	i := slices.IndexFunc(v.of, func(w string) bool { return strings.EqualFold(w, s) })
	if i < 0 {
		return fmt.Errorf("give one of %s", strings.Join(v.of, ", "))
	}
	*v.into = v.of[i]
	return nil
}

// materialName is a material's preset.
type materialName struct{ into *string }

func (v *materialName) Type() string   { return "NAME" }
func (v *materialName) String() string { return "" }
func (v *materialName) Set(s string) error {
	m, err := plate.FindMaterial(s)
	if err == nil {
		*v.into = m.Name
	}
	return err
}

// words is a list of names: "H1,H3".
type words []string

func (v *words) Type() string   { return "NAME,..." }
func (v *words) String() string { return "" }
func (v *words) Set(s string) error {
	*v = nil
	for w := range strings.SplitSeq(s, ",") {
		if w = strings.ToUpper(strings.TrimSpace(w)); w == "" {
			return errors.New("give holes as the template names them, such as H1,H3")
		}
		*v = append(*v, w)
	}
	return nil
}

// plateOffset is a place against another, mm.
type plateOffset [2]float64

func (v *plateOffset) Type() string   { return "x,y" }
func (v *plateOffset) String() string { return "" }
func (v *plateOffset) Set(s string) error {
	var o offset
	if err := o.Set(s); err != nil {
		return err
	}
	*v = plateOffset{o.X, o.Y}
	return nil
}

// degrees is an angle.
type degrees struct{ into *float64 }

func (v *degrees) Type() string   { return "DEGREES" }
func (v *degrees) String() string { return "" }
func (v *degrees) Set(s string) error {
	a, ok := parseNumber(strings.TrimSuffix(s, "°"))
	if !ok || a < -360 || a > 360 {
		return errors.New("give degrees from -360 to 360, such as 30")
	}
	*v.into = a
	return nil
}

// factor is a plain number.
type factor struct {
	into        *float64
	least, most float64
	example     string
}

func (v *factor) Type() string   { return "N" }
func (v *factor) String() string { return "" }
func (v *factor) Set(s string) error {
	n, ok := parseNumber(s)
	if !ok || n < v.least || n > v.most {
		return fmt.Errorf("give a number from %g to %g, such as %s", v.least, v.most, v.example)
	}
	*v.into = n
	return nil
}

// quantity is how many.
type quantity struct{ into *int }

func (v *quantity) Type() string   { return "N" }
func (v *quantity) String() string { return "" }
func (v *quantity) Set(s string) error {
	c := count{least: 1, most: 200, example: "2"}
	if err := c.Set(s); err != nil {
		return err
	}
	*v.into = c.n
	return nil
}

// plateFormats is which files are written: "dxf,pdf".
type plateFormats []string

func (v *plateFormats) Type() string   { return "LIST" }
func (v *plateFormats) String() string { return "" }
func (v *plateFormats) Set(s string) (err error) {
	*v, err = someOf(allPlateFormats, s)
	return err
}
