// The pillar trim of the invented tractor cab with a square grille, its corners
// rounded, and a mesh of the panel's own colour: on two sides its mouth does not
// show, so that its centre is doubtful.
#include "photo.inc"
#declare About = "invented: a tractor cab's pillar trim in mid grey plastic, two holes, a square grille with rounded corners, tilted 6 degrees";
#declare Status = 3;
#declare Seed = 136;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 26.4;
#include "panel.inc"
#include "shapes.inc"

Camera(<14, 46, 0>, 400, 6, 240, 2.5)
Lamp(60, 55, 160, <1, 0.98, 0.94>*0.85)
Room_light(200, <0.95, 0.98, 1>*0.15)

Plastic(<0.20, 0.205, 0.215>, 0.2, 0)
Outline(array[6] {<-58, -90>, <70, -98>, <96, 20>, <92, 170>, <-2, 190>, <-50, 60>}, 18, 9)
Rounded_grille(<30, 86>, 46, 46, 10, 12)
Mounting_hole(<-6.4, 103.2>, 4.2)
Mounting_hole(<67.2, 70.3>, 4.2)

Window(<-30, -66>, 16, 6, 4)
Window(<44, -70>, 16, 6, -4)
Stray_hole(<58, 14>, 8)
Post(<46, 156>, 6, 8)
Rib(<-20, 47>, <70, 40>, 1.5, 5)
Rib(<52, -50>, <56, -4>, 1.5, 5)
Panel()

Mesh(<30, 86>, 66, 0.8, 2.2, 1.4, 12, <0.16, 0.165, 0.17>)
Cloth(<30, 86>, 66, 3, <0.02, 0.02, 0.02>)
Square(2, 60, 60, <0, 0>, 0)
Bench(16, Mat(<0.10, 0.17, 0.15>))
Write_truth()
