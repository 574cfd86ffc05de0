package vision

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/color/palette"
	"image/jpeg"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"gocv.io/x/gocv"
)

// scene is a picture with a different colour in each corner, so that no turn
// of it looks like another.
func scene(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetRGBA(x, y, color.RGBA{uint8(255 * x / w), uint8(255 * y / h), uint8(64 + 64*(x*2/w) + 32*(y*2/h)), 255})
		}
	}
	return m
}

func jpegOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pngOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// entry is a tag for exifBlock: a number by its kind (3 short, 4 long,
// 5 rational in hundredths) or a text (2).
type entry struct {
	id, kind uint16
	n        uint32
	s        string
}

// exifBlock writes a TIFF stream with the tags of IFD0 and of the Exif
// directory, in either byte order.
func exifBlock(order binary.AppendByteOrder, main, camera []entry) []byte {
	b := []byte("MM\x00*")
	if order == binary.LittleEndian {
		b = []byte("II*\x00")
	}
	b = order.AppendUint32(b, 8)
	size := func(es []entry) (n int) {
		n = 2 + 12*len(es) + 4
		for _, e := range es {
			if e.kind == 5 {
				n += 8
			} else if e.kind == 2 && len(e.s)+1 > 4 {
				n += len(e.s) + 1
			}
		}
		return n
	}
	write := func(es []entry) {
		data, at := []byte{}, len(b)+2+12*len(es)+4
		b = order.AppendUint16(b, uint16(len(es)))
		for _, e := range es {
			b = order.AppendUint16(order.AppendUint16(b, e.id), e.kind)
			count := uint32(1)
			if e.kind == 2 {
				count = uint32(len(e.s) + 1)
			}
			b = order.AppendUint32(b, count)
			switch {
			case e.kind == 3:
				b = append(order.AppendUint16(b, uint16(e.n)), 0, 0)
			case e.kind == 4:
				b = order.AppendUint32(b, e.n)
			case e.kind == 5:
				b = order.AppendUint32(b, uint32(at+len(data)))
				data = order.AppendUint32(order.AppendUint32(data, e.n), 100)
			case count <= 4:
				b = append(b, append([]byte(e.s), 0, 0, 0, 0)[:4]...)
			default:
				b = order.AppendUint32(b, uint32(at+len(data)))
				data = append(append(data, e.s...), 0)
			}
		}
		b = append(order.AppendUint32(b, 0), data...)
	}
	if camera != nil {
		main = append(main, entry{id: 0x8769, kind: 4})
		main[len(main)-1].n = uint32(8 + size(main))
	}
	write(main)
	if camera != nil {
		write(camera)
	}
	return b
}

func withExif(pic, block []byte) []byte {
	if bytes.HasPrefix(pic, pngMark) {
		chunk := append([]byte("eXIf"), block...)
		out := append([]byte{}, pic[:33]...) // mark and IHDR
		out = binary.BigEndian.AppendUint32(out, uint32(len(block)))
		out = append(out, chunk...)
		out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(chunk))
		return append(out, pic[33:]...)
	}
	out := append([]byte{}, 0xff, 0xd8, 0xff, 0xe1)
	out = binary.BigEndian.AppendUint16(out, uint16(2+len(exifMark)+len(block)))
	out = append(append(out, exifMark...), block...)
	return append(out, pic[2:]...)
}

func orientation(n uint32) []byte {
	return exifBlock(binary.BigEndian, []entry{{id: 0x0112, kind: 3, n: n}}, nil)
}

