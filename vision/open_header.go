package vision

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image/jpeg"
	"io"
)

// header is what a picture's container says before its pixels are decoded.
type header struct {
	kind          string // "JPEG" or "PNG"
	width, height int    // px, as stored
	exif          []byte // the Exif block, a TIFF stream; nil when there is none
}

var (
	errCut   = errors.New("is cut short: the end of the picture is missing; copy it from the camera again")
	jpegMark = []byte{0xff, 0xd8, 0xff}
	pngMark  = []byte("\x89PNG\r\n\x1a\n")
	exifMark = []byte("Exif\x00\x00")
)

// readHeader walks a picture's segments from its first byte to its end mark.
// The decoder alone would not do: it fills a picture that is cut short with
// grey and calls it whole.
func readHeader(b []byte) (header, error) {
	switch {
	case len(b) == 0:
		return header{}, errors.New("is empty")
	case bytes.HasPrefix(b, jpegMark):
		return readJPEG(b)
	case bytes.HasPrefix(b, pngMark):
		return readPNG(b)
	}
	return header{}, notRead(b)
}

// notRead says what a file that is neither JPEG nor PNG looks like.
func notRead(b []byte) error {
	const how = "which this version cannot read; export it as JPEG"
	at := func(i int, s string) bool { return len(b) >= i+len(s) && string(b[i:i+len(s)]) == s }
	if at(4, "ftyp") && len(b) >= 12 {
		switch string(b[8:12]) {
		case "heic", "heix", "hevc", "hevx", "heim", "heis", "mif1", "msf1":
			return errors.New("is HEIC, which this version cannot read; choose JPEG in the phone's camera settings, or export this photo as JPEG")
		case "avif", "avis":
			return errors.New("is AVIF, " + how)
		}
		return errors.New("looks like a film or another container, not a photo; give a JPEG or PNG")
	}
	for _, k := range []struct {
		at         int
		mark, name string
	}{
		{8, "WEBP", "WebP"}, {0, "GIF8", "GIF"}, {0, "BM", "BMP"}, {0, "II*\x00", "TIFF or a raw photo"}, {0, "MM\x00*", "TIFF or a raw photo"},
		{0, "\x00\x00\x00\x0cJXL ", "JPEG XL"}, {0, "\xff\x0a", "JPEG XL"}, {0, "\x00\x00\x00\x0cjP  ", "JPEG 2000"},
	} {
		if at(k.at, k.mark) {
			return fmt.Errorf("is %s, %s", k.name, how)
		}
	}
	if at(0, "%PDF") {
		return errors.New("is a PDF, not a photo; give the JPEG or PNG the camera made")
	}
	return errors.New("is not a picture; give a JPEG or PNG photo")
}

// readJPEG walks the marker segments of ISO/IEC 10918-1, annex B, and the
// Exif block of CIPA DC-008, 4.7.2.
func readJPEG(b []byte) (header, error) {
	h := header{kind: "JPEG"}
	scans := 0
	for i := 2; ; {
		next := bytes.IndexByte(b[i:], 0xff) // past coded data after a scan's header, or stray bytes
		if next < 0 {
			return h, errCut
		}
		i += next
		for i < len(b) && b[i] == 0xff { // a marker may be led in by any number of 0xff
			i++
		}
		if i >= len(b) {
			return h, errCut
		}
		marker := b[i]
		i++
		switch {
		case marker == 0x00 || marker == 0x01 || marker >= 0xd0 && marker <= 0xd8: // stands alone
			continue
		case marker == 0xd9: // end of image
			if scans == 0 || h.width == 0 || h.height == 0 {
				return h, errors.New("is a damaged JPEG with no picture in it; copy it from the camera again")
			}
			return h, nil
		}
		if i+2 > len(b) {
			return h, errCut
		}
		n := int(binary.BigEndian.Uint16(b[i:]))
		if n < 2 {
			return h, errors.New("is a damaged JPEG; copy it from the camera again")
		}
		if i+n > len(b) {
			return h, errCut
		}
		seg := b[i+2 : i+n]
		i += n
		switch {
		case isFrame(marker) && len(seg) >= 5 && h.width == 0:
			h.height = int(binary.BigEndian.Uint16(seg[1:]))
			h.width = int(binary.BigEndian.Uint16(seg[3:]))
		case marker == 0xe1 && h.exif == nil && bytes.HasPrefix(seg, exifMark):
			h.exif = seg[len(exifMark):]
		case marker == 0xda:
			scans++
		}
	}
}

// checkJPEG tells whether a JPEG's coded data are whole. OpenCV's decoder goes
// on over damage, and all behind it comes out shifted: a grille would lie
// beside its place and nobody be told. So Go's, which stops, looks first. What
// it does not know at all, such as arithmetic coding, is left to OpenCV.
func checkJPEG(b []byte) error {
	_, err := jpeg.Decode(bytes.NewReader(b))
	var unknown jpeg.UnsupportedError
	switch {
	case err == nil || errors.As(err, &unknown):
		return nil
	case errors.Is(err, io.ErrUnexpectedEOF):
		return errCut
	}
	return errors.New("is a damaged JPEG; copy it from the camera again")
}

// isFrame tells a start-of-frame marker: 0xC0 to 0xCF but for the tables' DHT, JPG and DAC.
func isFrame(m byte) bool {
	return m >= 0xc0 && m <= 0xcf && m != 0xc4 && m != 0xc8 && m != 0xcc
}

// readPNG walks the chunks of ISO/IEC 15948; eXIf is from the PNG
// specification, third edition, 11.3.4.5. It checks the checksums, because
// the decoder's own complaint goes to the terminal past our words.
func readPNG(b []byte) (header, error) {
	h := header{kind: "PNG"}
	for i := len(pngMark); ; {
		if i+12 > len(b) {
			return h, errCut
		}
		n, kind := int(binary.BigEndian.Uint32(b[i:])), string(b[i+4:i+8])
		if n > len(b)-i-12 {
			return h, errCut
		}
		data := b[i+8 : i+8+n]
		if crc32.ChecksumIEEE(b[i+4:i+8+n]) != binary.BigEndian.Uint32(b[i+8+n:]) {
			return h, errors.New("is a damaged PNG; copy it again")
		}
		i += 12 + n
		switch kind {
		case "IHDR":
			if len(data) >= 8 {
				h.width = int(binary.BigEndian.Uint32(data) & 0x7fffffff)
				h.height = int(binary.BigEndian.Uint32(data[4:]) & 0x7fffffff)
			}
		case "eXIf":
			h.exif = bytes.TrimPrefix(data, exifMark) // some writers leave JPEG's mark on it
		case "IEND":
			if h.width == 0 || h.height == 0 {
				return h, errors.New("is a damaged PNG with no picture in it; copy it again")
			}
			return h, nil
		}
	}
}
