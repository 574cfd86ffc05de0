// The horse-box's panel with one screw in place: its head covers the hole, and
// what is seen there is a circle of another size at another height.
#include "photo.inc"
#declare About = "invented: a horse-box's inner panel in grey plastic, three holes, one hidden under a screw's head, tilted 6 degrees";
#declare Status = 3;
#declare Seed = 159;
#declare Photo_width = 2048;
#declare Photo_height = 1536;
#declare Focal_35 = 34.6;
#declare Antialias = 0.02;
#declare Sharpening = 0.5;
#declare Quality = 86;
#include "panel.inc"
#include "wear.inc"

Camera(<34, 26, 0>, 285, 6, 250, 8)
Lamp(320, 44, 70, <1.0, 0.95, 0.88>*0.95)
Room_light(140, <0.94, 0.97, 1.0>*0.22)

Plastic(<0.19, 0.20, 0.21>, 0.3, 0.03)
Dusty(<0.45, 0.43, 0.40>, 0.35, 60)
Outline(array[6] {<-58, -58>, <128, -62>, <134, 30>, <114, 112>, <-12, 118>, <-60, 58>}, 14, 6)
Grille(<68, 52>, 39.5, 0, 0)
Mounting_hole(<84.2, 80.3>, 4.6)
Mounting_hole(<35.9, 52.5>, 4.6)
Mounting_hole(<84.4, 24.4>, 4.6)
Rib(<44, -30>, <112, -34>, 1.5, 5)
Stray_hole(<112, 2>, 6)
Slot(<24, 96>, 14, 5, 30)
Post(<110, 60>, 5, 5)
Panel()

Screw(<84.2, 80.3>, Face, 8.2, 33)
Mesh(<68, 52>, 41, 1.2, 2.0, 1.3, 5, <0.05, 0.048, 0.045>)
Cloth(<68, 52>, 41, 3, <0.03, 0.028, 0.025>)
Crumbs(<-54, -54>, <130, 114>, 60, 0.12, 0.8, <0.45, 0.40, 0.30>, 34)
Square(26, 60, 60, <0, 0>, 0)
Bench(12, Boards(<0.44, 0.30, 0.18>, 157))
Write_truth()
