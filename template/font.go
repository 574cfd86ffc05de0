package template

import (
	"strings"
	"sync"

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

// descent is how far letters reach below the baseline, against a capital's
// height.
const descent = 0.3

// TextWidth returns the width of a line of text in millimetres, for capitals
// of the given height.
func TextWidth(s string, height float64, bold bool) float64 {
	known, f := knownAdvances[0](), regularFont
	if bold {
		known, f = knownAdvances[1](), boldFont
	}
	var sum float64
	for _, r := range s {
		if int(r) < len(known) {
			sum += known[r]
		} else {
			sum += advance(f, r)
		}
	}
	return sum * height / capHeight
}

// advance returns how far a letter takes the pen, in font sizes.
func advance(f *sfnt.Font, r rune) float64 {
	var buf sfnt.Buffer
	i, err := f.GlyphIndex(&buf, r)
	if err != nil {
		return 0
	}
	a, err := f.GlyphAdvance(&buf, i, fixed.I(1000), 0)
	if err != nil {
		return 0
	}
	return float64(a) / 64 / 1000
}

// knownAdvances are those of the Latin letters, regular and bold: laying out
// asks for them over and over.
var knownAdvances = [2]func() []float64{
	sync.OnceValue(func() []float64 { return advances(regularFont) }),
	sync.OnceValue(func() []float64 { return advances(boldFont) }),
}

func advances(f *sfnt.Font) []float64 {
	const letters = 0x180 // to the end of Latin Extended-A
	a := make([]float64, letters)
	for r := range a {
		a[r] = advance(f, rune(r))
	}
	return a
}

// printable returns the text with '?' for what the fonts lack.
func printable(s string) string {
	var buf sfnt.Buffer
	return strings.Map(func(r rune) rune {
		if i, err := regularFont.GlyphIndex(&buf, r); err != nil || i == 0 {
			return '?'
		}
		return r
	}, s)
}

// Wrap breaks a text into lines no wider than width, at spaces where it can.
func Wrap(s string, width, height float64, bold bool) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		for {
			next := word
			if line != "" {
				next = line + " " + word
			}
			if TextWidth(next, height, bold) <= width {
				line = next
				break
			}
			if line != "" {
				lines = append(lines, line)
				line = ""
				continue
			}
			head, tail := breakWord(word, width, height, bold)
			if tail == "" {
				line = head
				break
			}
			lines = append(lines, head)
			word = tail
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// breakWord cuts a word that is wider than a line; the head has at least one
// letter.
func breakWord(word string, width, height float64, bold bool) (head, tail string) {
	r := []rune(word)
	n := len(r)
	for n > 1 && TextWidth(string(r[:n]), height, bold) > width {
		n--
	}
	return string(r[:n]), string(r[n:])
}

// shorten leaves out the middle of a text that is wider than width: a file's
// name is told by its beginning and its end.
func shorten(s string, width, height float64, bold bool) string {
	r := []rune(s)
	for n := len(r) - 1; TextWidth(s, height, bold) > width && n > 1; n-- {
		s = string(r[:(n+1)/2]) + "…" + string(r[len(r)-n/2:])
	}
	return s
}
