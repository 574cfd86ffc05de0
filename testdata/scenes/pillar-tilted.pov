// The same tractor cab's pillar trim, its other side: three holes, tilted 10
// degrees, paper of real thickness.
#include "photo.inc"
#declare About = "invented: a tractor cab's pillar trim in mid grey plastic, three holes, perforated grille, tilted 10 degrees";
#declare Seed = 104;
#declare Focal_35 = 26.4;
#declare Paper = 0.1;
#declare Tint = <0.97, 1, 1.03>;
#include "panel.inc"

Camera(<-16, 44, 0>, 405, 10, 115, -7)
Lamp(330, 50, 120, <1, 0.98, 0.95>*0.85)
Room_light(120, <0.95, 0.98, 1>*0.15)

Plastic(<0.24, 0.235, 0.225>, 0.25, 0)
Outline(array[6] {<58, -90>, <50, 60>, <2, 190>, <-102, 170>, <-106, 20>, <-80, -98>}, 18, 9)
Grille(<-34, 92>, 40.0, 0, 0)
Mounting_hole(<-62.7, 112.5>, 4.5)
Mounting_hole(<-3.4, 107.2>, 4.5)
Mounting_hole(<-41.9, 54.6>, 4.5)

Window(<30, -66>, 16, 6, -4)
Window(<-54, -70>, 16, 6, 4)
Stray_hole(<-74, 28>, 3.2)
Stray_hole(<-76, -30>, 9)
Post(<-40, 150>, 6, 8)
Post(<-62, 62>, 4, 4)
Rib(<-92, 42>, <-62, 40>, 1.5, 5)
Rib(<-62, -50>, <-66, -8>, 1.5, 5)
Panel()

Mesh(<-34, 92>, 42, 0.8, 1.8, 1.2, 8, <0.06, 0.06, 0.06>)
Cloth(<-34, 92>, 42, 3.5, <0.02, 0.02, 0.02>)
Square(4, 60, 60, <0, 0>, 0)
Bench(16, Mat(<0.16, 0.16, 0.17>))
Write_truth()
