package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/spf13/pflag"

	"trimscribe/calib"
	"trimscribe/template"
)

// photoFlags is what `trimscribe PHOTO` can be told.
type photoFlags struct {
	output
	square          squareSize
	rectangle       rectangleSize
	corners         corners
	focalEquiv      length
	lens            lensFile
	holes           count
	holeDiameter    length
	grilleDiameter  length
	holeHeight      height
	grilleHeight    height
	tweeterDiameter length
	tweeterHeight   height
	heights         heights
	budget          bool
	pick, drop      numbers
	near            places
	tweeterOffset   offset
	checks          checks
	paper           paper
	units           units
	formats         formats
	printScale      printScale
	underlay        bool
	trace           traceRadius
	help, isVersion bool
}

// output is where a command's files go, and how it speaks.
type output struct {
	dir   string
	force bool
	json  bool
}

// group is flags that belong together in the help text.
type group struct {
	title string
	*pflag.FlagSet
}

func newGroup(title string) group {
	f := pflag.NewFlagSet(title, pflag.ContinueOnError)
	f.SortFlags = false
	return group{title, f}
}

func (f *photoFlags) groups() []group {
	f.square = squareSize{[2]float64{calib.SquareSize, calib.SquareSize}, usualSquareBound, false}
	f.focalEquiv = length{least: 8, most: 500, example: "26"}
	f.holes = count{least: 1, most: 12, example: "3"}
	f.holeDiameter = length{least: 1.5, most: 14, example: "4.2"}
	f.grilleDiameter = length{least: 15, most: 130, example: "44"}
	f.holeHeight = newHeight("6.5")
	f.grilleHeight = newHeight("-2")
	f.tweeterDiameter = length{least: 15, most: 130, example: "43.6"}
	f.tweeterHeight = newHeight("1.5")
	f.paper.Paper, _ = template.ParsePaper("A4")
	f.formats = allFormats

	square := newGroup("The square and the camera")
	square.Var(&f.square, "square-size", fmt.Sprintf("outside size of the printed square as the callipers say, across and up (60x60 if you do not say); +- says how far off it may be (%.1f mm if you do not say): --square-size 59.7x60.2+-0.05", usualSquareBound))
	square.Var(&f.rectangle, "rectangle", "a flat rectangle of this size lies there instead of the square, such as a bank card; its first length is along x: --rectangle 85.60x53.98")
	square.Var(&f.corners, "corners", "where its corners are, roughly, in pixels of the photo as it is looked at, in order round it; its edges are found from there: --corners 1210,840 1900,860 1880,1290 1195,1275")
	square.Var(&f.focalEquiv, "focal-equiv", "35 mm-equivalent focal length of the lens, when the photo has lost it: --focal-equiv 26")
	square.Var(&f.lens, "lens", "lens file of the camera, by trimscribe lens; the lens's distortion is taken out: --lens my-phone.lens.json")

	panel := newGroup("What is on the panel")
	panel.Var(&f.holes, "holes", "how many mounting holes there are: --holes 3")
	panel.Var(&f.holeDiameter, "hole-diameter", "roughly how wide they are: --hole-diameter 4.2")
	panel.Var(&f.grilleDiameter, "grille-diameter", "roughly how wide the grille is: --grille-diameter 44")
	panel.Var(&f.holeHeight, "hole-height", fmt.Sprintf("how far the faces with the holes stand above the square's face, below it negative; +- says how far off it may be (%.1f mm if you do not say): --hole-height 6.5", usualHeightBound))
	panel.Var(&f.grilleHeight, "grille-height", "the same for the grille's edge: --grille-height -2")
	panel.Var(&f.heights, "height", "the same for one feature, H1, H2, ... or G, or for a circle by its number in the overlay picture; more than one may be given: --height H1=8.5+-0.3")

	panel.Var(&f.tweeterDiameter, "tweeter-diameter", "a tweeter is mocked up in the opening and seen from its back: the diameter of its body's rim, as the callipers say; its centre is then the tweeter centre: --tweeter-diameter 43.6")
	panel.Var(&f.tweeterHeight, "tweeter-height", "how far that rim stands above the square's face: --tweeter-height 1.5")

	choice := newGroup("To correct what was chosen")
	choice.Var(&f.pick, "pick", "choose circles, by their numbers in the overlay picture: --pick 3,7")
	choice.Var(&f.drop, "drop", "never choose these: --drop 5")
	choice.Var(&f.near, "near", "choose the circle nearest to a place, in pixels of the overlay picture from its top left; more than one may be given: --near 812,640")
	choice.Var(&f.tweeterOffset, "tweeter-offset", "put the tweeter's centre beside the grille's, so far right and up in the square's frame: --tweeter-offset 0,-3.5")

	checking := newGroup("To check what was found")
	checking.Var(&f.checks, "check", fmt.Sprintf("a distance between centres that you measured, in --units, to compare with what was found; +- says how far off it may be (%.1f mm if you do not say); more than one may be given: --check H1-H2=78.4+-0.1", calib.CalliperU95))

	checking.BoolVar(&f.budget, "budget", false, "tell what makes up each uncertainty, in words and on the template")

	drawing := newGroup("The drawings")
	drawing.Var(&f.paper, "paper", "sheet for the template, A4 if you do not say; of "+strings.Join(template.PaperNames(), ", ")+", and -landscape or -portrait behind: --paper a3-landscape")
	drawing.Var(&f.units, "units", "units of labels and tables, mm or in: --units in")
	drawing.Var(&f.formats, "formats", "which to write, of "+strings.Join(allFormats, ",")+"; all if you do not say: --formats pdf,dxf")
	drawing.Var(&f.printScale, "print-scale", "what the 100 mm checks of your last print measure, across and up; the next print is corrected: --print-scale 99.6,100.2")
	drawing.BoolVar(&f.underlay, "underlay", false, "lay the flattened photo, pale and to scale, under the lines")
	drawing.Var(&f.trace, "trace", "trace the panel's edges too (ribs, collar, slots, foam), to keep a mount clear of them: those within so far of the tweeter's centre, in the units of --units; 25 mm beyond the farthest hole if you do not say: --trace 60")
	drawing.Lookup("trace").NoOptDefVal = wholeTrace

	return []group{square, panel, choice, checking, drawing, f.output.group("next to the photo"), general(&f.help, &f.isVersion)}
}

