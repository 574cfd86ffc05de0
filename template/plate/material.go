package plate

import (
	"fmt"
	"strings"
)

// Material is what a sheet is made of, as far as the plate's numbers go. All
// are common practice, and each can be overridden.
type Material struct {
	Name        string
	Thickness   float64 // mm, as usually sold
	Kerf        float64 // mm, of a laser; 0 for what is printed or cut with a knife
	LeastWall   float64 // mm left between two openings
	LeastEdge   float64 // hole diameters from a hole's centre to the edge
	LeastFillet float64 // thicknesses in the radius of an inside corner
	Caution     string
}

var materials = []Material{
	{"acrylic", 3, 0.2, 3, 2, 0.5, "Acrylic is brittle: drill slowly, do not overtighten. Fumes: extract them."},
	{"ABS", 3, 0.3, 2.5, 1.5, 0.5, "ABS smokes on a laser (hydrogen cyanide among it): better saw, mill or print it."},
	{"plywood", 4, 0.2, 4, 2, 0.5, "Plywood swells in damp: seal its edges."},
	{"cardboard", 2, 0.1, 4, 2, 0.5, "Cardboard is for the test piece. It can catch fire on a laser: stay with it."},
	{"PETG", 3, 0, 2.4, 1.5, 0.5, ""},
}

// MaterialNames lists the presets.
func MaterialNames() []string {
	names := make([]string, len(materials))
	for i, m := range materials {
		names[i] = m.Name
	}
	return names
}

// FindMaterial returns the preset of a name, in any case.
func FindMaterial(name string) (Material, error) {
	for _, m := range materials {
		if strings.EqualFold(m.Name, name) {
			return m, nil
		}
	}
	if strings.EqualFold(name, "PVC") {
		return Material{}, fmt.Errorf("PVC gives off chlorine when it is cut by heat: never cut it on a laser; use one of %s", strings.Join(MaterialNames(), ", "))
	}
	return Material{}, fmt.Errorf("%q is no material known here: use one of %s, and give your own numbers where it differs", name, strings.Join(MaterialNames(), ", "))
}
