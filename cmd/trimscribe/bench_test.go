package main

import (
	"bytes"
	"testing"

	"trimscribe/calib"
	"trimscribe/vision"
)

// What drawing the overlay of a 12-megapixel photo takes.
func BenchmarkOverlay12MP(b *testing.B) {
	survey, cam := madeSurvey(4032, 3024)
	photo := plain(4032, 3024)
	for b.Loop() {
		if err := writeOverlay(&bytes.Buffer{}, photo, survey, cam); err != nil {
			b.Fatal(err)
		}
	}
}

// What drawing the other files takes.
func BenchmarkDraw(b *testing.B) {
	survey, cam := madeSurvey(4032, 3024)
	photo := plain(4032, 3024)
	for _, format := range []string{"pdf", "svg", "dxf", "png"} {
		b.Run(format, func(b *testing.B) {
			var f photoFlags
			f.groups()
			f.formats = formats{format}
			for b.Loop() {
				if _, err := f.draw([]string{"panel"}, []*vision.Photo{photo}, &found{survey, []calib.Camera{cam}}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
