// A narrowboat's cabin panel, thick and white, from far aside: one looks half into
// the walls of its small holes.
#include "photo.inc"
#declare About = "invented: a narrowboat's cabin panel in white plastic 6 mm thick, four holes seen half into their walls, a 34 mm grille, tilted 15 degrees";
#declare Seed = 160;
#declare Photo_width = 1944;
#declare Photo_height = 2592;
#declare Orientation = 6;
#declare Focal_35 = 26.8;
#declare Antialias = 0.02;
#declare Sharpening = 0.5;
#declare Quality = 88;
#include "panel.inc"
#include "wear.inc"
#declare Sheet = 6;

Camera(<12, -30, 0>, 288, 15, 330, 4)
Window_light(110, 45, 1000, 800, <0.95, 0.98, 1.0>*0.62)
Room_light(250, <1.0, 0.97, 0.92>*0.14)

Plastic(<0.66, 0.66, 0.63>, 0.4, 0)
Dusty(<0.30, 0.28, 0.25>, 0.2, 80)
Outline(array[5] {<-64, -124>, <86, -124>, <98, -30>, <86, 64>, <-60, 64>}, 12, 5)
Grille(<10, -82>, 34, 0, 0)
Mounting_hole(<-20.3, -66.8>, 3.5)
Mounting_hole(<40.2, -67.2>, 3.5)
Mounting_hole(<-20.1, -97.4>, 3.5)
Mounting_hole(<40.4, -97.1>, 3.5)
Rib(<52, 50>, <52, -20>, 1.5, 5)
Stray_hole(<70, -58>, 6)
Stray_hole(<-50, -52>, 2.4)
Slot(<70, 10>, 15, 5, 90)
Post(<10, -112>, 4, 4)
Post(<76, -100>, 6, 5)
Panel()

Mesh(<10, -82>, 36, 3, 1.8, 1.1, 12, <0.30, 0.30, 0.30>)
Cloth(<10, -82>, 36, 6, <0.03, 0.03, 0.03>)
Crumbs(<-60, -120>, <90, 60>, 60, 0.12, 0.7, <0.28, 0.22, 0.15>, 6)
Square(28, 60, 60, <0, 0>, 0)
Bench(14, Boards(<0.30, 0.20, 0.12>, 57))
Write_truth()
