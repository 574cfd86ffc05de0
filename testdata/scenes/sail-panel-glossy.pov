// The camper van's other sail panel, glossy black with a lamp's glare on its
// face, upside down before the camera and leaned 12 degrees the other way.
#include "photo.inc"
#declare About = "invented: a camper van's other sail panel in glossy black plastic, three holes, open grille, upside down, tilted 12 degrees";
#declare Seed = 117;
#declare Focal_35 = 27.3;
#declare Exposure = 1.1;
#declare Tint = <1.0, 1, 1.04>;
#include "panel.inc"

Camera(<-30, 34, 0>, 385, 12, 30, 173)
Lamp(205, 60, 200, <0.96, 0.98, 1>*0.85)
Room_light(100, <0.95, 0.98, 1>*0.16)

Plastic(<0.05, 0.05, 0.055>, 0.9, 0)
Outline(array[6] {<68, -62>, <66, 62>, <-30, 158>, <-84, 138>, <-166, -20>, <-150, -66>}, 16, 7)
Grille(<-58, 66>, 38.6, 0, 0)
Mounting_hole(<-26.1, 81.2>, 5.0)
Mounting_hole(<-93.8, 72.3>, 5.0)
Mounting_hole(<-66.7, 27.9>, 5.0)

Slot(<-112, -42>, 14, 6, -8)
Window(<50, 44>, 12, 5, -62)
Stray_hole(<-124, 4>, 6.5)
Stray_hole(<-38, 132>, 3.6)
Post(<-66, -46>, 5, 6)
Rib(<-46, -60>, <-46, -18>, 1.4, 4)
Rib(<-76, 14>, <-124, -18>, 1.4, 4)
Mould_mark(<-86, -14>, 9)
Panel()
Square(17, 60, 60, <0, 0>, 0)
Bench(14, Mat(<0.28, 0.33, 0.26>))
Write_truth()
