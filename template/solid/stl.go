package solid

import (
	"bytes"
	"encoding/binary"
	"io"
	"math"

	"trimscribe/calib"
)

// WriteSTL writes meshes as one binary STL file: 80 bytes of title, the number
// of triangles, and for each its normal, its corners as 32-bit floats, and a
// spare word, all little-endian. STL has no units; slicers take millimetres.
func WriteSTL(w io.Writer, title string, meshes []*Mesh) error {
	n := 0
	for _, m := range meshes {
		n += len(m.Triangles)
	}
	b := make([]byte, 80, 84+50*n)
	copy(b, title)
	b = binary.LittleEndian.AppendUint32(b, uint32(n))
	put := func(v calib.Vec3) {
		for _, x := range []float64{v.X, v.Y, v.Z} {
			b = binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)))
		}
	}
	for _, m := range meshes {
		for _, t := range m.Triangles {
			p, q, r := m.Vertices[t[0]], m.Vertices[t[1]], m.Vertices[t[2]]
			normal := q.Sub(p).Cross(r.Sub(p))
			if l := normal.Norm(); l > 0 {
				normal = normal.Mul(1 / l)
			}
			put(normal)
			put(p)
			put(q)
			put(r)
			b = append(b, 0, 0)
		}
	}
	_, err := io.Copy(w, bytes.NewReader(b))
	return err
}
