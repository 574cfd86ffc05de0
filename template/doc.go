// Package template turns millimetres into drawings: the template, the
// reference-square sheet, and their PDF, SVG, DXF and PNG files. Pure Go.
//
// # From survey to file
//
// A Drawing is shapes in millimetres on named layers, y up. Template draws a
// survey as a Drawing in the panel's frame, and lays it out at 1:1 on sheets
// of paper: each a Page, in its own millimetres from its lower left corner.
// The writers know nothing of surveys: WriteSVG and WriteDXF take a Drawing,
// WritePDF and WritePNG take pages.
//
//	survey -> Template -> Sheets{Pages, Drawing, Preview}
//	                        Pages -> WritePDF
//	                        Drawing -> WriteSVG, WriteDXF
//	                        Preview -> WritePNG
//	SheetOptions -> SquareSheet -> pages -> WritePDF
//
// A Content is any other drawing with its notes, laid out on the same sheets.
// Subpackage plate designs the adapter plate and draws it by these means;
// subpackage solid holds its surfaces, and their STL and 3MF files.
//
// # True scale
//
// A length of 1 mm in a Drawing is 1 mm on paper, on screen in SVG, and one
// drawing unit, declared as a millimetre, in DXF. Only a page can depart from
// that, by its Scale: the correction for a printer that is known to be off.
package template
