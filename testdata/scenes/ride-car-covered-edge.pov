// A fairground ride car's shoulder panel; a strip of masking tape holds the square
// down and covers most of one edge. The rest of it is enough.
#include "photo.inc"
#declare About = "invented: a fairground ride car's shoulder panel in purple plastic, two holes, tape over one edge of the square, tilted 7 degrees";
#declare Seed = 166;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 27.1;
#declare Antialias = 0.02;
#declare Sharpening = 0.6;
#declare Quality = 80;
#include "panel.inc"
#include "wear.inc"

Camera(<-32, 14, 0>, 288, 7, 140, 6)
Lamp(60, 42, 100, <1.0, 0.97, 0.93>*0.9)
Sky_light(<0.94, 0.97, 1.0>*0.42)

Plastic(<0.19, 0.08, 0.21>, 0.45, 0.02)
Dusty(<0.48, 0.44, 0.40>, 0.35, 160)
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

Mesh(<-84, 8>, 46, 1.2, 2.2, 1.5, 3, <0.05, 0.05, 0.05>)
Cloth(<-84, 8>, 46, 3.5, <0.02, 0.02, 0.02>)
Crumbs(<-130, -60>, <60, 90>, 60, 0.12, 0.9, <0.45, 0.42, 0.34>, 17)
Square(34, 60, 60, <0, 0>, 0)
Tape(<30, -23>, <31, 31>, 19, 0.11)
Bench(16, Mat(<0.18, 0.17, 0.16>))
Write_truth()
