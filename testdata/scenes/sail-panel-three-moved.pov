// The same panel after the square has slipped: not to be solved with the others.
#include "sail-panel-three.inc"
#declare About = "invented: the same sail panel, the square moved by 5 and 4 mm, tilted 8 degrees";
#declare Args = "\"--hole-height\",\"9\",\"--grille-height\",\"3\"";
#declare Seed = 134;
#declare Moved = <9, -1>;
Camera(<44, 30, 0>, 350, 8, 60, -6)
Scene()
Write_truth()
