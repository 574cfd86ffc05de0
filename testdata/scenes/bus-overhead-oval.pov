// An overhead panel of an invented bus with an oval grille: no circle is to be
// made of it, and its centre is that of the oval.
#include "photo.inc"
#declare About = "invented: a bus's overhead panel in light grey plastic, two holes, an oval grille with a dark mesh, tilted 8 degrees";
#declare Seed = 135;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 26.8;
#declare Exposure = 0.95;
#include "panel.inc"
#include "shapes.inc"

Camera(<44, 30, 0>, 400, 8, 300, 7)
Lamp(80, 54, 140, <1, 0.97, 0.92>*0.85)
Room_light(200, <0.94, 0.97, 1>*0.16)

Plastic(<0.50, 0.50, 0.48>, 0.35, 0)
Outline(array[6] {<-76, -70>, <166, -70>, <180, 40>, <150, 124>, <-56, 130>, <-80, 50>}, 16, 8)
Oval_grille(<92, 44>, 62, 44, 18)
Mounting_hole(<53.1, 64.4>, 4.5)
Mounting_hole(<131.4, 23.8>, 4.5)

Stray_hole(<-40, 96>, 8)
Window(<130, -50>, 20, 7, 0)
Window(<10, 104>, 20, 7, 0)
Slot(<52, -46>, 15, 5, 90)
Post(<150, 84>, 6, 9)
Rib(<-60, 66>, <34, 66>, 1.6, 6)
Panel()

Mesh(<92, 44>, 64, 0.9, 2.0, 1.4, 30, <0.04, 0.04, 0.04>)
Cloth(<92, 44>, 64, 3, <0.012, 0.012, 0.012>)
Square(16, 60, 60, <0, 0>, 0)
Bench(18, Mat(<0.32, 0.31, 0.29>))
Write_truth()