// A photo taken with the phone upright is stored lying down; turned the
// wrong way, left and right holes change places. OpenCV obeys Exif by its
// own code when asked to, and is the outside check.
func TestOpenTurnsByOrientation(t *testing.T) {
	pic := jpegOf(t, scene(800, 640))
	for o := range uint32(10) { // 0 and 9 are not in the standard: left alone
		b := withExif(pic, orientation(o))
		got, err := Decode(b)
		if err != nil {
			t.Fatal(err)
		}
		m, err := gocv.IMDecode(b, gocv.IMReadColor)
		if err != nil {
			t.Fatal(err)
		}
		if m.Cols() != got.Width || m.Rows() != got.Height {
			t.Fatalf("orientation %d: %d x %d, OpenCV has %d x %d", o, got.Width, got.Height, m.Cols(), m.Rows())
		}
		want, _ := m.DataPtrUint8()
		for i := range got.Width * got.Height {
			p := got.RGB.Pix[4*i:]
			if p[0] != want[3*i+2] || p[1] != want[3*i+1] || p[2] != want[3*i] {
				t.Fatalf("orientation %d: pixel %d, %d differs from OpenCV's", o, i%got.Width, i/got.Width)
			}
		}
		m.Close()
	}
}

// The same turn from a PNG's eXIf chunk, which OpenCV 4.6 does not obey.
func TestOpenTurnsPNG(t *testing.T) {
	m := scene(800, 640)
	for o := range uint32(9) {
		got, err := Decode(withExif(pngOf(t, m), orientation(o)))
		if err != nil {
			t.Fatal(err)
		}
		// The stored top left corner, by the standard's table of where the
		// stored first row and column are to the eye.
		w, h := got.Width-1, got.Height-1
		corner := []image.Point{{0, 0}, {0, 0}, {w, 0}, {w, h}, {0, h}, {0, 0}, {w, 0}, {w, h}, {0, h}}[o]
		if got.RGB.RGBAAt(corner.X, corner.Y) != m.RGBAAt(0, 0) || (o >= 5) != (got.Height > got.Width) {
			t.Errorf("orientation %d: the stored top left is not at %v of %d x %d", o, corner, got.Width, got.Height)
		}
	}
}

// Every kind of PNG gives the same picture: 8 and 16 bits, palette, grey, and
// what is transparent on white.
func TestOpenPixelKinds(t *testing.T) {
	const w, h = 640, 4
	at := func(x int) uint8 { return uint8(x * 255 / (w - 1)) }
	grey, grey16 := image.NewGray(image.Rect(0, 0, w, h)), image.NewGray16(image.Rect(0, 0, w, h))
	deep, clear := image.NewNRGBA64(image.Rect(0, 0, w, h)), image.NewNRGBA(image.Rect(0, 0, w, h))
	few := image.NewPaletted(image.Rect(0, 0, w, h), palette.WebSafe)
	for y := range h {
		for x := range w {
			v := at(x)
			grey.SetGray(x, y, color.Gray{v})
			grey16.SetGray16(x, y, color.Gray16{uint16(v) * 257})
			deep.SetNRGBA64(x, y, color.NRGBA64{uint16(v) * 257, uint16(v) * 257, uint16(v) * 257, 0xffff})
			clear.SetNRGBA(x, y, color.NRGBA{0, 0, 0, 255 - v}) // black, the clearer the whiter
			few.Set(x, y, color.Gray{v / 51 * 51})
		}
	}
	for name, c := range map[string]struct {
		m    image.Image
		want func(x int) uint8
	}{
		"grey": {grey, at}, "grey of 16 bits": {grey16, at}, "colour of 16 bits": {deep, at}, "transparent": {clear, at},
		"palette": {few, func(x int) uint8 { return at(x) / 51 * 51 }},
	} {
		p, err := Decode(pngOf(t, c.m))
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		for x := range w {
			want := c.want(x)
			got := p.RGB.RGBAAt(x, h-1)
			if got != (color.RGBA{want, want, want, 255}) {
				t.Fatalf("%s: pixel %d is %v, want %d", name, x, got, want)
			}
			if lin := float64(p.Lin[(h-1)*w+x]); math.Abs(lin-toLinear(float64(want)/255)) > 1e-6 {
				t.Fatalf("%s: pixel %d has light %g", name, x, lin)
			}
		}
	}
}

