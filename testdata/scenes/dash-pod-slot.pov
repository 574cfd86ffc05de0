// The dash pod of an invented boat whose bracket is held by a round hole and an
// oblong one that lets it be adjusted; clip slots lie about that are for neither.
#include "photo.inc"
#declare About = "invented: a boat's dash pod in grey-green plastic, a round and an oblong mounting hole, clip slots, tilted 7 degrees";
#declare Args = "\"--holes\",\"2\"";
#declare Seed = 133;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 27.7;
#include "panel.inc"
#include "shapes.inc"

Camera(<38, 30, 0>, 390, 7, 60, 6)
Lamp(205, 55, 120, <1, 0.98, 0.95>*0.85)
Room_light(330, <0.95, 0.98, 1>*0.16)

Plastic(<0.27, 0.31, 0.28>, 0.3, 0)
Outline(array[8] {<-66, -40>, <-40, -72>, <136, -72>, <166, -44>, <164, 100>, <134, 132>, <-44, 126>, <-68, 96>}, 10, 6)
Grille(<86, 46>, 46.4, 0, 0)
Mounting_hole(<48.3, 63.1>, 4.8)
Mounting_slot(<123.9, 28.6>, 7.4, 4.8, 155)

Slot(<126, -48>, 16, 5, 0)
Slot(<30, 110>, 16, 5, 30)
Window(<-44, 70>, 14, 6, 70)
Stray_d(<62, -14>, 6, 2.1, 40)
Stray_hole(<140, 96>, 6.5)
Post(<104, 112>, 5, 5)
Rib(<48, -36>, <142, -36>, 1.6, 5)
Panel()

Mesh(<86, 46>, 46.4, 1.0, 2.2, 1.5, 9, <0.05, 0.05, 0.05>)
Cloth(<86, 46>, 46.4, 2.4, <0.02, 0.02, 0.02>)
Square(15, 60, 60, <0, 0>, 0)
Bench(12, Wood(<0.36, 0.24, 0.16>))
Write_truth()
