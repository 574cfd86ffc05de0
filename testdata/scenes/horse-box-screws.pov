// The horse-box's panel with counterbored holes; in two of them the screws are
// still in place, and their heads are circles inside the mouths.
#include "photo.inc"
#declare About = "invented: a horse-box's inner panel in brown plastic, three counterbored holes, screws in two of them, tilted 7 degrees";
#declare Seed = 158;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 26.2;
#declare Antialias = 0.02;
#declare Sharpening = 0.6;
#declare Quality = 84;
#include "panel.inc"
#include "wear.inc"

Camera(<34, 26, 0>, 280, 7, 20, -6)
Lamp(215, 50, 80, <1.0, 0.96, 0.90>*0.95)
Room_light(60, <0.94, 0.97, 1.0>*0.20)

Plastic(<0.21, 0.15, 0.10>, 0.25, 0.04)
Dusty(<0.45, 0.40, 0.32>, 0.4, 100)
Outline(array[6] {<-58, -58>, <128, -62>, <134, 30>, <114, 112>, <-12, 118>, <-60, 58>}, 14, 6)
Grille(<68, 52>, 39.5, 0, 0)
Counterbored_hole(<84.2, 80.3>, 8.4, 4.2, 2.2)
Counterbored_hole(<35.9, 52.5>, 8.4, 4.2, 2.2)
Counterbored_hole(<84.4, 24.4>, 8.4, 4.2, 2.2)
Rib(<44, -30>, <112, -34>, 1.5, 5)
Stray_hole(<112, 2>, 6)
Slot(<24, 96>, 14, 5, 30)
Post(<110, 60>, 5, 5)
Panel()

Screw(<84.4, 80.2>, Face - 2.2, 6.8, 25)
Screw(<84.2, 24.6>, Face - 2.2, 6.8, 62)
Mesh(<68, 52>, 41, 1.2, 2.0, 1.3, 5, <0.05, 0.048, 0.045>)
Cloth(<68, 52>, 41, 3, <0.03, 0.028, 0.025>)
Crumbs(<-54, -54>, <130, 114>, 80, 0.12, 0.9, <0.45, 0.40, 0.30>, 24)
Square(27, 60, 60, <0, 0>, 0)
Bench(12, Mat(<0.42, 0.43, 0.42>))
Write_truth()
