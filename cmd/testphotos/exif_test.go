package main

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"testing"

	"github.com/rwcarlsen/goexif/exif"
)

// What another library reads must be what the invented phone wrote.
func TestExifReadBack(t *testing.T) {
	picture := image.NewRGBA(image.Rect(0, 0, 32, 24))
	file, err := encode(picture, 90, exifOfTheTest{Written: true, Model: "Test camera 1", Focal35: 27.3, Orientation: 1})
	if err != nil {
		t.Fatal(err)
	}
	x, err := exif.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[exif.FieldName]string{
		exif.Make:                  `"Invented"`,
		exif.Model:                 `"Test camera 1"`,
		exif.Orientation:           `1`,
		exif.FocalLength:           `"433/100"`, // 27.3 / 6.3
		exif.FocalLengthIn35mmFilm: `27`,        // a whole number, as phones write it
	} {
		tag, err := x.Get(name)
		if err != nil {
			t.Errorf("%s: %v", name, err)
		} else if tag.String() != want {
			t.Errorf("%s is %s, want %s", name, tag, want)
		}
	}
}

func TestNoExif(t *testing.T) {
	file, err := encode(image.NewRGBA(image.Rect(0, 0, 32, 24)), 90, exifOfTheTest{Orientation: 1})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := exif.Decode(bytes.NewReader(file)); err == nil {
		t.Error("a photo that is to have no Exif has some")
	}
}

// Orientation 6 says: the stored first row is the right side of the picture as
// it is to be seen, the stored first column its top (CIPA DC-008, tag 0x0112).
func TestOrientation6StoresTheRightSideAsFirstRow(t *testing.T) {
	const width, height = 24, 32
	picture := image.NewRGBA(image.Rect(0, 0, width, height))
	for y := range height {
		for x := range width {
			picture.Set(x, y, color.Gray{uint8(5*x + 4*y)})
		}
	}
	file, err := encode(picture, 100, exifOfTheTest{Written: true, Orientation: 6})
	if err != nil {
		t.Fatal(err)
	}
	stored, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	if size := stored.Bounds().Size(); size != image.Pt(height, width) {
		t.Fatalf("stored as %v", size)
	}
	light := func(p image.Image, x, y int) int {
		return int(color.GrayModel.Convert(p.At(x, y)).(color.Gray).Y)
	}
	for i := range height {
		if got, want := light(stored, i, 0), light(picture, width-1, i); got-want > 3 || want-got > 3 {
			t.Errorf("first row, %d: %d, want %d", i, got, want)
		}
	}
	for i := range width {
		if got, want := light(stored, 0, i), light(picture, width-1-i, 0); got-want > 3 || want-got > 3 {
			t.Errorf("first column, %d: %d, want %d", i, got, want)
		}
	}
	if _, err := encode(picture, 90, exifOfTheTest{Orientation: 3}); err == nil {
		t.Error("an orientation that is not made was made")
	}
}
