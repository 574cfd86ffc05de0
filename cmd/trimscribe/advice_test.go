package main

import (
	"bytes"
	"encoding/json"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"trimscribe/calib"
	"trimscribe/vision"
)

// A photo out of focus in dim light is told so, with what a better one would
// be worth; the same photo as it was gets no advice.
func TestAdvice(t *testing.T) {
	slow(t)
	p, err := vision.Open("../../testdata/sail-panel.jpg")
	if err != nil {
		t.Fatal(err)
	}
	half := halved(p).RGB
	for name, c := range map[string]struct {
		photo *image.RGBA
		want  string
	}{"plain": {half, ""}, "blurred": {dim(half), calib.CostBlur}} {
		file := filepath.Join(t.TempDir(), name+".jpg")
		var b bytes.Buffer
		if err := jpeg.Encode(&b, c.photo, &jpeg.Options{Quality: 92}); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, b.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		args := []string{"--focal-equiv", "27", "--hole-diameter", "4.2", "--grille-diameter", "44", "--formats", "overlay"}
		var out, said, errs bytes.Buffer
		run(append(args, "--json", file), &out, &errs)
		var s calib.Survey
		if err := json.Unmarshal(out.Bytes(), &s); err != nil {
			t.Fatalf("%s: %v: %s", name, err, errs.String())
		}
		told := false
		for _, a := range s.Advice {
			told = told || a.About == c.want
		}
		if told != (c.want != "") || c.want == "" && len(s.Advice) > 0 {
			t.Errorf("%s: %+v", name, s.Advice)
		}
		if c.want == "" {
			continue
		}
		run(append(args, file), &said, &errs)
		if !strings.Contains(said.String(), "The photo could be better:\n") || !strings.Contains(said.String(), "the photo is blurred") {
			t.Errorf("%s: %s", name, said.String())
		}
	}
}

// dim is a photo out of focus, with the noise of dim light: three running means
// over seven pixels each way, which is nearly a normal blur of 3.5 px, and a noise of
// eight levels.
func dim(m *image.RGBA) *image.RGBA {
	for range 3 {
		m = smeared(smeared(m, 1, 0), 0, 1)
	}
	rnd := rand.New(rand.NewPCG(1, 2))
	for i := range m.Pix {
		if i%4 < 3 {
			m.Pix[i] = uint8(min(max(float64(m.Pix[i])+8*rnd.NormFloat64(), 0), 255))
		}
	}
	return m
}

func smeared(m *image.RGBA, dx, dy int) *image.RGBA {
	out := image.NewRGBA(m.Rect)
	w, h := m.Rect.Dx(), m.Rect.Dy()
	for y := range h {
		for x := range w {
			for c := range 4 {
				sum := 0
				for k := -3; k <= 3; k++ {
					sum += int(m.Pix[m.PixOffset(min(max(x+k*dx, 0), w-1), min(max(y+k*dy, 0), h-1))+c])
				}
				out.Pix[out.PixOffset(x, y)+c] = uint8(sum / 7)
			}
		}
	}
	return out
}
