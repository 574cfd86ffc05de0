// The door insert of an invented caravan, held by two D-holes that keep the
// studs from turning; their flats point the same way.
#include "photo.inc"
#declare About = "invented: a caravan's door insert in dark grey plastic, two D-holes, open grille, tilted 10 degrees";
#declare Args = "\"--holes\",\"2\"";
#declare Seed = 134;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 27.6;
#include "panel.inc"
#include "shapes.inc"

Camera(<34, 30, 0>, 400, 10, 120, 5)
Lamp(40, 52, 110, <1, 0.98, 0.95>*0.85)
Room_light(150, <0.95, 0.98, 1>*0.17)

Plastic(<0.14, 0.14, 0.145>, 0.25, 0)
Outline(array[5] {<-70, -74>, <160, -70>, <172, 110>, <60, 160>, <-74, 120>}, 20, 8)
Grille(<82, 58>, 52.3, 0, 0)
Mounting_d(<44.2, 79.4>, 6.2, 2.2, 90)
Mounting_d(<120.6, 37.1>, 6.2, 2.2, 90)

Slot(<-46, 82>, 18, 7, 90)
Slot(<140, -40>, 18, 7, 20)
Window(<20, 118>, 22, 8, 10)
Clip_tower(<56, -48>, 16, 9, 8, 5)
Stray_hole(<128, 104>, 9)
Post(<104, -46>, 6, 7)
Rib(<52, -22>, <148, -14>, 1.5, 5)
Panel()

Square(9, 60, 60, <0, 0>, 0)
Bench(15, Wood(<0.50, 0.38, 0.25>))
Write_truth()
