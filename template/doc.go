// Package template turns millimetres into drawings: the template, the
// reference-square sheet, and their PDF, SVG, DXF and PNG files. Pure Go.
package template
