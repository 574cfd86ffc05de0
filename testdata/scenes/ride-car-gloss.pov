// The fairground ride car's panel in high gloss: it mirrors the lamp overhead,
// whose edges run over the grille and one of the holes.
#include "photo.inc"
#declare About = "invented: a fairground ride car's shoulder panel in dark red high gloss, two holes, a lamp mirrored in it, tilted 8 degrees";
#declare Seed = 172;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 24.9;
#declare Antialias = 0.02;
#declare Sharpening = 0.6;
#declare Quality = 65;
#include "panel.inc"
#include "wear.inc"

Camera(<-32, 14, 0>, 262, 8, 320, -5)
Lamp(240, 76, 240, <1.0, 0.98, 0.94>*0.62)
Lamp_panel(<-362, 10, 1500>, 300, 420, 12, <1.0, 0.98, 0.94>*4.0)
Sky_light(<0.94, 0.97, 1.0>*0.34)

Plastic(<0.20, 0.030, 0.035>, 0.95, 0)
Mirrors(0.04)
Outline(array[6] {<-134, -64>, <60, -64>, <68, 20>, <42, 88>, <-92, 96>, <-136, 52>}, 16, 8)
Grille(<-84, 8>, 44, 0, 0)
Mounting_hole(<-86.1, 44.9>, 4.8)
Mounting_hole(<-82.1, -29.4>, 4.8)
Rib(<-120, -44>, <-40, -48>, 1.5, 5)
Rib(<-60, 70>, <20, 64>, 1.5, 5)
Stray_hole(<54, -50>, 5)
Stray_hole(<-112, 60>, 7)
Window(<10, 54>, 15, 6, 0)
Post(<-48, 62>, 5, 6)
Post(<-116, -18>, 4, 5)
Panel()

Mesh(<-84, 8>, 46, 1.2, 2.2, 1.5, 21, <0.05, 0.05, 0.05>)
Cloth(<-84, 8>, 46, 3.5, <0.02, 0.02, 0.02>)
Crumbs(<-130, -60>, <60, 90>, 40, 0.12, 0.8, <0.45, 0.42, 0.34>, 19)
Square(39, 60, 60, <0, 0>, 0)
Bench(16, Cutting_mat(<0.05, 0.12, 0.09>, <0.45, 0.5, 0.45>, 8))
Write_truth()
