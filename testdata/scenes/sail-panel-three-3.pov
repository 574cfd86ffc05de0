// The third: from below.
#include "sail-panel-three.inc"
#declare About = "invented: a camper van's sail panel, three bosses 9 and 7.5 mm high, a collar of 3 mm, tilted 10 degrees";
#declare Args = "\"--hole-height\",\"9\",\"--grille-height\",\"3\"";
#declare Seed = 133;
Camera(<44, 30, 0>, 338, 10, 265, 8)
Scene()
Write_truth()
