package template

import (
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
)

// The fonts come with the Go module golang.org/x/image (BSD licence), so that
// a drawing looks the same on a machine without any.
var (
	regularFont = mustFont(goregular.TTF)
	boldFont    = mustFont(gobold.TTF)
)

func mustFont(ttf []byte) *sfnt.Font {
	f, err := sfnt.Parse(ttf)
	if err != nil {
		panic(err) // the font is compiled in
	}
	return f
}

// capHeight is the height of a capital of these fonts against the font's size.
var capHeight = func() float64 {
	m, err := regularFont.Metrics(nil, fixed.I(1000), 0)
	if err != nil {
		panic(err)
	}
	return float64(m.CapHeight) / 64 / 1000
}()

// textWidth returns the width of a line of text in millimetres, for capitals
// of the given height.
func textWidth(s string, height float64, bold bool) float64 {
	f := regularFont
	if bold {
		f = boldFont
	}
	var buf sfnt.Buffer
	var sum float64
	for _, r := range s {
		i, err := f.GlyphIndex(&buf, r)
		if err != nil {
			continue
		}
		a, err := f.GlyphAdvance(&buf, i, fixed.I(1000), 0)
		if err != nil {
			continue
		}
		sum += float64(a) / 64 / 1000
	}
	return sum * height / capHeight
}
