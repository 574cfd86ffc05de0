// The dash pod of an invented boat in off-white plastic, dim between a bright
// face and bright paper; an open grille, and a stray hole of the right size far off.
#include "photo.inc"
#declare About = "invented: a boat's dash pod in off-white plastic, three holes, open grille, tilted 8 degrees";
#declare Seed = 105;
#declare Focal_35 = 27.7;
#declare Exposure = 0.95;
#declare Tint = <0.98, 1, 1.03>;
#include "panel.inc"

Camera(<38, 30, 0>, 400, 8, 20, 9)
Lamp(75, 60, 180, <1, 0.99, 0.97>*0.80)
Room_light(250, <0.95, 0.98, 1>*0.18)

Plastic(<0.72, 0.71, 0.67>, 0.35, 0)
Outline(array[8] {<-66, -40>, <-40, -72>, <130, -72>, <160, -44>, <158, 96>, <128, 128>, <-44, 122>, <-68, 96>}, 10, 6)
Grille(<84, 44>, 50.2, 0, 0)
Mounting_hole(<50.1, 62.3>, 4.8)
Mounting_hole(<121.4, 58.9>, 4.8)
Mounting_hole(<88.7, 6.1>, 4.8)

Stray_hole(<-36, 104>, 4.8)
Stray_hole(<62, -8>, 3.0)
Slot(<126, -48>, 16, 5, 0)
Slot(<20, 98>, 16, 5, 0)
Post(<136, 98>, 5, 5)
Post(<58, -46>, 4.8, 4)
Rib(<48, -30>, <138, -30>, 1.6, 5)
Ring_rib(<-6, 84>, 17, 1.4, 3)
Panel()
Square(5, 60, 60, <0, 0>, 0)
Bench(12, Mat(<0.20, 0.24, 0.30>))
Write_truth()