func (o *output) group(where string) group {
	g := newGroup("Files and output")
	g.StringVarP(&o.dir, "out", "o", "", "`folder` for the files, made if it is not there; "+where+" if you do not say: --out templates")
	g.BoolVar(&o.force, "force", false, "overwrite files of these names even if trimscribe did not make them")
	g.BoolVar(&o.json, "json", false, "print one JSON object instead of words")
	return g
}

func general(help, isVersion *bool) group {
	g := newGroup("General")
	g.BoolVarP(help, "help", "h", false, "print this")
	if isVersion != nil {
		g.BoolVar(isVersion, "version", false, "print the version")
	}
	return g
}

// parse reads a command's arguments and returns those that are not flags. Its
// errors are usage errors, each one sentence.
func parse(groups []group, args []string) ([]string, error) {
	all := pflag.NewFlagSet("trimscribe", pflag.ContinueOnError)
	all.SetOutput(io.Discard)
	all.Usage = func() {}
	for _, g := range groups {
		all.AddFlagSet(g.FlagSet)
	}
	if err := all.Parse(args); err != nil {
		return nil, usageError{flagSentence(err)}
	}
	return all.Args(), nil
}

// flagSentence puts pflag's errors in words for a person.
func flagSentence(err error) string {
	var unknown *pflag.NotExistError
	var missing *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case errors.As(err, &unknown):
		name := "--" + unknown.GetSpecifiedName()
		if unknown.GetSpecifiedShortnames() != "" {
			name = "-" + unknown.GetSpecifiedName()
		}
		return fmt.Sprintf("there is no flag %s", name)
	case errors.As(err, &missing):
		return fmt.Sprintf("--%s needs a value: %s", missing.GetFlag().Name, exampleOf(missing.GetFlag()))
	case errors.As(err, &invalid):
		return fmt.Sprintf("--%s %q: %s", invalid.GetFlag().Name, invalid.GetValue(), errors.Unwrap(invalid))
	}
	return err.Error()
}

// exampleOf takes the example off the end of a flag's usage line.
func exampleOf(f *pflag.Flag) string {
	_, example := usageOf(f)
	return example
}

// usageOf parts a flag's usage line, "what it is: --name example".
func usageOf(f *pflag.Flag) (what, example string) {
	_, usage := pflag.UnquoteUsage(f)
	if i := strings.LastIndex(usage, ": --"+f.Name); i >= 0 {
		return usage[:i], usage[i+2:]
	}
	return usage, ""
}

// The help text's columns.
const (
	helpFlags = 26 // where what a flag does begins
	helpWidth = 92
)

// flagText is the groups as a help text, each flag with its example.
func flagText(groups []group) string {
	var b strings.Builder
	for _, g := range groups {
		fmt.Fprintf(&b, "\n%s:\n", g.title)
		g.VisitAll(func(f *pflag.Flag) {
			name := "  --" + f.Name
			if f.Shorthand != "" {
				name = "  -" + f.Shorthand + ", --" + f.Name
			}
			if f.Value.Type() != "bool" {
				value, _ := pflag.UnquoteUsage(f)
				name += " " + value
			}
			what, example := usageOf(f)
			lines := wrap(what, helpWidth-helpFlags)
			if example != "" {
				lines = append(lines, "  "+example)
			}
			for _, line := range lines {
				fmt.Fprintf(&b, "%-*s%s\n", helpFlags, name, line)
				name = ""
			}
		})
	}
	return b.String()
}

// wrap breaks a text into lines of at most width characters.
func wrap(text string, width int) (lines []string) {
	line := ""
	for word := range strings.FieldsSeq(text) {
		if line != "" && len(line)+1+len(word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
