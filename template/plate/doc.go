// Package plate designs the adapter plate that picks up a panel's mounting
// holes and holds a tweeter at the tweeter's centre, and draws it: for a cutter,
// for a cutting shop, for a 3D printer, for a person with a drill. It is pure
// geometry in millimetres and knows nothing of photos.
//
// # From survey to part
//
//	survey + Settings -> Design -> Plate{Parts, Rules, Notes}
//	    Plate.Nest   -> parts on sheets -> cutting drawings (SVG, DXF)
//	    Plate.Pages  -> the 1:1 test piece and the dimensioned sheet (PDF)
//	    Plate.Solids -> template/solid -> STL, 3MF
//	    Plate.Picture -> the plate on the flattened photo (PNG)
//
// # Outlines
//
// A Path is a closed outline of exact lines and arcs, each joint tangent; no
// polygon stands for a curve before the 3D writers. A part's outline and its
// openings all turn anticlockwise, so Offset with a positive distance makes the
// part larger, and its openings too.
//
// # Frame
//
// The panel's, as in package calib: the plate is seen as the panel is in the
// photo, from behind, z towards the viewer.
package plate
