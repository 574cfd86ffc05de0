// The first of three photos of one panel: from above, leaning to the right.
#include "sail-panel-three.inc"
#declare About = "invented: a camper van's sail panel, three bosses 9 and 7.5 mm high, a collar of 3 mm, tilted 4 degrees";
#declare Args = "\"--hole-height\",\"9\",\"--grille-height\",\"3\"";
#declare Seed = 131;
Camera(<40, 34, 0>, 352, 4, 20, 3)
Scene()
Write_truth()
