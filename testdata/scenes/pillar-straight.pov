// The pillar trim of an invented tractor cab, seen straight on: two holes, no
// grain, soft light. The easiest photo of the set.
#include "photo.inc"
#declare About = "invented: a tractor cab's pillar trim in mid grey plastic, two holes, plain opening, straight on";
#declare Seed = 102;
#declare Focal_35 = 26.4;
#include "panel.inc"

Camera(<14, 46, 0>, 400, 0, 0, 2.5)
Lamp(60, 58, 160, <1, 0.98, 0.94>*0.85)
Room_light(200, <0.95, 0.98, 1>*0.15)

Plastic(<0.22, 0.225, 0.23>, 0.2, 0)
Outline(array[6] {<-58, -90>, <70, -98>, <96, 20>, <92, 170>, <-2, 190>, <-50, 60>}, 18, 9)
Grille(<30, 86>, 48.0, 0, 0)
Mounting_hole(<-3.1, 104.4>, 5.0)
Mounting_hole(<65.2, 71.7>, 5.0)

Window(<-30, -66>, 16, 6, 4)
Window(<44, -70>, 16, 6, -4)
Stray_hole(<58, 14>, 8)
Post(<46, 156>, 6, 8)
Rib(<-20, 47>, <70, 40>, 1.5, 5)
Rib(<52, -50>, <56, -4>, 1.5, 5)
Panel()

Mesh(<30, 86>, 50, 1.5, 2.0, 1.4, 0, <0.04, 0.04, 0.04>)
Cloth(<30, 86>, 50, 4, <0.02, 0.02, 0.02>)
Square(2, 60, 60, <0, 0>, 0)
Bench(16, Mat(<0.10, 0.17, 0.15>))
Write_truth()
