package template

import (
	"errors"
	"image"

	"trimscribe/calib"
)

// Options say how a survey is drawn.
type Options struct {
	Paper Paper // of the 1:1 pages; none is A4
	Units Units // of the table and the labels
	// PrintScale is what the last print's scale checks measured, over their
	// true 100 mm, across and up the sheet: 0.995 for 99.5 mm. The pages are
	// drawn larger by its reciprocal, so that the next print is true. Zero is
	// unknown and taken as 1. The Drawing and the Preview are not touched.
	PrintScale [2]float64
	Underlay   *Picture // the flattened photo in panel mm, drawn pale under the lines; nil is none
	Cautions   []string // nil is Cautions
}

// Cautions are printed on every template.
var Cautions = []string{
	"Airbags may sit behind pillar trim: keep out of their path.",
	"Follow the vehicle maker's service manual; disconnect the battery as it says.",
	"Wear eye protection. Mind cutting fumes; never cut PVC on a laser.",
	"Local rules and licensed practice come first.",
}

// Sheets is a template in its forms.
type Sheets struct {
	Pages   []Page   // 1:1 on the paper, in the order of printing
	Drawing *Drawing // bare, in the panel's frame
	Preview Page     // all on one sheet as large as it takes
}

// Template draws a survey. The error is a sentence for the user.
func Template(s *calib.Survey, o Options) (*Sheets, error) {
	return nil, errors.New("not drawn yet")
}

var _ image.Image
