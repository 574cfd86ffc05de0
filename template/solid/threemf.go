package solid

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
)

// The parts of a 3MF package besides the model (3MF core specification 1.3,
// chapter 2; ECMA-376 part 2 for the package).
const (
	contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/></Types>
`
	relationships = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/></Relationships>
`
)

// Write3MF writes meshes as one 3MF file, each an object of its own, by the 3MF
// core specification. The application's name stands in the model and in the
// package's comment. The same meshes give the same bytes.
func Write3MF(w io.Writer, title, application string, meshes []*Mesh) error {
	var model bytes.Buffer
	fmt.Fprintf(&model, `<?xml version="1.0" encoding="UTF-8"?>
<model unit="millimeter" xml:lang="en-US" xmlns="http://schemas.microsoft.com/3dmanufacturing/core/2015/02">
<metadata name="Title">%s</metadata>
<metadata name="Application">%s</metadata>
<resources>
`, escape(title), escape(application))
	for i, m := range meshes {
		fmt.Fprintf(&model, "<object id=\"%d\" type=\"model\" name=\"%s\"><mesh>\n<vertices>\n", i+1, escape(m.Name))
		for _, v := range m.Vertices {
			fmt.Fprintf(&model, "<vertex x=\"%s\" y=\"%s\" z=\"%s\"/>\n", num(v.X), num(v.Y), num(v.Z))
		}
		model.WriteString("</vertices>\n<triangles>\n")
		for _, t := range m.Triangles {
			fmt.Fprintf(&model, "<triangle v1=\"%d\" v2=\"%d\" v3=\"%d\"/>\n", t[0], t[1], t[2])
		}
		model.WriteString("</triangles>\n</mesh></object>\n")
	}
	model.WriteString("</resources>\n<build>\n")
	for i := range meshes {
		fmt.Fprintf(&model, "<item objectid=\"%d\"/>\n", i+1)
	}
	model.WriteString("</build>\n</model>\n")

	z := zip.NewWriter(w)
	for _, part := range []struct {
		name string
		data []byte
	}{{"[Content_Types].xml", []byte(contentTypes)}, {"_rels/.rels", []byte(relationships)}, {"3D/3dmodel.model", model.Bytes()}} {
		f, err := z.CreateHeader(&zip.FileHeader{Name: part.name, Method: zip.Deflate}) // without a time: it would change the bytes
		if err != nil {
			return err
		}
		if _, err := f.Write(part.data); err != nil {
			return err
		}
	}
	if err := z.SetComment(application); err != nil {
		return err
	}
	return z.Close()
}

func num(v float64) string { return strconv.FormatFloat(v, 'f', 6, 64) }

func escape(s string) string {
	var b bytes.Buffer
	xml.EscapeText(&b, []byte(s)) // a bytes.Buffer takes all
	return b.String()
}
