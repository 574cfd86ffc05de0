// A horse-box's inner panel, near black under its dust, and the dust has got into
// the holes.
#include "photo.inc"
#declare About = "invented: a horse-box's inner panel in near black plastic, dusty and scuffed, three holes with dust in them, tilted 8 degrees";
#declare Seed = 157;
#declare Photo_width = 2048;
#declare Photo_height = 1536;
#declare Focal_35 = 34.2;
#declare Antialias = 0.01;
#declare Sharpening = 0.8;
#declare Quality = 70;
#include "panel.inc"
#include "wear.inc"

Camera(<34, 26, 0>, 284, 8, 160, 5)
Lamp(75, 46, 110, <1.0, 0.97, 0.92>*1.0)
Sky_light(<0.92, 0.97, 1.0>*0.40)

Plastic(<0.035, 0.035, 0.037>, 0.3, 0.06)
Dusty(<0.40, 0.35, 0.27>, 0.75, 25)
Outline(array[6] {<-58, -58>, <128, -62>, <134, 30>, <114, 112>, <-12, 118>, <-60, 58>}, 14, 6)
Grille(<68, 52>, 39.5, 0, 0)
Mounting_hole(<84.2, 80.3>, 4.6)
Mounting_hole(<35.9, 52.5>, 4.6)
Mounting_hole(<84.4, 24.4>, 4.6)
Rib(<44, -30>, <112, -34>, 1.5, 5)
Stray_hole(<112, 2>, 6)
Stray_hole(<-30, 62>, 3)
Slot(<24, 96>, 14, 5, 30)
Post(<110, 60>, 5, 5)
Panel()

Dust_in(<84.2, 80.3>, Face, 4.6, 0.9, 40, <0.36, 0.31, 0.24>, 11)
Dust_in(<35.9, 52.5>, Face, 4.6, 0.5, 200, <0.36, 0.31, 0.24>, 12)
Dust_in(<84.4, 24.4>, Face, 4.6, 1.4, 290, <0.36, 0.31, 0.24>, 13)
Mesh(<68, 52>, 41, 1.2, 2.0, 1.3, 5, <0.05, 0.048, 0.045>)
Cloth(<68, 52>, 41, 3, <0.03, 0.028, 0.025>)
Crumbs(<-54, -54>, <130, 114>, 160, 0.12, 1.1, <0.42, 0.36, 0.25>, 14)
Square(26, 60, 60, <0, 0>, 0)
Bench(12, Boards(<0.33, 0.26, 0.18>, 122))
Write_truth()
