package main

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/spf13/pflag"

	"trimscribe/calib"
	"trimscribe/template"
)

// What a person types with callipers in hand is understood, and a slip is not
// taken for a size.
func TestSquareSize(t *testing.T) {
	for in, want := range map[string][2]float64{
		"59.7x60.2": {59.7, 60.2}, "60": {60, 60}, "59,7x60,2": {59.7, 60.2}, "59.7X60.2mm": {59.7, 60.2}, "59.7mm x 60.2mm": {59.7, 60.2},
		"59.7×60.2": {59.7, 60.2}, "2.5in": {63.5, 63.5}, `2.5"`: {63.5, 63.5}, "2.5x2.5in": {63.5, 63.5},
	} {
		var got squareSize
		if err := got.Set(in); err != nil || math.Hypot(got.mm[0]-want[0], got.mm[1]-want[1]) > 1e-9 {
			t.Errorf("%q: %v, %v", in, got, err)
		}
	}
	for in, want := range map[string]string{
		"": "59.7x60.2", "big": "59.7x60.2", "59.7x": "59.7x60.2", "5.97x6.02": "15 to 300", "59.7x62.2": "differ", "NaN": "59.7x60.2", "0x1p6": "59.7x60.2",
		"-60x-60": "15 to 300", "59.7x60.2x3": "59.7x60.2", "1e2": "",
	} {
		var got squareSize
		err := got.Set(in)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v, %v", in, got, err)
		}
	}
}

// Each flag takes its good values, and its error has an example that is one.
func TestFlagValues(t *testing.T) {
	for name, c := range map[string]struct{ good, bad string }{
		"trace":           {"60 60mm 2.4in 2,4", "x -1 0 1;2"},
		"square-size":     {"59.7x60.2 59.7x60.2+-0.05 60±0.1mm", "x 5 61x55 60+-0 60+-x 60+-5"},
		"focal-equiv":     {"26 27.5", "0 -1 abc"},
		"holes":           {"1 3 12", "0 13 2.5 three -1"},
		"hole-diameter":   {"4.2 4,2 4.2mm 0.165in", "0 40 4.2cm x"},
		"grille-diameter": {"44 1.73in", "4 400"},
		"hole-height":     {"0 6.5 -2 6.5+-0.3 -2±0,1mm", "1000 up 6+-0 6+-x 6+-30"},
		"height":          {"H1=8.5 g=-2 C5=3 5=3+-0.1 h12=0.3in", "H1 H0=3 =3 H1=x X1=3 H1=3+-0 T=3 H1=8.5=3"},
		"grille-height":   {"0 6.5 -2", "1000 up"},
		"pick":            {"3 3,7 C3,c7", "0 H1 x 3,,7"},
		"drop":            {"3 3,7 C3,c7", "0 H1 x 3;7"},
		"tweeter-offset":  {"0,-3.5 1mm,2mm -1,-1", "3 1,5,2 x,y 1000,0"},
		"near":            {"812,640 0,0 12.5,7", "812 -1,2 a,b 1,2,3 ,"},
		"check":           {"H1-H2=78.4 h1-g=39.6+-0.1 H1-T=39,6±0.2mm T-H12=1.5in+-0.1mm", "H1-H2 H1=3 H1-H1=40 G-T=1 H1-H2=-3 H1-H2=78+-0 C3-H1=4 H1-H2=x =4 H1-H2="},
		"paper":           {"a4 A4 letter a3-landscape", "a9 foolscap"},
		"units":           {"mm in", "cm"},
		"formats":         {"pdf pdf,dxf PDF", "doc pdf,,svg"},
		"print-scale":     {"99.6,100.2 99.6 100", "50,50 x 99,6,100 0.99"},
	} {
		flag := func() *pflag.Flag {
			var f photoFlags
			for _, g := range f.groups() {
				if l := g.Lookup(name); l != nil {
					return l
				}
			}
			t.Fatalf("no flag %s", name)
			return nil
		}
		for v := range strings.FieldsSeq(c.good) {
			if err := flag().Value.Set(v); err != nil {
				t.Errorf("--%s %s: %v", name, v, err)
			}
		}
		for v := range strings.FieldsSeq(c.bad) {
			if err := flag().Value.Set(v); err == nil {
				t.Errorf("--%s %s is taken", name, v)
			}
		}
		example := strings.TrimPrefix(exampleOf(flag()), "--"+name+" ")
		if err := flag().Value.Set(example); err != nil {
			t.Errorf("--%s: its example %q: %v", name, example, err)
		}
	}
}

// A clash of flags is said before any work is done.
func TestFlagsAgree(t *testing.T) {
	for args, want := range map[string]string{
		"--pick 3 --drop 4":                         "",
		"--pick 3,4 --drop 4":                       "circle 4 is both",
		"--hole-diameter 12 --grille-diameter 110":  "",
		"--hole-diameter 14 --grille-diameter 15":   "",
		"--grille-diameter 15mm --hole-diameter 14": "",
		"--bogus":             "there is no flag --bogus",
		"-z":                  "there is no flag -z",
		"--holes":             "--holes needs a value: --holes 3",
		"--holes=x":           `--holes "x": give a whole number from 1 to 12, such as 3`,
		"--square-size=60x70": "the sides differ",
	} {
		var f photoFlags
		_, err := parse(f.groups(), strings.Fields(args))
		if err == nil {
			err = f.agree(1)
		}
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", args, err)
		}
	}
}

// The printed check's length becomes the printer's scale, in the template's
// sense: what it makes of 1 mm.
func TestPrintScale(t *testing.T) {
	var v printScale
	if err := v.Set("99.5,100.2"); err != nil || v != (printScale{99.5 / 100, 100.2 / 100}) {
		t.Errorf("%v, %v", v, err)
	}
	o := template.Options{PrintScale: v} // the same meaning: see its comment
	if o.PrintScale[0] != 0.995 {
		t.Error(o.PrintScale)
	}
}

// A height is of what was chosen, by its id, or of a circle by its number; what
// is not there is refused.
func TestHeightsFindTheirCircles(t *testing.T) {
	var v heights
	for _, s := range []string{"H2=8.5+-0.3", "G=-2", "c5=1"} {
		if err := v.Set(s); err != nil {
			t.Fatal(err)
		}
	}
	if err := v.Set("h2=8"); err == nil {
		t.Error("H2 is taken twice")
	}
	choice := calib.Choice{Holes: []int{3, 1}, Grille: 2}
	got, err := v.find(choice, 6)
	if err != nil || got[1].mm != 8.5 || got[1].bound != 0.3 || got[2].mm != -2 || got[2].bound != usualHeightBound || got[4].mm != 1 || len(got) != 3 {
		t.Errorf("%v, %v", got, err)
	}
	for _, bad := range []string{"H3=1", "C7=1", "C2=1"} { // C2 is H2
		more := slices.Clone(v)
		if err := more.Set(bad); err != nil {
			t.Fatal(err)
		}
		if _, err := more.find(choice, 6); err == nil {
			t.Errorf("%s is taken", bad)
		}
	}
}
