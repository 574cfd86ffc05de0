package main

import (
	"bytes"
	"cmp"
	"fmt"
	"io"

	"trimscribe/calib"
	"trimscribe/template"
)

// squareFile is the sheet's file name.
const squareFile = "reference-square.pdf"

// squareFlags is what `trimscribe square` can be told.
type squareFlags struct {
	output
	paper      paper
	size       length
	count      count
	units      units
	printScale printScale
	help       bool
}

func (f *squareFlags) groups() []group {
	f.paper.Paper, _ = template.ParsePaper("A4")
	f.size = length{least: 20, most: 150, example: "60"}
	f.count = count{least: 1, most: 50, example: "2"}
	sheet := newGroup("The sheet")
	sheet.Var(&f.size, "size", fmt.Sprintf("outside size of the square, %g if you do not say: --size 40", calib.SquareSize))
	sheet.Var(&f.count, "count", "how many, numbered from 1; two or more make a wide panel surer: --count 2")
	sheet.Var(&f.paper, "paper", "sheet to print on, A4 if you do not say: --paper letter")
	sheet.Var(&f.units, "units", "units, mm or in; in adds a scale check in inches: --units in")
	sheet.Var(&f.printScale, "print-scale", "what the 100 mm checks of your last print measure, across and up: --print-scale 99.6,100.2")
	return []group{sheet, f.output.group("this one"), general(&f.help, nil)}
}

// squareCommand writes the reference-square sheet.
func squareCommand(args []string, stdout io.Writer) (int, error) {
	var f squareFlags
	groups := f.groups()
	rest, err := parse(groups, args)
	switch {
	case err != nil:
		return 0, err
	case f.help:
		fmt.Fprint(stdout, squareHelp(groups))
		return statusGood, nil
	case len(rest) > 0:
		return 0, usagef("trimscribe square takes flags only, and %q is none", rest[0])
	}
	pages, err := template.SquareSheet(template.SheetOptions{
		Paper: f.paper.Paper, Size: f.size.mm, Count: f.count.n, Units: f.units.Units, PrintScale: f.printScale,
	})
	if err != nil {
		return 0, err
	}
	return f.writePrintable(stdout, squareFile, "Reference square", pages,
		`Print it at 100 % (not "fit to page"), on plain white paper, and measure the square with callipers.`)
}

// writePrintable writes the one file of a command that makes a sheet to
// print, and says what to do with it.
func (o *output) writePrintable(stdout io.Writer, name, title string, pages []template.Page, advice string) (int, error) {
	dir := cmp.Or(o.dir, ".")
	if err := checkTargets(dir, []string{name}, o.force); err != nil {
		return 0, err
	}
	var b bytes.Buffer
	if err := template.WritePDF(&b, title, pages); err != nil {
		return 0, err
	}
	paths, err := writeAll(dir, []file{{name, b.Bytes()}})
	if err != nil {
		return 0, err
	}
	if o.json {
		return statusGood, writeJSON(stdout, struct {
			Status int      `json:"status"`
			Files  []string `json:"files"`
		}{statusGood, paths})
	}
	fmt.Fprintf(stdout, "%s\n\n%s\n", paths[0], advice)
	return statusGood, nil
}
