package vision

import (
	"encoding/binary"
	"math"
	"strings"
)

// exifInfo is what we take from an Exif block. Zero values are unknown.
type exifInfo struct {
	orientation    int // 1 to 8
	focal35, focal float64
	width, height  int // of the picture as the camera stored it
	make, model    string
	lens           string
}

// readExif reads an Exif block: a TIFF stream (TIFF 6.0, section 2) with the
// tags of CIPA DC-008, 4.6. A damaged block gives what could be read: a photo
// without its Exif is still a photo.
//
// It is our own, because a photo is anybody's file. Fuzzed, the libraries to
// be had panicked, went round for ever in a directory that names itself, or
// took gigabytes for a tag that says it is that long. This one reads two
// directories, once, and never past the block.
func readExif(block []byte) exifInfo {
	r := exifReader{b: block}
	if len(block) < 8 {
		return r.info
	}
	switch string(block[:4]) {
	case "II*\x00":
		r.order = binary.LittleEndian
	case "MM\x00*":
		r.order = binary.BigEndian
	default:
		return r.info
	}
	r.directory(r.order.Uint32(block[4:]), true)
	r.directory(r.exifIFD, false)
	return r.info
}

type exifReader struct {
	b       []byte
	order   binary.ByteOrder
	exifIFD uint32 // offset of the directory with the camera's settings; 0 when none
	info    exifInfo
}

// at returns n bytes at an offset, nil when they are not all there.
func (r *exifReader) at(off, n uint32) []byte {
	if end := uint64(off) + uint64(n); end <= uint64(len(r.b)) {
		return r.b[off:end]
	}
	return nil
}

func (r *exifReader) directory(off uint32, main bool) {
	head := r.at(off, 2)
	if off == 0 || head == nil {
		return
	}
	for i := range uint32(r.order.Uint16(head)) {
		entry := r.at(off+2+12*i, 12)
		if entry == nil {
			return
		}
		r.tag(exifTag{
			id: r.order.Uint16(entry), kind: r.order.Uint16(entry[2:]), count: r.order.Uint32(entry[4:]), value: entry[8:],
		}, main)
	}
}

// exifTag is a directory's entry; value holds the value itself or, when it
// is longer than four bytes, its offset.
type exifTag struct {
	id, kind uint16
	count    uint32
	value    []byte
}

func (r *exifReader) tag(t exifTag, main bool) {
	in := &r.info
	switch {
	case main && t.id == 0x010f:
		in.make = r.text(t)
	case main && t.id == 0x0110:
		in.model = r.text(t)
	case main && t.id == 0x0112:
		in.orientation = int(r.number(t))
	case main && t.id == 0x8769:
		r.exifIFD = uint32(r.number(t))
	case main:
	case t.id == 0x920a:
		in.focal = r.number(t)
	case t.id == 0xa002:
		in.width = int(r.number(t))
	case t.id == 0xa003:
		in.height = int(r.number(t))
	case t.id == 0xa405:
		in.focal35 = r.number(t)
	case t.id == 0xa434:
		in.lens = r.text(t)
	}
}

// number reads one short, long or unsigned rational; 0 for anything else.
func (r *exifReader) number(t exifTag) float64 {
	if t.count != 1 {
		return 0
	}
	switch t.kind {
	case 3:
		return float64(r.order.Uint16(t.value))
	case 4:
		return float64(r.order.Uint32(t.value))
	case 5:
		if v := r.at(r.order.Uint32(t.value), 8); v != nil && r.order.Uint32(v[4:]) != 0 {
			return float64(r.order.Uint32(v)) / float64(r.order.Uint32(v[4:]))
		}
	}
	return 0
}

// text reads a string of printable ASCII, at most 100 characters of it: it
// is shown on terminals and drawings.
func (r *exifReader) text(t exifTag) string {
	if t.kind != 2 {
		return ""
	}
	v := t.value[:min(t.count, 4)]
	if t.count > 4 {
		v = r.at(r.order.Uint32(t.value), t.count)
	}
	s, _, _ := strings.Cut(string(v), "\x00")
	s = strings.Map(func(c rune) rune {
		if c < ' ' || c > '~' {
			return -1
		}
		return c
	}, s)
	return strings.TrimSpace(s[:min(len(s), 100)])
}

// judge weighs an Exif block against the picture it came with, of w x h
// pixels as stored. A cropped picture has its camera's focal length still in
// it, but the frame that length was related to is gone.
func (in exifInfo) judge(w, h int) Exif {
	l := Exif{FocalEquiv: in.focal35, FocalLength: in.focal, Make: in.make, Model: in.model, LensModel: in.lens}
	if in.orientation >= 1 && in.orientation <= 8 {
		l.Orientation = in.orientation
	}
	if l.FocalEquiv > 2000 { // no lens; a damaged value
		l.FocalEquiv = 0
	}
	if in.width > 0 && in.height > 0 {
		// A picture turned by an editor has its sides exchanged, and that is no crop.
		was := shape(in.width, in.height)
		if is := shape(w, h); math.Abs(was/is-1) > 0.01 {
			l.Cropped, l.FocalEquiv = true, 0
		}
	}
	return l
}

// shape is a picture's long side over its short one.
func shape(w, h int) float64 {
	return float64(max(w, h)) / float64(min(w, h))
}
