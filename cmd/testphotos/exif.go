package main

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"
	"math"
)

// exifOfTheTest is what the invented phone writes into its photo's head.
type exifOfTheTest struct {
	Written     bool    `json:"written"` // false: the file has no Exif at all
	Model       string  `json:"model"`
	Focal35     float64 `json:"focal_35_mm"` // true; written rounded to a whole mm, as phones do
	Orientation int     `json:"orientation"`
}

// The invented phone's sensor is this much smaller than a 36 x 24 mm frame.
const cropFactor = 6.3

// encode returns the picture as a JPEG file with its Exif. With orientation 6 the
// pixels are stored a quarter turn anticlockwise, so that a reader that obeys it
// sees the picture upright.
func encode(picture *image.RGBA, quality int, e exifOfTheTest) ([]byte, error) {
	switch e.Orientation {
	case 1:
	case 6:
		picture = turnedAnticlockwise(picture)
	default:
		return nil, fmt.Errorf("orientation %d: only 1 and 6 are made", e.Orientation)
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, picture, &jpeg.Options{Quality: quality}); err != nil {
		return nil, err
	}
	if !e.Written {
		return b.Bytes(), nil
	}
	const startOfImage = 2 // bytes; the Exif segment comes right after it
	file := append([]byte{}, b.Bytes()[:startOfImage]...)
	file = append(file, e.segment()...)
	return append(file, b.Bytes()[startOfImage:]...), nil
}

func turnedAnticlockwise(p *image.RGBA) *image.RGBA {
	w, h := p.Rect.Dx(), p.Rect.Dy()
	out := image.NewRGBA(image.Rect(0, 0, h, w))
	for y := range h {
		for x := range w {
			out.SetRGBA(y, w-1-x, p.RGBAAt(x, y))
		}
	}
	return out
}

// segment returns the JPEG segment APP1 with the Exif data: a TIFF file of two
// directories (CIPA DC-008, 4.5 and 4.6). These few fields are written by hand:
// the libraries that write Exif bring half a dozen modules along.
func (e exifOfTheTest) segment() []byte {
	const headerSize = 8
	const exifPointer = 0x8769
	main := []field{
		text(0x010f, "Invented"),
		text(0x0110, e.Model),
		short(0x0112, e.Orientation),
		long(exifPointer, 0), // its value is set below
	}
	sub := []field{
		rational(0x920a, math.Round(100*e.Focal35/cropFactor), 100), // FocalLength
		short(0xa405, int(math.Round(e.Focal35))),                   // FocalLengthIn35mmFilm
	}
	mainSize := len(directory(main, 0))
	main[3] = long(exifPointer, headerSize+mainSize)

	tiff := []byte("MM\x00\x2a\x00\x00\x00\x08")
	tiff = append(tiff, directory(main, headerSize)...)
	tiff = append(tiff, directory(sub, headerSize+mainSize)...)

	body := append([]byte("Exif\x00\x00"), tiff...)
	segment := []byte{0xff, 0xe1}
	segment = binary.BigEndian.AppendUint16(segment, uint16(len(body)+2))
	return append(segment, body...)
}

// field is one entry of a TIFF directory.
type field struct {
	tag, kind uint16
	count     int
	value     []byte
}

func text(tag uint16, s string) field { return field{tag, 2, len(s) + 1, append([]byte(s), 0)} }

func short(tag uint16, v int) field {
	return field{tag, 3, 1, binary.BigEndian.AppendUint16(nil, uint16(v))}
}

func long(tag uint16, v int) field {
	return field{tag, 4, 1, binary.BigEndian.AppendUint32(nil, uint32(v))}
}

func rational(tag uint16, over, under float64) field {
	b := binary.BigEndian.AppendUint32(nil, uint32(over))
	return field{tag, 5, 1, binary.BigEndian.AppendUint32(b, uint32(under))}
}

// directory returns a TIFF directory that starts at an offset in its file, with
// the values that do not fit its entries behind it.
func directory(fields []field, offset int) []byte {
	entries := binary.BigEndian.AppendUint16(nil, uint16(len(fields)))
	size := 2 + 12*len(fields) + 4
	var values []byte
	for _, f := range fields {
		entries = binary.BigEndian.AppendUint16(entries, f.tag)
		entries = binary.BigEndian.AppendUint16(entries, f.kind)
		entries = binary.BigEndian.AppendUint32(entries, uint32(f.count))
		if len(f.value) <= 4 {
			entries = append(entries, append(f.value, make([]byte, 4-len(f.value))...)...)
			continue
		}
		entries = binary.BigEndian.AppendUint32(entries, uint32(offset+size+len(values)))
		values = append(values, f.value...)
		if len(values)%2 == 1 {
			values = append(values, 0) // values start on even offsets
		}
	}
	entries = append(entries, 0, 0, 0, 0) // no next directory
	return append(entries, values...)
}
