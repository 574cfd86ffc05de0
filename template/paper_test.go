package template

import (
	"strings"
	"testing"
)

// ISO 216 gives the A sizes in whole millimetres. ASME Y14.1: size A is
// 8.5 x 11 in, size B 11 x 17 in. Legal, 8.5 x 14 in, is common practice.
func TestPaperSizes(t *testing.T) {
	for name, want := range map[string][2]float64{
		"A0": {841, 1189}, "A1": {594, 841}, "A2": {420, 594}, "A3": {297, 420}, "A4": {210, 297},
		"letter": {215.9, 279.4}, "Tabloid": {279.4, 431.8}, "LEGAL": {215.9, 355.6},
		"a4-landscape": {297, 210}, "letter-portrait": {215.9, 279.4},
	} {
		p := mustPaper(t, name)
		near(t, name+" width", p.W, want[0], 1e-9)
		near(t, name+" height", p.H, want[1], 1e-9)
		if p.Fixed != strings.Contains(name, "-") {
			t.Errorf("%s: fixed is %v", name, p.Fixed)
		}
	}
	for _, bad := range []string{"", "A", "A9", "A4-sideways", "letter paper"} {
		if _, err := ParsePaper(bad); err == nil || !strings.Contains(err.Error(), "A4, A3") {
			t.Errorf("%q: %v", bad, err)
		}
	}
}

func TestUnits(t *testing.T) {
	if got := Inches.Format(25.4 * 1.23456); got != "1.235" {
		t.Errorf("got %s in", got)
	}
	if got := Millimetres.Format(12.345678); got != "12.35" {
		t.Errorf("got %s mm", got)
	}
	if _, err := ParseUnits("feet"); err == nil {
		t.Error("feet were taken")
	}
}

func TestWrapAndShorten(t *testing.T) {
	long := "word " + strings.Repeat("x", 200) + " end"
	var joined string
	for _, l := range Wrap(long, 40, SmallText, false) {
		if w := TextWidth(l, SmallText, false); w > 40 {
			t.Errorf("line of %.1f mm: %s", w, l)
		}
		joined += l
	}
	if want := strings.ReplaceAll(long, " ", ""); strings.ReplaceAll(joined, " ", "") != want {
		t.Errorf("letters were lost: %s", joined)
	}
	s := shorten("an-endless-name-of-a-photo-that-goes-on-and-on.jpeg", 40, SmallText, false)
	if w := TextWidth(s, SmallText, false); w > 40 || !strings.HasPrefix(s, "an-") || !strings.HasSuffix(s, ".jpeg") {
		t.Errorf("got %q, %.1f mm", s, w)
	}
	if got := printable("tür 日本.jpg"); got != "tür ??.jpg" {
		t.Errorf("got %q", got)
	}
}
