// The sail panel of the invented camper van with a tweeter set in its opening by
// putty: the opening shows round it, and they are half a millimetre apart.
#include "photo.inc"
#declare About = "invented: a camper van's sail panel in grey plastic, three holes, a tweeter held in the opening by putty, tilted 5 degrees";
#declare Args = "\"--tweeter-diameter\",\"43.6\",\"--tweeter-height\",\"1.5\"";
#declare Seed = 131;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 27.3;
#declare Tint = <1.02, 1, 0.96>;
#include "panel.inc"
#include "shapes.inc"

Camera(<32, 34, 0>, 390, 5, 200, 4)
Lamp(128, 54, 140, <1.0, 0.96, 0.90>*0.85)
Room_light(30, <0.93, 0.97, 1.0>*0.14)

Plastic(<0.30, 0.31, 0.32>, 0.3, 0)
Outline(array[6] {<-68, -62>, <150, -66>, <166, -20>, <84, 138>, <30, 158>, <-66, 62>}, 16, 7)
Grille(<56, 68>, 47.2, 0, 0)
Mounting_hole(<22.1, 86.4>, 4.2)
Mounting_hole(<94.6, 84.9>, 4.2)
Mounting_hole(<60.8, 27.3>, 4.2)

Slot(<112, -42>, 14, 6, 8)
Window(<-50, 44>, 12, 5, 62)
Stray_hole(<124, 4>, 6.5)
Post(<66, -46>, 5, 6)
Rib(<46, -60>, <46, -18>, 1.4, 4)
Rib(<76, 16>, <124, -16>, 1.4, 4)
Mould_mark(<86, -14>, 9)
Panel()

Tweeter(<56.4, 67.7>, 43.6, 1.5 + Paper, 2.5, 75, texture { pigment { rgb 0.05 } finish { ambient 0.1 diffuse 0.7 specular 0.15 roughness 0.06 } })
Putty(<56.4, 67.7>, 43.6, Face + 1.5, 20, 4, <0.55, 0.50, 0.30>)
Putty(<56.4, 67.7>, 43.6, Face + 1.5, 140, 3.6, <0.55, 0.50, 0.30>)
Putty(<56.4, 67.7>, 43.6, Face + 1.5, 262, 4.4, <0.55, 0.50, 0.30>)
Square(1, 60, 60, <0, 0>, 0)
Bench(14, Wood(<0.42, 0.27, 0.15>))
Write_truth()