// IEC 61966-2-1: stored 0.5 is light 0.2140 (memory; also the curve's own
// break at 0.04045). Rec. 709: a green of full light is 0.7152 bright.
func TestLight(t *testing.T) {
	if got := toLinear(0.5); math.Abs(got-0.21404) > 1e-5 {
		t.Errorf("light of 0.5 is %g", got)
	}
	if d := toLinear(0.040451) - toLinear(0.04045); d < 0 || d > 1e-6 {
		t.Errorf("the curve jumps by %g at its break", d)
	}
	m := image.NewRGBA(image.Rect(0, 0, 640, 1))
	for x := range 640 {
		m.SetRGBA(x, 0, color.RGBA{0, 255, 0, 255})
	}
	p, err := Decode(pngOf(t, m))
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(p.Lin[7])-0.7152) > 1e-6 {
		t.Errorf("green has light %g", p.Lin[7])
	}
}

// What the camera says reaches the photo, in either byte order.
func TestOpenReadsExif(t *testing.T) {
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		block := exifBlock(order,
			[]entry{{id: 0x010f, kind: 2, s: "Invented"}, {id: 0x0110, kind: 2, s: "P1"}, {id: 0x0112, kind: 3, n: 1}},
			[]entry{{id: 0x920a, kind: 5, n: 543}, {id: 0xa002, kind: 4, n: 1600}, {id: 0xa003, kind: 3, n: 1200}, {id: 0xa405, kind: 3, n: 26}, {id: 0xa434, kind: 2, s: "main lens"}})
		want := Exif{FocalEquiv: 26, FocalLength: 5.43, Make: "Invented", Model: "P1", LensModel: "main lens", Orientation: 1}
		for _, pic := range [][]byte{jpegOf(t, scene(800, 600)), pngOf(t, scene(800, 600)), jpegOf(t, scene(600, 800))} {
			p, err := Decode(withExif(pic, block))
			if err != nil || p.Exif != want {
				t.Errorf("got %+v, %v", p.Exif, err)
			}
		}
		// Cropped to another shape: the focal length is no longer this picture's.
		p, err := Decode(withExif(jpegOf(t, scene(800, 400)), block))
		if err != nil || !p.Cropped || p.FocalEquiv != 0 {
			t.Errorf("cropped: got %+v, %v", p.Exif, err)
		}
	}
}

