package vision

import (
	"fmt"
	"image"

	"gocv.io/x/gocv"
)

// fromMat makes a photo of a decoded picture: 1, 3 or 4 channels (grey, BGR,
// BGRA) of 8 or 16 bits, turned as the Exif orientation says. What is
// transparent is laid on white.
func fromMat(m gocv.Mat, orientation int) (*Photo, error) {
	src := source{channels: m.Channels(), width: m.Cols(), height: m.Rows()}
	var err error
	switch m.Type() {
	case gocv.MatTypeCV8UC1, gocv.MatTypeCV8UC3, gocv.MatTypeCV8UC4:
		src.b8, err = m.DataPtrUint8()
		src.lut = linearOf8
	case gocv.MatTypeCV16UC1, gocv.MatTypeCV16UC3, gocv.MatTypeCV16UC4:
		src.b16, err = m.DataPtrUint16()
		src.lut = linearOf16()
	default:
		return nil, fmt.Errorf("has a kind of pixel that trimscribe does not read; save it as an ordinary JPEG or PNG")
	}
	if err != nil {
		return nil, fmt.Errorf("cannot be decoded: %w", err)
	}
	t := turnOf(orientation, src.width, src.height)
	p := &Photo{Width: t.width, Height: t.height}
	p.Lin = make([]float32, t.width*t.height)
	p.RGB = image.NewRGBA(image.Rect(0, 0, t.width, t.height))
	Parallel(src.height, func(y int) { src.row(y, p, t) })
	return p, nil
}

// source is a decoded picture's memory: b8 or b16, and the linear value of
// each stored one.
type source struct {
	width, height, channels int
	b8                      []uint8
	b16                     []uint16
	lut                     []float32
}

// Rec. 709's weights of linear red, green and blue in luminance (ITU-R BT.709-6, 3.2).
const (
	wRed   = 0.2126
	wGreen = 0.7152
	wBlue  = 0.0722
)

// row puts one row of the source where the turn has it.
func (s *source) row(y int, p *Photo, t turn) {
	at := t.origin + y*t.downStep
	if s.channels == 3 && s.b8 != nil { // nearly every photo: kept tight
		line := s.b8[y*s.width*3:][:s.width*3]
		for i := 0; i < len(line); i += 3 {
			b, g, r := line[i], line[i+1], line[i+2]
			p.Lin[at] = wRed*s.lut[r] + wGreen*s.lut[g] + wBlue*s.lut[b]
			px := p.RGB.Pix[4*at:][:4]
			px[0], px[1], px[2], px[3] = r, g, b, 255
			at += t.acrossStep
		}
		return
	}
	for x := range s.width {
		r, g, b := s.at(x, y)
		p.Lin[at] = wRed*s.lut[r] + wGreen*s.lut[g] + wBlue*s.lut[b]
		px := p.RGB.Pix[4*at:][:4]
		px[0], px[1], px[2], px[3] = s.to8(r), s.to8(g), s.to8(b), 255
		at += t.acrossStep
	}
}

// at returns a pixel's stored red, green and blue, over white.
func (s *source) at(x, y int) (r, g, b int) {
	full := len(s.lut) - 1
	i := (y*s.width + x) * s.channels
	get := func(k int) int {
		if s.b8 != nil {
			return int(s.b8[i+k])
		}
		return int(s.b16[i+k])
	}
	if s.channels == 1 {
		v := get(0)
		return v, v, v
	}
	b, g, r = get(0), get(1), get(2)
	if s.channels == 4 {
		a := get(3)
		over := func(v int) int { return (v*a + full*(full-a) + full/2) / full }
		r, g, b = over(r), over(g), over(b)
	}
	return r, g, b
}

func (s *source) to8(v int) uint8 {
	if s.b8 != nil {
		return uint8(v)
	}
	return uint8((v*255 + 32767) / 65535)
}

// turn says where a source pixel goes in a picture turned upright: pixel
// (x, y) to index origin + x acrossStep + y downStep.
type turn struct {
	width, height                int // after turning
	origin, acrossStep, downStep int
}

// turnOf returns the turn for an Exif orientation: what the stored first row
// and first column are to the eye (CIPA DC-008, tag 0x0112).
func turnOf(orientation, w, h int) turn {
	switch orientation {
	case 2: // top, right
		return turn{w, h, w - 1, -1, w}
	case 3: // bottom, right
		return turn{w, h, w*h - 1, -1, -w}
	case 4: // bottom, left
		return turn{w, h, w * (h - 1), 1, -w}
	case 5: // left, top
		return turn{h, w, 0, h, 1}
	case 6: // right, top
		return turn{h, w, h - 1, h, -1}
	case 7: // right, bottom
		return turn{h, w, w*h - 1, -h, -1}
	case 8: // left, bottom
		return turn{h, w, h * (w - 1), -h, 1}
	default: // 1, or nothing said
		return turn{w, h, 0, 1, w}
	}
}
