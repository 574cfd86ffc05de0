package main

import (
	"errors"
	"fmt"
	"regexp"
	"strings"

	"trimscribe/calib"
	"trimscribe/vision"
)

// rectangleSize is the size of a flat rectangle that lies in the square's
// place: "85.60x53.98".
type rectangleSize struct {
	size  [2]float64 // mm
	given bool
}

func (v *rectangleSize) Type() string   { return "WxH" }
func (v *rectangleSize) String() string { return "" }

func (v *rectangleSize) Set(s string) error {
	const how = "give two lengths in mm, such as 85.60x53.98 for a bank card"
	w, h, both := strings.Cut(strings.ToLower(strings.ReplaceAll(s, "×", "x")), "x")
	a, okA := parseLength(w)
	b, okB := parseLength(h)
	switch {
	case !both || !okA || !okB:
		return errors.New(how)
	case min(a, b) < 10 || max(a, b) > 500:
		return fmt.Errorf("a rectangle to measure by is 10 to 500 mm wide; %s", how)
	case max(a, b) > 5*min(a, b):
		return fmt.Errorf("that is too long and narrow to measure by; %s", how)
	}
	*v = rectangleSize{[2]float64{a, b}, true}
	return nil
}

// corners are a rectangle's corners in pixels of the photo, in order round it:
// four times "x,y", with spaces between.
type corners struct {
	at    [4]calib.Point
	given bool
}

func (v *corners) Type() string   { return "x,y x,y x,y x,y" }
func (v *corners) String() string { return "" }

func (v *corners) Set(s string) error {
	const how = "give the four corners in pixels of the photo, in order round the rectangle, such as 1210,840 1900,860 1880,1290 1195,1275"
	words := strings.Fields(s)
	if len(words) != 4 {
		return errors.New(how)
	}
	for i, word := range words {
		x, y, _ := strings.Cut(word, ",")
		a, okA := parseNumber(x)
		b, okB := parseNumber(y)
		if !okA || !okB {
			return errors.New(how)
		}
		v.at[i] = calib.Point{X: a, Y: b}
	}
	v.given = true
	return nil
}

// cornerWord is one corner, so that it is not taken for a photo.
var cornerWord = regexp.MustCompile(`^-?[0-9.]+,-?[0-9.]+$`)

// gatherCorners makes one word of what stands behind --corners: flags take one
// value, and a rectangle has four corners.
func gatherCorners(args []string) []string {
	var out []string
	for i := 0; i < len(args); i++ {
		if args[i] == "--" {
			return append(out, args[i:]...)
		}
		word, value := args[i], ""
		switch {
		case word == "--corners" && i+1 < len(args) && !strings.HasPrefix(args[i+1], "--"):
			i++
			value = args[i]
		case strings.HasPrefix(word, "--corners="):
			value = strings.TrimPrefix(word, "--corners=")
		default:
			out = append(out, word)
			continue
		}
		for i+1 < len(args) && cornerWord.MatchString(args[i+1]) {
			i++
			value += " " + args[i]
		}
		out = append(out, "--corners="+value)
	}
	return out
}

// rectangleAgrees tells whether the rectangle's flags go together.
func (f *photoFlags) rectangleAgrees() error {
	switch {
	case f.rectangle.given && !f.corners.given:
		return usagef("--rectangle needs to know where it lies: give its corners in the photo with --corners")
	case f.corners.given && !f.rectangle.given:
		return usagef("--corners needs to know how large the rectangle is: give its size with --rectangle")
	case f.rectangle.given && f.square.given:
		return usagef("--rectangle and --square-size both give the scale; leave one out")
	case f.corners.given && !calib.InOrder(f.corners.at):
		return usagef("the corners given by --corners are not in order round a rectangle: give them one after the other, either way round, without crossing over")
	}
	return nil
}

// rectangleIn finds the rectangle that the user points at. The error is a
// predicate of the photo.
func (f *photoFlags) rectangleIn(p *vision.Photo, lens calib.Lens) ([]calib.SquareEdges, error) {
	at, err := calib.OrderCorners(f.corners.at, f.rectangle.size, lens)
	if err != nil {
		return nil, err
	}
	edges, err := vision.TraceRectangle(p, at, lens)
	if err != nil {
		return nil, err
	}
	return []calib.SquareEdges{edges}, nil
}

// sayOfRectangle adds to a survey what is to be known when a rectangle gave its
// scale: that heights count from the face of a card that has a thickness, and
// whether it is large enough.
func (f *photoFlags) sayOfRectangle(s *calib.Survey) {
	if !f.rectangle.given {
		return
	}
	if !f.holeHeight.given && !f.grilleHeight.given {
		s.Notes = append(s.Notes, "Heights count from the rectangle's upper face. What lies on the panel's own face is lower by its thickness, 0.76 mm for a bank card: --hole-height -0.76 --grille-height -0.76.")
	}
	if p := s.Photos[0]; min(f.rectangle.size[0], f.rectangle.size[1])*p.PxPerMM < float64(p.Width)/12 {
		s.Doubts = append(s.Doubts, "the rectangle is less than a twelfth of the photo wide, and a tenth of a pixel at its edges is much at the panel's: take the photo from nearer, or lay something larger")
	}
}