// What cannot be read is one sentence that says which file and what to do,
// and never half a picture.
func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	good, goodPNG := jpegOf(t, scene(800, 600)), pngOf(t, scene(800, 600))
	ftyp := func(brand string) []byte { return []byte("\x00\x00\x00\x18ftyp" + brand + "\x00\x00\x00\x00mif1") }
	bad := append([]byte{}, goodPNG...)
	bad[len(bad)/2] ^= 0x55
	hurt := append([]byte{}, good...)
	copy(hurt[len(hurt)/2:], "\x00\xff\x00\x13\x57\x9b\xdf\xff\x42\x00\xff\x51\x00\x00\x37\x00\x00\x00")
	huge := append([]byte{}, goodPNG...)
	binary.BigEndian.PutUint32(huge[16:], 60000)
	binary.BigEndian.PutUint32(huge[20:], 60000)
	taller := append([]byte{}, goodPNG...)
	binary.BigEndian.PutUint32(taller[20:], 700)
	for _, b := range [][]byte{huge, taller} {
		binary.BigEndian.PutUint32(b[29:], crc32.ChecksumIEEE(b[12:29])) // IHDR's checksum
	}
	for name, c := range map[string]struct {
		b    []byte
		want string
	}{
		"empty.jpg":    {nil, "is empty"},
		"half.jpg":     {good[:len(good)/2], "cut short"},
		"nearly.jpg":   {good[:len(good)-1], "cut short"},
		"head.jpg":     {good[:20], "cut short"},
		"half.png":     {goodPNG[:len(goodPNG)/2], "cut short"},
		"nearly.png":   {goodPNG[:len(goodPNG)-12], "cut short"},
		"damaged.jpg":  {hurt, "damaged"},
		"damaged.png":  {bad, "damaged"},
		"taller.png":   {taller, "damaged"},
		"hollow.jpg":   {[]byte{0xff, 0xd8, 0xff, 0xd9}, "no picture in it"},
		"photo.heic":   {ftyp("heic"), "is HEIC"},
		"photo.avif":   {ftyp("avif"), "is AVIF"},
		"film.mp4":     {ftyp("mp42"), "film"},
		"a.webp":       {[]byte("RIFF\x00\x00\x00\x00WEBPVP8 "), "is WebP"},
		"letter.pdf":   {[]byte("%PDF-1.7\n"), "is a PDF"},
		"note.txt":     {[]byte("hello\n"), "is not a picture"},
		"small.png":    {pngOf(t, scene(639, 480)), "only 639 x 480"},
		"huge.png":     {huge, "200 million"},
		"cutexif.jpg":  {withExif(good, orientation(6))[:30], "cut short"},
		"thumb.jpg":    {withExif(good, append(orientation(6), good[:1000]...))[:1500], "cut short"},
		"trailing.jpg": {append(append([]byte{}, good...), "a film after it"...), ""}, // phones append films; that is fine
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, c.b, 0o666); err != nil {
			t.Fatal(err)
		}
		p, err := Open(path)
		switch {
		case c.want == "" && err != nil:
			t.Errorf("%s: %v", name, err)
		case c.want == "":
		case err == nil || p != nil:
			t.Errorf("%s: no error", name)
		case !strings.Contains(err.Error(), c.want) || !strings.HasPrefix(err.Error(), path) || strings.Contains(err.Error(), "\n"):
			t.Errorf("%s: %v", name, err)
		}
	}
	for path, want := range map[string]string{filepath.Join(dir, "none.jpg"): "there is no file", dir: "is a folder", os.DevNull: "is not a file"} {
		if _, err := Open(path); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v", path, err)
		}
	}
}

// No file may bring the program down: it is anybody's.
func FuzzDecode(f *testing.F) {
	block := exifBlock(binary.LittleEndian, []entry{{id: 0x0112, kind: 3, n: 6}}, []entry{{id: 0xa405, kind: 3, n: 26}})
	f.Add(withExif(jpegOf(f, scene(640, 8)), block))
	f.Add(withExif(pngOf(f, scene(640, 8)), block))
	f.Fuzz(func(t *testing.T, b []byte) {
		if h, err := readHeader(b); err != nil || h.width*h.height > 1<<20 {
			return // decoding large pictures is not what is tried here
		}
		if p, err := Decode(b); err == nil && (len(p.Lin) != p.Width*p.Height || len(p.RGB.Pix) != 4*len(p.Lin)) {
			t.Fatal("a photo that is not its size")
		}
	})
}

func FuzzReadExif(f *testing.F) {
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		f.Add(exifBlock(order, []entry{{id: 0x010f, kind: 2, s: "Invented"}, {id: 0x0112, kind: 3, n: 6}}, []entry{{id: 0x920a, kind: 5, n: 543}, {id: 0xa405, kind: 3, n: 26}}))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		e := readExif(b).judge(4032, 3024)
		if len(e.Make) > 100 || e.FocalEquiv < 0 || math.IsNaN(e.FocalLength) {
			t.Fatalf("%+v", e)
		}
	})
}

func BenchmarkDecode12MP(b *testing.B) {
	pic := jpegOf(b, scene(4032, 3024))
	for b.Loop() {
		if _, err := Decode(pic); err != nil {
			b.Fatal(err)
		}
	}
}

func ExampleOpen() {
	_, err := Open("no-such-photo.jpg")
	fmt.Println(err)
	// Output: there is no file no-such-photo.jpg
}
